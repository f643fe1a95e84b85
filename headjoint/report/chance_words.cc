#include "headjoint/report/chance_words.h"

#include <cmath>

#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

struct Step {
  double from;
  std::string_view words;
};
constexpr Step kScale[] = {
    {0.97, "almost certain"}, {0.85, "very probable"}, {0.60, "probable"},     {0.40, "as likely as not"},
    {0.15, "possible"},       {0.03, "unlikely"},      {0.0, "very unlikely"},
};
constexpr double kFewest = 0.005;  // what still rounds to 0.01

bool is_probability(double value) { return value >= 0 && value <= 1 + 1e-9; }

}  // namespace

std::string_view chance_words(double probability) {
  if (!is_probability(probability)) return "not known";
  for (const Step& step : kScale) {
    if (probability >= step.from) return step.words;
  }
  return "very unlikely";
}

std::string chance_text(double probability) {
  if (!is_probability(probability)) return "n/a";
  if (probability < kFewest) return "<0.01";
  if (probability > 1 - kFewest) return ">0.99";
  return fixed(probability, 2);
}

std::string chance_in_hundred(double probability) {
  if (!is_probability(probability)) return "not known";
  if (probability < kFewest) return "fewer than 1 in 100";
  if (probability > 1 - kFewest) return "more than 99 in 100";
  return fixed(probability * 100, 0) + " in 100";
}

}  // namespace headjoint::report
