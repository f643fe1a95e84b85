#include "headjoint/report/internal/clamp_plan.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "headjoint/report/internal/deck_sheet.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/svg.h"

namespace headjoint::report {
namespace {

using Anchor = Svg::Anchor;

/// Pale to strong; the lowest band is hatched by an outline so that open places show in print.
constexpr Paint kFills[PressureScale::kBands] = {{"jp-press1", "#f7f7f4", "#f7f7f4", 0.2, 0},
                                                 {"jp-press2", "#dce9f1", "#dce9f1", 0.2, 0},
                                                 {"jp-press3", "#a9c9de", "#a9c9de", 0.2, 0},
                                                 {"jp-press4", "#6fa3c4", "#6fa3c4", 0.2, 0},
                                                 {"jp-press5", "#3b7ba6", "#3b7ba6", 0.2, 0}};
constexpr Paint kOpen{"jp-open", paint::kPaper, paint::kRust, 0.3, 0.8};
constexpr Paint kWeakest{"jp-weakest", "none", paint::kRust, 1.6, 0};

const PlacedHead* head_on(const DeckSheet& sheet, int number) {
  for (const DeckRow& row : sheet.rows)
    for (const PlacedHead& head : row.heads)
      if (head.plan.head == number) return &head;
  return nullptr;
}

double highest(const std::vector<double>& pressures) {
  double most = 0;
  for (const double p : pressures)
    if (std::isfinite(p)) most = std::max(most, p);
  return most;
}

/// One head's drawing sheet: the plan at the top, a legend below.
class PressureSheet {
 public:
  PressureSheet(const joint::Engine& engine, int number) : sheet_(deck_sheet(engine, kTextShare)), head_(head_on(sheet_, number)) {
    if (head_ == nullptr) return;
    width_ = head_->width();
    letter_ = kTextShare * width_;
  }
  [[nodiscard]] bool is_known() const { return head_ != nullptr; }
  [[nodiscard]] Spot spot(double x, double y) const { return {x - head_->least_x, head_->most_y - y}; }
  [[nodiscard]] const PlacedHead& head() const { return *head_; }
  [[nodiscard]] double unit() const { return sheet_.unit; }
  [[nodiscard]] double letter() const { return letter_; }
  [[nodiscard]] double width() const { return width_; }
  [[nodiscard]] double height() const { return head_->height(); }

  void draw_outline(Svg& svg) const {
    std::vector<Spot> outline;
    for (const joint::PlanPoint& corner : head_->plan.outline) outline.push_back(spot(corner.x_mm, corner.y_mm));
    svg.polygon(outline, paint::kDeck);
  }
  void draw_bores(Svg& svg) const {
    for (const joint::PlanBore& bore : head_->plan.bores) {
      const Spot at = spot(bore.centre.x_mm, bore.centre.y_mm);
      svg.circle(at, bore.radius_mm, paint::kBore);
      svg.text({at.x, at.y + 0.3 * letter_}, std::to_string(bore.number), 1.2 * letter_, Anchor::kMiddle, "jp-number", true);
    }
  }

