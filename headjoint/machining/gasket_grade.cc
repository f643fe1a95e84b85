#include "headjoint/machining/gasket_grade.h"

#include <algorithm>

#include "headjoint/base/error.h"

namespace headjoint::machining {
namespace {

/// Bounds and protrusions are typed with two or three decimals: equality is meant to a tenth of a micrometre.
constexpr Length kSame = Length::from_si(1e-7);

bool is_complete(const joint::GasketGrade& grade) { return grade.thickness && grade.protrusion_least && grade.protrusion_most; }

bool covers(const joint::GasketGrade& grade, Length protrusion) {
  return grade.protrusion_least->value - kSame <= protrusion && protrusion <= grade.protrusion_most->value + kSame;
}

}  // namespace

GradeChoice gasket_grade(std::span<const joint::GasketGrade> grades, std::span<const Length> protrusions) {
  require(!protrusions.empty(), "a grade needs a protrusion");
  const auto [smallest, largest] = std::minmax_element(protrusions.begin(), protrusions.end());
  GradeChoice choice;
  choice.protrusion = *largest;
  choice.spread = *largest - *smallest;
  if (grades.empty() || !std::all_of(grades.begin(), grades.end(), is_complete)) {
    choice.status = GradeChoice::Status::kTableIncomplete;
    return choice;
  }
  bool is_above_all = true, is_below_all = true;
  for (std::size_t i = 0; i < grades.size(); ++i) {
    is_above_all = is_above_all && *largest > grades[i].protrusion_most->value + kSame;
    is_below_all = is_below_all && *largest < grades[i].protrusion_least->value - kSame;
    if (!covers(grades[i], *largest)) continue;
    const bool is_first = choice.status != GradeChoice::Status::kChosen;
    if (is_first || grades[i].thickness->value > grades[choice.index].thickness->value) choice.index = i;
    choice.status = GradeChoice::Status::kChosen;
  }
  if (choice.status == GradeChoice::Status::kChosen)
    choice.clearance_left = grades[choice.index].thickness->value - *largest;
  else
    choice.status = is_above_all   ? GradeChoice::Status::kAboveTable
                    : is_below_all ? GradeChoice::Status::kBelowTable
                                   : GradeChoice::Status::kBetweenGrades;
  return choice;
}

}  // namespace headjoint::machining
