#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/results_machining.h"
#include "headjoint/machining/consequences.h"

/// The trade's words for what a cut changes.
namespace headjoint::assess {

/// "valve gap, intake"
[[nodiscard]] std::string name_of(machining::Matter matter);

/// "0.304 mm" with the unit's usual decimals; a ratio has no unit.
[[nodiscard]] std::string cut_number(double value, const std::string& unit);

/// What can be done about a line beside another gasket; none when there is nothing to put right.
[[nodiscard]] std::vector<std::string> remedies_of(const machining::Consequence& line, const machining::Consequences& all);

/// Why there is no number, or what the number means: "the valve and the piston meet".
[[nodiscard]] std::string note_of(const machining::Consequence& line);

/// Which graded gasket the pistons ask for.
[[nodiscard]] std::string grade_words(const machining::GradeChoice& choice, const std::vector<joint::GasketGrade>& grades);

}  // namespace headjoint::assess
