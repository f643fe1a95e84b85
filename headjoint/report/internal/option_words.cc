#include "headjoint/report/internal/option_words.h"

#include <cmath>

#include "headjoint/report/internal/markup.h"

namespace headjoint::report {

std::string cost_figure(double cost) {
  constexpr double kWhole = 100;
  return std::isfinite(cost) ? fixed(cost, std::abs(cost) < kWhole ? 1 : 0) : "n/a";
}

std::string cost_words(double cost, const std::string& unit) { return cost_figure(cost) + " " + plain_text(unit); }

std::string state_words(const assess::OptionLine& option) {
  if (option.state == "forbidden") return "not possible";
  if (option.state == "way home") return "way home only";
  return option.state;
}

std::string figure_words(double value, const std::string& unit) {
  if (!unit.empty()) return cost_words(value, unit);
  const double percent = 100 * value;
  const bool is_fine = percent < 10 || (percent > 99 && percent < 100);
  return fixed(percent, is_fine ? 1 : 0) + " %";
}

std::string turn_words(const assess::ChoiceTurn& turn) {
  return plain_text(turn.figure) + ": " + figure_words(turn.now, turn.unit) + " now; " + (turn.at > turn.now ? "from " : "below ") +
         figure_words(turn.at, turn.unit) + ": " + plain_text(turn.then_text);
}

std::string weight_words(const assess::ChoiceWeight& weight, const std::string& unit) {
  return plain_text(weight.figure) + ": from " + figure_words(weight.low, weight.unit) + " to " + figure_words(weight.high, weight.unit) +
         " the lead of the choice moves by " + cost_words(weight.swing, unit);
}

}  // namespace headjoint::report
