#include <fmt/format.h>

#include "headjoint/assess/after_skim.h"

/// The shim plan in words.
namespace headjoint::assess {
namespace {

using machining::ShimFit;
using machining::ShimPlan;
using machining::ShimSource;
using machining::ShimTask;
using machining::ShimValve;

double in_mm(Length length) { return length.si() * 1e3; }

std::string from_words(const ShimFit& fit, const ShimTask& task) {
  switch (fit.from) {
    case ShimSource::kOwn:
      return "own";
    case ShimSource::kOtherValve:
      return "valve " + task.valves[fit.other_valve].name;
    case ShimSource::kDrawer:
      return "drawer";
    case ShimSource::kBuy:
      return "buy";
  }
  return {};
}

ShimLine line_of(const ShimValve& valve, const ShimFit& fit, const ShimTask& task) {
  ShimLine line;
  line.valve = valve.name;
  line.fitted_mm = in_mm(valve.shim);
  if (valve.lash) line.lash_mm = in_mm(*valve.lash);
  line.least_mm = in_mm(valve.lash_least);
  line.most_mm = in_mm(valve.lash_most);
  line.target_mm = in_mm(valve.target);
  line.fit_mm = in_mm(fit.shim);
  if (fit.lash_after) line.lash_after_mm = in_mm(*fit.lash_after);
  line.from = from_words(fit, task);
  line.is_inside = fit.is_inside;
  line.shim_least_mm = in_mm(fit.least_shim);
  line.shim_most_mm = in_mm(fit.most_shim);
  return line;
}

std::string counted(std::size_t count, const std::string& one, const std::string& many) {
  return fmt::format("{} {}", count, count == 1 ? one : many);
}

std::string sentence_of(const ShimAnswer& answer, const ShimPlan& plan) {
  std::size_t bought = 0;
  for (const machining::Purchase& purchase : plan.buy) bought += static_cast<std::size_t>(purchase.count);
  const std::string buys = bought == 0 ? "nothing to buy" : counted(bought, "shim", "shims") + " to buy";
  const std::string moves = plan.moved == 0 ? "no shim changes" : counted(plan.moved, "valve gets", "valves get") + " another shim";
  if (answer.outside == 0) return fmt::format("Every measured valve comes inside its limits: {}, {}.", moves, buys);
  return fmt::format("{} cannot be brought inside with these shims: {}, {}.", counted(answer.outside, "valve", "valves"), moves, buys);
}

void add_notes(const ShimTask& task, ShimAnswer& answer) {
  for (const ShimLine& line : answer.valves)
    if (line.lash_mm && !line.is_inside)
      answer.notes.push_back(
          fmt::format("valve {} needs a shim of {:.3f} mm to {:.3f} mm: look for wear, a wrong shim or a wrong reading first", line.valve,
                      line.shim_least_mm, line.shim_most_mm));
  for (const ShimLine& line : answer.valves)
    if (!line.lash_mm) answer.notes.push_back(fmt::format("valve {} was not measured: it keeps its shim", line.valve));
  if (!task.sale) answer.notes.push_back("no sizes on sale are given: nothing can be bought");
}

void add_left_over(const ShimPlan& plan, ShimAnswer& answer) {
  for (const Length size : plan.left_over) {
    const double mm = in_mm(size);
    if (!answer.left_over.empty() && mm - answer.left_over.back().size_mm < 1e-6)
      ++answer.left_over.back().count;
    else
      answer.left_over.push_back({mm, 1});
  }
}

}  // namespace

ShimAnswer judge_shims(const ShimTask& task) {
  const ShimPlan plan = machining::plan_shims(task);
  ShimAnswer answer;
  answer.name = task.name;
  answer.outside = plan.outside;
  answer.moved = plan.moved;
  answer.is_proven = plan.status == ShimPlan::Status::kProven;
  for (std::size_t i = 0; i < task.valves.size(); ++i) answer.valves.push_back(line_of(task.valves[i], plan.valves[i], task));
  for (const machining::Purchase& purchase : plan.buy) answer.buy.push_back({in_mm(purchase.size), purchase.count});
  add_left_over(plan, answer);
  answer.sentence = sentence_of(answer, plan);
  add_notes(task, answer);
  return answer;
}

}  // namespace headjoint::assess