 private:
  static constexpr double kTextShare = 0.03;
  DeckSheet sheet_;
  const PlacedHead* head_;
  double width_ = 0;
  double letter_ = 0;
};

void draw_cells(Svg& svg, const PressureSheet& sheet, const assess::PressureMap& map, const std::vector<double>& pressures,
                const PressureScale& scale) {
  svg.open_group("jp-pressure");
  for (int row = 0; row < map.rows; ++row)
    for (int column = 0; column < map.columns;) {
      const auto at = [&](int c) {
        return pressures[static_cast<std::size_t>(row) * static_cast<std::size_t>(map.columns) + static_cast<std::size_t>(c)];
      };
      const double first = at(column);
      if (!std::isfinite(first)) {
        ++column;
        continue;
      }
      const int band = scale.band(first);
      const bool open = first <= 0;
      int end = column + 1;  // neighbours of one band make one strip: smaller drawings
      while (end < map.columns && std::isfinite(at(end)) && scale.band(at(end)) == band && (at(end) <= 0) == open) ++end;
      const Spot corner = sheet.spot(map.x0_mm + column * map.dx_mm, map.y0_mm + (row + 1) * map.dy_mm);
      svg.rectangle(corner, (end - column) * map.dx_mm, map.dy_mm, 0, open ? kOpen : kFills[band]);
      column = end;
    }
  svg.close_group();
}

void draw_bolt_forces(Svg& svg, const PressureSheet& sheet, const std::vector<std::string>& words) {
  const auto& bolts = sheet.head().plan.bolts;
  for (std::size_t b = 0; b < bolts.size(); ++b) {
    const Spot at = sheet.spot(bolts[b].x_mm, bolts[b].y_mm);
    svg.circle(at, 0.9 * sheet.letter(), {"jp-bolt", paint::kPaper, paint::kInk, 0.8, 0});
    if (b < words.size())
      svg.text({at.x, at.y + 0.3 * sheet.letter()}, words[b], 0.85 * sheet.letter(), Anchor::kMiddle, "jp-number", false);
  }
}

void draw_legend(Svg& svg, const PressureSheet& sheet, const PressureScale& scale, double top, bool has_open) {
  const double step = sheet.width() / (PressureScale::kBands + 1), letter = 0.75 * sheet.letter();
  for (int band = 0; band < PressureScale::kBands; ++band) {
    const double x = band * step;
    svg.rectangle({x, top}, 0.25 * step, letter, 0, kFills[band]);
    svg.text({x + 0.3 * step, top + 0.8 * letter}, scale.band_text(band), letter, Anchor::kStart, "jp-dimtext", false);
  }
  const double x = PressureScale::kBands * step;
  if (has_open) {
    svg.rectangle({x, top}, 0.25 * step, letter, 0, kOpen);
    svg.text({x + 0.3 * step, top + 0.8 * letter}, "open", letter, Anchor::kStart, "jp-dimtext", false);
  }
  svg.text({0, top + 2.3 * letter}, "gasket pressure, MPa; the ring marks the weakest place of a fire ring", letter, Anchor::kStart,
           "jp-dimtext", false);
}

std::string margin_words(const std::optional<double>& margin) { return margin ? fixed(*margin, 2) : "-"; }

}  // namespace

PressureScale::PressureScale(double most_MPa) {
  if (!(most_MPa > 0) || !std::isfinite(most_MPa)) return;
  const double rough = most_MPa / (1 << (kBands - 1)), decade = std::pow(10, std::floor(std::log10(rough)));
  step_ = 10 * decade;
  for (const double round : {1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 8.0})
    if (round * decade >= rough) {
      step_ = round * decade;
      break;
    }
}

int PressureScale::band(double pressure_MPa) const {
  if (!std::isfinite(pressure_MPa)) return 0;
  int band = 0;
  while (band + 1 < kBands && pressure_MPa >= step_ * (1 << band)) ++band;
  return band;
}

std::string PressureScale::band_text(int band) const {
  const int decimals = step_ >= 1 && step_ == std::floor(step_) ? 0 : step_ >= 0.1 ? 1 : 2;
  return fixed(band == 0 ? 0 : step_ * (1 << (band - 1)), decimals) + " to " + fixed(step_ * (1 << band), decimals);
}

std::string pressure_plan_svg(const assess::ClampedState& state, const joint::Engine& engine, int head, const std::string& id,
                              const std::string& title, bool greatest) {
  const PressureSheet sheet(engine, head);
  if (!sheet.is_known()) return {};
  const std::vector<double>& pressures = greatest ? state.map.greatest_MPa : state.map.pressure_MPa;
  const PressureScale scale(highest(pressures));
  Svg svg(sheet.unit());
  sheet.draw_outline(svg);
  draw_cells(svg, sheet, state.map, pressures, scale);
  sheet.draw_bores(svg);
  std::vector<std::string> words;
  for (const assess::ClampedBolt& bolt : state.bolts) words.push_back(fixed(bolt.force_N * 1e-3, 0));
  draw_bolt_forces(svg, sheet, words);
  std::string description = "Plan of the head with the gasket's pressure in bands; bolts carry their force in kN.";
  if (const assess::RingLoad* weakest = state.weakest_ring(); weakest != nullptr && !greatest) {
    svg.circle(sheet.spot(weakest->weakest.x_mm, weakest->weakest.y_mm), 1.1 * sheet.letter(), kWeakest);
    description += " Weakest place: bore " + std::to_string(weakest->bore) + ", " + side_words(weakest->angle_of_least_deg) + ", " +
                   fixed(weakest->least_N_per_mm, 0) + " N/mm.";
  }
  const double gap = sheet.letter();
  draw_legend(svg, sheet, scale, sheet.height() + gap, state.open_area_fraction > 0);
  return svg.drawing({-gap, -gap}, sheet.width() + 2 * gap, sheet.height() + 5.5 * gap, id, title, description);
}

std::vector<std::string> pressure_plan_text(const assess::ClampedState& state, const joint::Engine& engine, int head, std::size_t width) {
  const PressureSheet sheet(engine, head);
  const assess::PressureMap& map = state.map;
  if (!sheet.is_known() || map.columns < 1) return {};
  constexpr std::size_t kWidest = 78;
  const auto columns = static_cast<int>(std::min(width > 4 ? width - 4 : 1, kWidest));
  const double span = map.columns * map.dx_mm, depth = map.rows * map.dy_mm;
  const int rows = std::max(1, static_cast<int>(std::lround(columns * depth / span * 0.5)));  // letters are twice as high as wide
  std::vector<std::string> lines(static_cast<std::size_t>(rows), std::string(static_cast<std::size_t>(columns), ' '));
  const PressureScale scale(highest(map.pressure_MPa));
  const auto put = [&](double x, double y, const std::string& text) {
    const int row = std::clamp(static_cast<int>((map.y0_mm + depth - y) / depth * rows), 0, rows - 1);
    int column = static_cast<int>((x - map.x0_mm) / span * columns) - static_cast<int>(text.size()) / 2;
    column = std::clamp(column, 0, std::max(0, columns - static_cast<int>(text.size())));
    lines[static_cast<std::size_t>(row)].replace(static_cast<std::size_t>(column), text.size(), text);
  };
  for (int r = 0; r < rows; ++r)
    for (int c = 0; c < columns; ++c) {
      const double x = (c + 0.5) / columns * span, y = (rows - r - 0.5) / rows * depth;
      const auto cell =
          static_cast<std::size_t>(std::min(map.rows - 1, static_cast<int>(y / map.dy_mm))) * static_cast<std::size_t>(map.columns) +
          static_cast<std::size_t>(std::min(map.columns - 1, static_cast<int>(x / map.dx_mm)));
      const double pressure = map.pressure_MPa[cell];
      if (std::isfinite(pressure))
        lines[static_cast<std::size_t>(r)][static_cast<std::size_t>(c)] = pressure <= 0 ? '_' : ".:-=#"[scale.band(pressure)];
    }
  for (const joint::PlanBore& bore : sheet.head().plan.bores)
    put(bore.centre.x_mm, bore.centre.y_mm, "(" + std::to_string(bore.number) + ")");
  if (const assess::RingLoad* weakest = state.weakest_ring()) put(weakest->weakest.x_mm, weakest->weakest.y_mm, "X");
  std::vector<std::string> out = {"", "PRESSURE ON THE PLAN (front at the left)", ""};
  for (const std::string& line : lines) out.push_back("  " + line);
  std::string legend = "  MPa:";
  for (int band = 0; band < PressureScale::kBands; ++band) legend += std::string("  ") + ".:-=#"[band] + " " + scale.band_text(band);
  out.push_back(legend + "  _ open  X weakest");
  return out;
}

std::string clamp_table_html(const assess::ClampedState& state) {
  HtmlTable rings("Fire rings", {{"bore"}, {"least N/mm", true}, {"mean N/mm", true}, {"least where"}, {"margin", true}});
  for (const assess::RingLoad& ring : state.rings)
    rings.row({std::to_string(ring.bore), fixed(ring.least_N_per_mm, 0), fixed(ring.mean_N_per_mm, 0), side_words(ring.angle_of_least_deg),
               margin_words(ring.margin)});
  HtmlTable bolts("Bolts", {{"bolt"}, {"force, kN", true}, {"head sinks, mm", true}});
  for (const assess::ClampedBolt& bolt : state.bolts)
    bolts.row({std::to_string(bolt.number), fixed(bolt.force_N * 1e-3, 1), fixed(bolt.movement_mm, 3)});
  return rings.html() + bolts.html();
}

std::string order_plan_svg(const assess::TighteningAnswer& answer, const std::string& id) {
  const PressureSheet sheet(answer.engine, answer.head);
  if (!sheet.is_known()) return {};
  Svg svg(sheet.unit());
  sheet.draw_outline(svg);
  sheet.draw_bores(svg);
  std::vector<std::string> turns(answer.order.size());
  if (turns.empty()) turns.resize(sheet.head().plan.bolts.size());
  for (std::size_t i = 0; i < answer.order.size(); ++i) turns[static_cast<std::size_t>(answer.order[i]) - 1] = std::to_string(i + 1);
  draw_bolt_forces(svg, sheet, turns);
  const auto& bolts = sheet.head().plan.bolts;
  for (std::size_t b = 0; b < bolts.size(); ++b) {
    const Spot at = sheet.spot(bolts[b].x_mm, bolts[b].y_mm);
    const bool low = at.y > sheet.height() / 2;
    const std::string beside = answer.passes.empty() ? "bolt " + std::to_string(b + 1) : fixed(answer.passes.back().force_N[b] * 1e-3, 1);
    svg.text({at.x, at.y + (low ? -1.3 : 2.0) * sheet.letter()}, beside, 0.8 * sheet.letter(), Anchor::kMiddle, "jp-dimtext", false);
  }
  const double gap = sheet.letter();
  svg.text({0, sheet.height() + 2 * gap},
           answer.passes.empty() ? "in the circle: turn of the bolt"
                                 : "in the circle: when the bolt is turned; beside it: kN after the last pass",
           0.9 * gap, Anchor::kStart, "jp-dimtext", false);
  return svg.drawing({-gap, -gap}, sheet.width() + 2 * gap, sheet.height() + 4 * gap, id, "Order of tightening",
                     "Plan of the head; every bolt carries the number of its turn: " + order_words(answer.order) + ".");
}

std::string side_words(double angle_deg) {
  static constexpr const char* kSides[] = {"towards the rear",  "rear right", "towards the right", "front right",
                                           "towards the front", "front left", "towards the left",  "rear left"};
  if (!std::isfinite(angle_deg)) return "-";
  return kSides[((std::lround(angle_deg / 45) % 8) + 8) % 8];
}

std::string order_words(const std::vector<int>& order) {
  std::string text;
  for (std::size_t i = 0; i < order.size(); ++i) text += (i == 0 ? "" : ", ") + std::to_string(order[i]);
  return text;
}

}  // namespace headjoint::report
