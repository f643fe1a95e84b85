#include "headjoint/report/seen_plan.h"

#include <charconv>
#include <map>
#include <optional>

#include "headjoint/report/internal/deck_sheet.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/repair_words.h"
#include "headjoint/report/internal/svg.h"

namespace headjoint::report {
namespace {

constexpr double kMarkSize = 1.5;  ///< of the letter
constexpr Paint kMark{"jp-deck", paint::kPaper, paint::kInk, 1.4, 0};

struct Mark {
  std::size_t row = 0;
  Spot at;
};

int number_in(std::string_view text) {
  int number = 0;
  std::from_chars(text.data(), text.data() + text.size(), number);
  return number;
}

/// Finds places of the job on the sheet.
class Places {
 public:
  explicit Places(const DeckSheet& sheet) : sheet_(sheet) {}

  [[nodiscard]] std::optional<Mark> find(const jobs::Seen& seen) const {
    if (seen.at) return at_point(*seen.at);
    const std::string& where = seen.where;
    const std::size_t dash = where.find('-');
    if (dash != std::string::npos) return between(number_in(where.substr(0, dash)), number_in(where.substr(dash + 1)));
    if (where.starts_with("passage ")) return passage(number_in(where.substr(8)));
    if (where.starts_with("bolt ")) return bolt(number_in(where.substr(5)));
    if (where.empty() || where.starts_with("head ")) return std::nullopt;
    const auto centre = bore(number_in(where));
    if (!centre) return std::nullopt;
    return Mark{centre->row, {centre->at.x, centre->at.y - 0.62 * radius_}};
  }

 private:
  template <class Look>
  std::optional<Mark> over_heads(Look look) const {
    for (std::size_t row = 0; row < sheet_.rows.size(); ++row)
      for (const PlacedHead& head : sheet_.rows[row].heads)
        if (const std::optional<joint::PlanPoint> point = look(head)) return Mark{row, head.spot(*point)};
    return std::nullopt;
  }
  std::optional<Mark> bore(int number) const {
    return over_heads([&](const PlacedHead& head) -> std::optional<joint::PlanPoint> {
      for (const joint::PlanBore& one : head.plan.bores)
        if (one.number == number) {
          radius_ = one.radius_mm;
          return one.centre;
        }
      return std::nullopt;
    });
  }
  std::optional<Mark> between(int first, int second) const {
    const auto a = bore(first), b = bore(second);
    if (!a || !b || a->row != b->row) return std::nullopt;
    return Mark{a->row, {(a->at.x + b->at.x) / 2, (a->at.y + b->at.y) / 2}};
  }
  std::optional<Mark> passage(int number) const {
    return over_heads([&](const PlacedHead& head) -> std::optional<joint::PlanPoint> {
      for (const joint::Passage& one : head.plan.passages)
        if (one.number == number) return passage_centre(one);
      return std::nullopt;
    });
  }
  /// Bolts of several heads are counted on from head to head.
  std::optional<Mark> bolt(int number) const {
    return over_heads([&, left = number](const PlacedHead& head) mutable -> std::optional<joint::PlanPoint> {
      const int here = static_cast<int>(head.plan.bolts.size());
      if (left >= 1 && left <= here) return head.plan.bolts[static_cast<std::size_t>(left - 1)];
      left -= here;
      return std::nullopt;
    });
  }
  std::optional<Mark> at_point(joint::PlanPoint point) const {
    return over_heads([&](const PlacedHead&) { return std::optional(point); });
  }

  const DeckSheet& sheet_;
  mutable double radius_ = 0;
};

void draw_mark(Svg& svg, Spot at, std::size_t number, bool is_sound, double letter) {
  const double size = kMarkSize * letter;
  svg.open_group("jp-path");
  if (is_sound)
    svg.circle(at, size / 2, kMark);
  else
    svg.rectangle({at.x - size / 2, at.y - size / 2}, size, size, 0, kMark);
  svg.text({at.x, at.y + 0.35 * letter}, std::to_string(number), letter, Svg::Anchor::kMiddle, "jp-tag", true);
  svg.close_group();
}

}  // namespace

std::string seen_plan_svg(const joint::Engine& engine, const std::vector<jobs::Seen>& seen, const PlanOptions& options) {
  const DeckSheet sheet = deck_sheet(engine, options.text_share);
  if (sheet.rows.empty()) return joint_plan_svg(engine, options);
  const double letter = sheet.text_size;
  Svg svg(sheet.unit);
  std::vector<double> tops;
  double y = 0;
  for (const DeckRow& row : sheet.rows) {
    if (!row.name.empty()) svg.text({0, y + letter}, row.name, letter, Svg::Anchor::kStart, "jp-head", true);
    if (!row.name.empty()) y += 1.7 * letter;
    tops.push_back(y);
    draw_deck_row(svg, row, {0, y}, letter);
    y += row.height + letter;
  }
  const Places places(sheet);
  std::map<std::pair<int, int>, int> taken;  // marks at one place stand below each other
  std::string unplaced;
  std::string description = std::to_string(seen.size()) + " things seen at strip-down.";
  for (std::size_t i = 0; i < seen.size(); ++i) {
    description += " " + std::to_string(i + 1) + ": " + plain_text(seen_text(seen[i])) + ".";
    const auto mark = places.find(seen[i]);
    if (!mark) {
      unplaced += (unplaced.empty() ? "" : ", ") + std::to_string(i + 1);
      continue;
    }
    Spot at = mark->at;
    at.y += tops[mark->row];
    const int before = taken[{static_cast<int>(at.x), static_cast<int>(at.y)}]++;
    at.y += 1.15 * kMarkSize * letter * before;
    draw_mark(svg, at, i + 1, seen[i].kind == "sound", letter);
  }
  y += 0.6 * letter;
  if (!unplaced.empty()) svg.text({sheet.width / 2, y}, "of the whole part: " + unplaced, letter, Svg::Anchor::kMiddle, "jp-listed");
  return svg.drawing({-sheet.margin, -0.6 * letter}, sheet.width + 2 * sheet.margin, y + 1.4 * letter, options.id_prefix,
                     "What was seen at strip-down, from above, front of the engine at the left", description);
}

std::string seen_table_html(const std::vector<jobs::Seen>& seen) {
  HtmlTable table("Seen at strip-down: square mark a finding, round mark sound",
                  {{"no.", false, true}, {"part", false, true}, {"where"}, {"what"}, {"note"}, {"photograph"}});
  for (std::size_t i = 0; i < seen.size(); ++i) {
    const jobs::Seen& one = seen[i];
    const std::string at = one.at ? "x " + fixed(one.at->x_mm, 0) + ", y " + fixed(one.at->y_mm, 0) + " mm" : seen_where(one.where);
    table.row({std::to_string(i + 1), one.part, at, spoken(one.kind), one.note, one.photo});
  }
  return table.is_empty() ? "" : table.html();
}

}  // namespace headjoint::report
