#pragma once

#include <optional>
#include <span>

#include "headjoint/joint/engine.h"
#include "headjoint/units/quantity.h"

namespace headjoint::machining {

/// Which of the maker's graded gaskets goes over pistons that stand this proud.
struct GradeChoice {
  enum class Status { kNotRun, kChosen, kBelowTable, kAboveTable, kBetweenGrades, kTableIncomplete };
  Status status = Status::kNotRun;
  std::size_t index = 0;  ///< in the list of grades, when chosen
  Length protrusion;      ///< the one looked up: the largest
  Length spread;          ///< between the largest and the smallest
  Length clearance_left;  ///< thickness less protrusion, when chosen
};

/// The grade for the largest protrusion. Where two grades share a bound the thicker one is chosen.
///
/// The table is the maker's: a protrusion outside it is not extrapolated.
///
/// @param protrusions  one for each cylinder, or one for the engine; at least one
/// @throws ContractError without a protrusion
[[nodiscard]] GradeChoice gasket_grade(std::span<const joint::GasketGrade> grades, std::span<const Length> protrusions);

}  // namespace headjoint::machining
