#include "headjoint/assess/chance_words.h"

#include <fmt/format.h>

#include <cmath>

namespace headjoint::assess {
namespace {

struct Step {
  double from;
  std::string_view words;
  std::string_view adverb;
};
constexpr Step kScale[] = {
    {0.97, "almost certain", "almost certainly"},    {0.85, "very probable", "very probably"}, {0.60, "probable", "probably"},
    {0.40, "as likely as not", "as likely as not"},  {0.15, "possible", "possibly"},           {0.03, "unlikely", "probably not"},
    {0.00, "very unlikely", "almost certainly not"},
};
constexpr double kFewest = 0.005;  // what still rounds to 0.01

bool is_probability(double value) { return value >= 0 && value <= 1 + 1e-9; }

const Step& step_of(double chance) {
  for (const Step& step : kScale)
    if (chance >= step.from) return step;
  return kScale[std::size(kScale) - 1];
}

}  // namespace

std::string_view chance_words(double chance) { return is_probability(chance) ? step_of(chance).words : "not known"; }

std::string_view chance_adverb(double chance) { return is_probability(chance) ? step_of(chance).adverb : "not known to have"; }

std::string chance_text(double chance) {
  if (!is_probability(chance)) return "n/a";
  if (chance < kFewest) return "<0.01";
  if (chance > 1 - kFewest) return ">0.99";
  return fmt::format("{:.2f}", chance);
}

std::string chance_in_hundred(double chance) {
  if (!is_probability(chance)) return "not known";
  if (chance < kFewest) return "fewer than 1 in 100";
  if (chance > 1 - kFewest) return "more than 99 in 100";
  return fmt::format("{:.0f} in 100", 100 * chance);
}

std::string weight_words(double weight) {
  if (!(std::abs(weight) >= 0.1)) return "says little";
  const std::string side = weight > 0 ? "for" : "against";
  const double size = std::round(std::abs(weight) * 10) / 10;  // as it is printed
  if (size >= 1.0) return "strongly " + side;
  return size >= 0.4 ? side : "slightly " + side;
}

}  // namespace headjoint::assess
