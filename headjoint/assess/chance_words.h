#pragma once

#include <string>

namespace headjoint::assess {

/// A chance as an adverb: "almost certainly", "very probably", "probably", "quite possibly", "perhaps", "hardly", "almost certainly not".
/// The number always stands beside it: words alone mean different things to different people.
[[nodiscard]] std::string chance_words(double chance);

/// What a weight of evidence (log10 of the factor on the odds) says: "strongly for", "for", "slightly for", "says little", ... "against".
[[nodiscard]] std::string weight_words(double weight);

}  // namespace headjoint::assess
