#include "headjoint/report/internal/cylinder_plan.h"

#include <algorithm>

#include "headjoint/report/internal/deck_sheet.h"

namespace headjoint::report {
namespace {

constexpr double kTextShare = 0.032;

void draw_mark(Svg& svg, const joint::PlanBore& bore, Spot centre, const BoreMark& mark, double letter) {
  if (mark.is_strong) svg.circle(centre, bore.radius_mm + 0.35 * letter, {"jp-breach", "none", paint::kRust, 3.2, 0});
  svg.text({centre.x, centre.y + 1.6 * letter}, mark.text, letter, Svg::Anchor::kMiddle, "jp-tag", mark.is_strong);
}

void draw_marks(Svg& svg, const DeckRow& row, Spot corner, const std::vector<BoreMark>& marks, double letter) {
  for (const PlacedHead& head : row.heads)
    for (const joint::PlanBore& bore : head.plan.bores) {
      const auto mark = std::find_if(marks.begin(), marks.end(), [&](const BoreMark& one) { return one.cylinder == bore.number; });
      if (mark == marks.end()) continue;
      const Spot at = head.spot(bore.centre);
      draw_mark(svg, bore, {corner.x + at.x, corner.y + at.y}, *mark, letter);
    }
}

}  // namespace

std::string cylinder_plan_svg(const joint::Engine& engine, const std::vector<BoreMark>& marks, const std::string& id_prefix,
                              const std::string& title, const std::string& description) {
  const DeckSheet sheet = deck_sheet(engine, kTextShare);
  if (sheet.rows.empty()) return {};
  Svg svg(sheet.unit);
  const double letter = sheet.text_size, gap = 1.5 * letter;
  double top = 0;
  for (const DeckRow& row : sheet.rows) {
    if (!row.name.empty()) svg.text({0, top + letter}, row.name, letter, Svg::Anchor::kStart, "jp-dimtext");
    if (!row.name.empty()) top += gap;
    draw_deck_row(svg, row, {0, top}, letter);
    draw_marks(svg, row, {0, top}, marks, letter);
    top += row.height + gap;
  }
  return svg.drawing({-gap, -gap}, sheet.width + 2 * gap, top + gap, id_prefix, title, description);
}

}  // namespace headjoint::report
