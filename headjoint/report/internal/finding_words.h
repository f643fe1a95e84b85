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

/// " (place)" of a check when its own text does not name it: "cylinder 2", "bridge 2–3".
[[nodiscard]] std::string place_text(const std::string& where);

/// What a status of the finding other than "done" means for whoever reads it; "" for "done".
[[nodiscard]] std::string status_text(const std::string& status);

/// Suspects worth a line: at least `least` of them, and all likelier than 0.03. The list is likeliest first.
[[nodiscard]] std::vector<assess::Suspect> worth_showing(const std::vector<assess::Suspect>& suspects, std::size_t least);

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
