#include "headjoint/report/internal/pictures_record.h"

#include "headjoint/assess/results_practice.h"
#include "headjoint/assess/results_record.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/svg.h"
#include "headjoint/report/joint_plan.h"

namespace headjoint::report {
namespace {

using Anchor = Svg::Anchor;

constexpr double kUnit = 0.25, kSide = 90, kLeft = 16, kTop = 8, kBelow = 14, kRight = 8, kLetter = 3.4;  // mm
constexpr Paint kAxis{"jp-dim", "none", paint::kInk, 1.0, 0};
constexpr Paint kGrid{"jp-cross", "none", paint::kSoft, 0.5, 1.5};
constexpr Paint kPerfect{"jp-ring", "none", paint::kInk, 1.2, 6};
constexpr Paint kRange{"jp-dim", "none", paint::kInk, 1.4, 0};
constexpr Paint kPoint{"jp-bore", paint::kPaper, paint::kInk, 1.6, 0};

Spot at(double chance, double frequency) { return {kLeft + kSide * chance, kTop + kSide * (1 - frequency)}; }

std::string percent(double share) { return fixed(100 * share, 0) + " %"; }

std::string reliability_svg(const std::vector<diagnosis::ReliabilityBin>& bins) {
  Svg svg(kUnit);
  for (int tick = 0; tick <= 10; tick += 2) {
    const double value = tick / 10.0;
    svg.polyline({at(value, 0), at(value, 1)}, kGrid);
    svg.polyline({at(0, value), at(1, value)}, kGrid);
    svg.text({at(value, 0).x, at(value, 0).y + 5}, fixed(value, 1), kLetter, Anchor::kMiddle, "jp-dimtext");
    svg.text({at(0, value).x - 1.5, at(0, value).y + 1.2}, fixed(value, 1), kLetter, Anchor::kEnd, "jp-dimtext");
  }
  svg.polyline({at(0, 0), at(1, 0)}, kAxis);
  svg.polyline({at(0, 0), at(0, 1)}, kAxis);
  svg.polyline({at(0, 0), at(1, 1)}, kPerfect);
  for (const diagnosis::ReliabilityBin& bin : bins) {
    constexpr double kCap = 1.2;
    const Spot low = at(bin.mean_chance, bin.interval.low);
    const Spot high = at(bin.mean_chance, bin.interval.high);
    svg.polyline({low, high}, kRange);
    for (const Spot end : {low, high}) svg.polyline({{end.x - kCap, end.y}, {end.x + kCap, end.y}}, kRange);
    svg.circle(at(bin.mean_chance, bin.frequency), 1.6, kPoint);
    const double beside = bin.mean_chance > 0.9 ? -2.2 : 2.2;
    svg.text({at(bin.mean_chance, bin.frequency).x + beside, at(bin.mean_chance, bin.frequency).y + 1.2}, std::to_string(bin.cases),
             kLetter, beside > 0 ? Anchor::kStart : Anchor::kEnd, "jp-dimtext", true);
  }
  svg.text({kLeft + kSide / 2, kTop + kSide + 11}, "chance given that the joint had failed", kLetter, Anchor::kMiddle, "jp-dimtext");
  svg.text({1, kTop - 3}, "share that had", kLetter, Anchor::kStart, "jp-dimtext");
  return svg.drawing(
      {0, 0}, kLeft + kSide + kRight, kTop + kSide + kBelow, "reliability", "Chances given against what came out",
      "One point for each tenth of the chances given, with the number of jobs beside it and its 95 per cent range as a bar; on "
      "the broken line chances and outcomes agree.");
}

std::string reliability_table(const std::vector<diagnosis::ReliabilityBin>& bins) {
  HtmlTable table("Chances given against what came out",
                  {{"Chance given, mean"}, {"Jobs", true}, {"Joint failed", true}, {"95 % range", true}});
  for (const diagnosis::ReliabilityBin& bin : bins)
    table.row({percent(bin.mean_chance), std::to_string(bin.cases), percent(bin.frequency),
               percent(bin.interval.low) + " to " + percent(bin.interval.high)});
  return table.html();
}

}  // namespace

std::vector<Picture> draw(const assess::ShopRecord& record) {
  if (record.reliability.empty()) return {};
  return {
      {"reliability", "Chances given against what came out", reliability_svg(record.reliability), reliability_table(record.reliability)}};
}

std::vector<Picture> draw(const assess::PracticeAnswer& answer) {
  if (!answer.score) return {{"plan", "The joint from above", joint_plan_svg(answer.engine), joint_plan_table_html(answer.engine)}};
  return {{"truth", "What was hidden", breach_plan_svg(answer.engine, answer.score->plan), breach_plan_table_html(answer.score->plan)}};
}

}  // namespace headjoint::report
