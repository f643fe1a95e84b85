#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/base/problem.h"
#include "headjoint/leakage/leak_area.h"
#include "headjoint/leakage/leak_size.h"

/// Leak areas in the numbers and words of the results.
namespace headjoint::assess {

[[nodiscard]] double mm2(Area area);

/// Upper limit of the band; not a number where the test sets none.
[[nodiscard]] double high_mm2(const leakage::LeakArea& leak);

/// "measured", "no leak shown", "too large to measure", "not judged"
[[nodiscard]] std::string status_text(leakage::LeakArea::Status status);

/// In the order of the network's states.
[[nodiscard]] std::vector<double> states_of(const leakage::LeakSizeLikelihood& likelihood);

/// A fault of one reading as a problem at its place.
[[nodiscard]] Problem problem_at(const Place& place, const std::string& what);

/// The cautions that the network's table gives for a check: "compression", "leak_down".
[[nodiscard]] std::vector<Caution> cautions_of_check(std::string_view finding);

/// "1" for index 0.
[[nodiscard]] std::string cylinder_name(std::size_t index);

}  // namespace headjoint::assess
