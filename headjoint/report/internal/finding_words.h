#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "headjoint/assess/results.h"

/// Words and choices that terminal and paper share, so that both say the same.
namespace headjoint::report {

/// "1 error", "2 errors"
[[nodiscard]] std::string counted(std::ptrdiff_t number, const std::string& noun);

/// "0.78–0.93"
[[nodiscard]] std::string range_text(const assess::Chance& chance);

/// Where a check is to be done, when its own text does not say so: "cylinder 2", "bridge 2-3", "head 1"; else "".
[[nodiscard]] std::string place_text(const assess::NextCheck& check);

/// "Look into the cylinder with a camera, cylinder 2"
[[nodiscard]] std::string check_title(const assess::NextCheck& check);

/// The text as a sentence: capital first, full stop last; "" stays "".
[[nodiscard]] std::string sentence(const std::string& text);

/// What a status of the finding other than "done" means for whoever reads it; "" for "done".
[[nodiscard]] std::string status_text(const std::string& status);

/// Chance from which a suspect or a repair has a line of its own in a list.
inline constexpr double kLeastListedChance = 0.05;

/// Suspects worth a line: at least `least` of them, and all from kLeastListedChance on. The list is likeliest first.
[[nodiscard]] std::vector<assess::Suspect> worth_showing(const std::vector<assess::Suspect>& suspects, std::size_t least);

/// Repairs worth a line: those advised and those from kLeastListedChance on.
[[nodiscard]] std::vector<assess::RepairOption> worth_showing(const std::vector<assess::RepairOption>& options);

/// Weights that were taken against the same suspect, heaviest group first.
struct WeightGroup {
  std::string about;
  std::vector<assess::Weight> weights;
};
[[nodiscard]] std::vector<WeightGroup> grouped(const std::vector<assess::Weight>& weights, std::size_t most);

/// "WARNING: hazard. Consequence. How to avoid it."
[[nodiscard]] std::string caution_text(const assess::Caution& caution);

/// The same after the signal word.
[[nodiscard]] std::string caution_message(const assess::Caution& caution);

/// Workshop minutes as people say them: "20 min", "2 h 30 min".
[[nodiscard]] std::string duration_text(double minutes);

/// "pass": "within the limit", and so on; "" without a limit.
[[nodiscard]] std::string decision_words(const std::string& decision);

}  // namespace headjoint::report
