#include "headjoint/assess/chance_words.h"

#include <cmath>

namespace headjoint::assess {

std::string chance_words(double chance) {
  if (chance >= 0.98) return "almost certainly";
  if (chance >= 0.85) return "very probably";
  if (chance >= 0.60) return "probably";
  if (chance >= 0.35) return "quite possibly";
  if (chance >= 0.10) return "perhaps";
  if (chance >= 0.02) return "hardly";
  return "almost certainly not";
}

std::string weight_words(double weight) {
  const double size = std::abs(weight);
  if (!(size >= 0.1)) return "says little";
  const std::string side = weight > 0 ? "for" : "against";
  if (size >= 1.0) return "strongly " + side;
  return size >= 0.4 ? side : "slightly " + side;
}

}  // namespace headjoint::assess
