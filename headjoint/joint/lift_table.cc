#include "headjoint/joint/lift_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>

#include "headjoint/base/text.h"

namespace headjoint::joint {
namespace {

constexpr double kShut_mm = 0.02;
constexpr double kShutShare = 0.01;
constexpr double kCycleDegrees = 720;

Problem fault(std::string what, std::string allowed, std::string mend = {}) {
  return {{}, std::move(what), std::move(allowed), std::move(mend)};
}

}  // namespace

std::optional<Problem> lift_table_fault(std::span<const LiftPoint> table) {
  if (table.size() < 3)
    return fault(fmt::format("the lift table has {} points", table.size()), "three or more pairs [crank degrees from opening, lift mm]");
  for (std::size_t i = 0; i < table.size(); ++i) {
    if (i > 0 && !(table[i].crank_deg > table[i - 1].crank_deg))
      return fault("the lift table: the crank angles do not rise", "pairs [crank degrees from opening, lift mm], degrees rising");
    if (!(table[i].lift_mm >= 0))
      return fault(fmt::format("the lift table: a lift is below zero at {} deg", number_text(table[i].crank_deg, 5)), "0 mm or more");
  }
  if (!(table.back().crank_deg - table.front().crank_deg <= kCycleDegrees))
    return fault("the lift table spans more than a cycle", "720 crank degrees at most");
  const double highest = std::max_element(table.begin(), table.end(), [](auto& a, auto& b) { return a.lift_mm < b.lift_mm; })->lift_mm;
  if (!(highest > kShut_mm)) return fault("the lift table never opens the valve", "a greatest lift above 0.02 mm");
  const double shut = std::max(kShut_mm, kShutShare * highest);
  for (const bool at_end : {false, true}) {
    const LiftPoint& point = at_end ? table.back() : table.front();
    if (point.lift_mm <= shut) continue;
    return fault(fmt::format("the lift table does not {}: the lift is still {} mm at {} deg", at_end ? "close" : "begin shut",
                             number_text(point.lift_mm, 4), number_text(point.crank_deg, 5)),
                 fmt::format("at most {} mm at both ends", number_text(shut, 2)),
                 "measure from the seat back to the seat, not from a checking lift");
  }
  return std::nullopt;
}

}  // namespace headjoint::joint
