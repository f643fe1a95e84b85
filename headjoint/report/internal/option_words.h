#pragma once

#include <string>

#include "headjoint/assess/results_options.h"

namespace headjoint::report {

/// "684", "11.4": without the unit.
[[nodiscard]] std::string cost_figure(double cost);
/// "684 crowns"
[[nodiscard]] std::string cost_words(double cost, const std::string& unit);
/// "chosen", "possible", "way home only", "not allowed"
[[nodiscard]] std::string state_words(const assess::OptionLine& option);
/// A figure of a turn or a weight with its unit; a chance without one in per cent.
[[nodiscard]] std::string figure_words(double value, const std::string& unit);
/// "hours ...: 7.4 h now; from 12 h: exchange engine"
[[nodiscard]] std::string turn_words(const assess::ChoiceTurn& turn);
[[nodiscard]] std::string weight_words(const assess::ChoiceWeight& weight, const std::string& unit);

}  // namespace headjoint::report
