#include "headjoint/report/joint_plan.h"

#include <algorithm>
#include <cmath>

#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/breach_lines.h"
#include "headjoint/report/internal/deck_sheet.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/svg.h"
#include "headjoint/report/internal/tag_layout.h"

namespace headjoint::report {
namespace {

using Anchor = Svg::Anchor;

constexpr double kLineHeight = 1.35;      // of the letter size
constexpr double kBoldFrom = 0.5;         // tags at least this likely are bold
constexpr double kLightestBreach = 1.0;   // line weight in units at chance 0
constexpr double kBreachPerChance = 2.8;  // more at chance 1
constexpr double kTooth = 4;              // length of a tooth of the zigzag, units

/// A breach with its tag and the side of the deck the tag stands on.
struct Tagged {
  BreachLine line;
  std::string text;
  bool is_above = true;
  TagPlace place;
};

/// One row of decks with the tags above and below it.
struct Band {
  std::vector<Tagged> tags;
  int rows_above = 0;
  int rows_below = 0;
};

Spot middle(const BreachLine& line) { return {(line.from.x + line.to.x) / 2, (line.from.y + line.to.y) / 2}; }

double tag_width(const Tagged& tag, double size) { return text_width(tag.text, size, tag.line.chance >= kBoldFrom); }

/// Tags go to the nearer side; those in the middle to the emptier one.
void choose_sides(std::vector<Tagged>& tags, double height, double size) {
  double above = 0;
  double below = 0;
  const auto put = [&](Tagged& tag, bool up) {
    tag.is_above = up;
    (up ? above : below) += tag_width(tag, size);
  };
  const auto off_centre = [&](const Tagged& tag) { return (middle(tag.line).y - height / 2) / height; };
  for (Tagged& tag : tags) {
    if (std::abs(off_centre(tag)) >= 0.1) put(tag, off_centre(tag) < 0);
  }
  for (Tagged& tag : tags) {
    if (std::abs(off_centre(tag)) < 0.1) put(tag, above <= below);
  }
}

int place_side(std::vector<Tagged>& tags, bool above, const DeckSheet& sheet) {
  std::vector<TagWish> wishes;
  for (const Tagged& tag : tags) {
    if (tag.is_above == above) wishes.push_back({middle(tag.line).x, tag_width(tag, sheet.text_size)});
  }
  const auto places = place_tags(wishes, -sheet.margin * 0.9, sheet.width + sheet.margin * 0.9, 0.8 * sheet.text_size);
  int rows = 0;
  std::size_t next = 0;
  for (Tagged& tag : tags) {
    if (tag.is_above != above) continue;
    tag.place = places[next++];
    rows = std::max(rows, tag.place.row + 1);
  }
  return rows;
}

std::vector<Band> bands(const DeckSheet& sheet, const std::vector<BreachLine>& lines) {
  std::vector<Band> out(sheet.rows.size());
  for (const BreachLine& line : lines)
    out[line.row].tags.push_back({line, line.label + "\u00A0\u00A0" + chance_text(line.chance), true, {}});
  for (std::size_t row = 0; row < out.size(); ++row) {
    choose_sides(out[row].tags, sheet.rows[row].height, sheet.text_size);
    out[row].rows_above = place_side(out[row].tags, true, sheet);
    out[row].rows_below = place_side(out[row].tags, false, sheet);
  }
  return out;
}

/// From end to end with straight stubs and teeth between.
std::vector<Spot> zigzag(Spot from, Spot to, double unit) {
  const double length = std::hypot(to.x - from.x, to.y - from.y);
  const int teeth = std::max(3, static_cast<int>(std::lround(length / (kTooth * unit))));
  const double across = std::min(0.9 * kTooth * unit, 0.4 * std::max(length, unit));
  const double nx = length > 0 ? -(to.y - from.y) / length * across : 0;
  const double ny = length > 0 ? (to.x - from.x) / length * across : across;
  std::vector<Spot> points = {from};
  for (int k = 0; k < teeth; ++k) {
    const double share = (k + 0.5) / teeth;
    const double side = k % 2 == 0 ? -1 : 1;
    points.push_back({from.x + (to.x - from.x) * share + side * nx, from.y + (to.y - from.y) * share + side * ny});
  }
  points.push_back(to);
  return points;
}

Spot moved(Spot spot, Spot by) { return {spot.x + by.x, spot.y + by.y}; }

void draw_breach(Svg& svg, const BreachLine& line, Spot corner) {
  Paint halo = paint::kBreachHalo;
  Paint stroke = paint::kBreach;
  stroke.width = kLightestBreach + kBreachPerChance * std::clamp(line.chance, 0.0, 1.0);
  halo.width = stroke.width + 2.2;
  halo.stroke = paint::kPaper;
  const auto points = zigzag(moved(line.from, corner), moved(line.to, corner), svg.unit());
  svg.open_group("jp-path");
  svg.polyline(points, halo);
  svg.polyline(points, stroke);
  svg.close_group();
}

/// Base line of a tag's letters.
double tag_base(const Tagged& tag, double top, double height, double size) {
  const double step = kLineHeight * size * tag.place.row;
  return tag.is_above ? top - 0.75 * size - step : top + height + 1.35 * size + step;
}

void draw_tags(Svg& svg, const Band& band, Spot corner, double height, double size) {
  for (const Tagged& tag : band.tags) {
    const double base = tag_base(tag, corner.y, height, size);
    const double foot = tag.is_above ? base + 0.25 * size : base - 0.85 * size;
    svg.polyline({moved(middle(tag.line), corner), {corner.x + tag.place.middle, foot}}, paint::kLeader);
  }
  for (const Tagged& tag : band.tags) {
    const double base = tag_base(tag, corner.y, height, size);
    const bool bold = tag.line.chance >= kBoldFrom;
    const double width = tag_width(tag, size);
    svg.rectangle({corner.x + tag.place.middle - width / 2, base - 0.9 * size}, width, 1.15 * size, 0, paint::kTagBack);
    svg.text({corner.x + tag.place.middle, base}, tag.text, size, Anchor::kMiddle, "jp-tag", bold);
  }
}

void draw_dimension(Svg& svg, const DeckSheet& sheet, double y) {
  const double tick = 0.45 * sheet.text_size;
  const double width = sheet.rows.front().width;
  svg.polyline({{0, y}, {width, y}}, paint::kDimension);
  svg.polyline({{0, y - tick}, {0, y + tick}}, paint::kDimension);
  svg.polyline({{width, y - tick}, {width, y + tick}}, paint::kDimension);
}

std::string dimension_text(const DeckSheet& sheet) {
  if (sheet.is_assumed) return "plan assumed, not to scale · front at left";
  return fixed(sheet.rows.front().width, 0) + " mm · front at left";
}

std::string title_of(const joint::Engine& engine) {
  return "Joint plan" + (engine.name.empty() ? std::string() : " of " + engine.name) + ", seen from above, front of the engine at the left";
}

std::string deck_description(const DeckSheet& sheet) {
  std::size_t bores = 0;
  std::size_t heads = 0;
  std::size_t bolts = 0;
  for (const DeckRow& row : sheet.rows) {
    for (const PlacedHead& head : row.heads) {
      ++heads;
      bores += head.plan.bores.size();
      bolts += head.plan.bolts.size();
    }
  }
  const auto count = [](std::size_t n, const std::string& what) { return std::to_string(n) + " " + what + (n == 1 ? "" : "s"); };
  std::string text = count(bores, "bore") + " under " + count(heads, "head");
  if (bolts > 0) text += ", " + count(bolts, "bolt");
  return text + (sheet.is_assumed ? ". The engine file does not give all places: the plan is assumed." : ".");
}

std::string breach_description(const std::vector<BreachLine>& lines, const std::vector<assess::Suspect>& listed) {
  std::string text;
  for (const BreachLine& line : lines) text += " " + line.label + " " + chance_text(line.chance) + ";";
  for (const assess::Suspect& path : listed) text += " " + plain_text(path.text) + " " + chance_text(path.chance.value) + ";";
  if (text.empty()) return " No seal path is likelier than " + fixed(kLeastDrawnChance, 2) + ".";
  text.back() = '.';
  return " Suspect seal paths with their chances:" + text;
}

std::string empty_drawing(const joint::Engine& engine, const PlanOptions& options) {
  Svg svg(1);
  svg.rectangle({0, 0}, 430, 60, 0, paint::kDeck);
  svg.text({215, 35}, "number of cylinders not known", 16, Anchor::kMiddle, "jp-note");
  return svg.drawing({-14, -14}, 458, 88, options.id_prefix, title_of(engine),
                     "The engine file does not say how many cylinders there are.");
}

/// Tags outside the viewBox would be lost: notes are cut to what the width holds.
std::string fitted(std::string_view text, double width, double size) {
  return shortened(text, static_cast<std::size_t>(std::max(8.0, width / (0.6 * size))));
}

std::string compose(const joint::Engine& engine, const assess::Finding* finding, const PlanOptions& options) {
  const DeckSheet sheet = deck_sheet(engine, options.text_share);
  if (sheet.rows.empty()) return empty_drawing(engine, options);
  const auto lines = finding ? breach_lines(sheet, *finding) : std::vector<BreachLine>{};
  const auto listed = finding ? paths_without_line(sheet, *finding) : std::vector<assess::Suspect>{};
  const double size = sheet.text_size;
  Svg svg(sheet.unit);
  double y = 0;
  const std::vector<Band> all = bands(sheet, lines);
  for (std::size_t k = 0; k < sheet.rows.size(); ++k) {
    const DeckRow& row = sheet.rows[k];
    const Band& band = all[k];
    if (!row.name.empty()) svg.text({0, y + size}, row.name, size, Anchor::kStart, "jp-head", true);
    if (!row.name.empty()) y += 1.7 * size;
    y += band.rows_above > 0 ? (band.rows_above * kLineHeight + 0.6) * size : 0;
    draw_deck_row(svg, row, {0, y}, size);
    for (const Tagged& tag : band.tags) draw_breach(svg, tag.line, {0, y});
    draw_tags(svg, band, {0, y}, row.height, size);
    y += row.height + (band.rows_below * kLineHeight + 1.0) * size;
  }
  y += 0.3 * size;
  draw_dimension(svg, sheet, y);
  y += 1.5 * size;
  const double full = sheet.width + 2 * sheet.margin;
  svg.text({sheet.width / 2, y}, fitted(dimension_text(sheet), full, 0.9 * size), 0.9 * size, Anchor::kMiddle, "jp-dimtext", false,
           paint::kSoft);
  for (const assess::Suspect& path : listed) {
    y += kLineHeight * size;
    const std::string text = shortened(path.text.empty() ? path.name : path.text, 40) + "\u00A0\u00A0" + chance_text(path.chance.value);
    svg.text({sheet.width / 2, y}, fitted(text, full, size), size, Anchor::kMiddle, "jp-listed", path.chance.value >= kBoldFrom);
  }
  const std::string description = deck_description(sheet) + (finding ? breach_description(lines, listed) : "");
  return svg.drawing({-sheet.margin, -0.6 * size}, full, y + 1.4 * size, options.id_prefix, title_of(engine), description);
}

}  // namespace

PlanOptions plan_options_for_paper(std::string id_prefix) { return {std::move(id_prefix), 0.02}; }

std::string joint_plan_svg(const joint::Engine& engine, const PlanOptions& options) { return compose(engine, nullptr, options); }

std::string breach_plan_svg(const joint::Engine& engine, const assess::Finding& finding, const PlanOptions& options) {
  return compose(engine, &finding, options);
}

}  // namespace headjoint::report
