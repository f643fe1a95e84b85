#pragma once

#include <string>
#include <string_view>

/// One scale of words for chances and weights, for every sentence, screen and paper. The number always stands beside the word:
/// words alone mean different things to different people.
namespace headjoint::assess {

/// "very probable". From 0.97 "almost certain", 0.85 "very probable", 0.60 "probable", 0.40 "as likely as not", 0.15 "possible",
/// 0.03 "unlikely", below "very unlikely"; "not known" for a number that is no probability.
/// @par Source  common practice, no source: plain English words in the order of our own scale
[[nodiscard]] std::string_view chance_words(double chance);

/// The same steps as an adverb: "very probably", for "the joint has ... failed".
[[nodiscard]] std::string_view chance_adverb(double chance);

/// "0.87"; "<0.01" and ">0.99" at the ends, since no strength here carries more digits; "n/a" when it is no probability.
[[nodiscard]] std::string chance_text(double chance);

/// "87 in 100"; "fewer than 1 in 100" and "more than 99 in 100" at the ends.
[[nodiscard]] std::string chance_in_hundred(double chance);

/// What a weight of evidence (log10 of the factor on the odds) says: "strongly for" from a factor of 10, "for" from 2.5,
/// "slightly for" from 1.25, "says little" below, and the same against.
[[nodiscard]] std::string weight_words(double weight);

}  // namespace headjoint::assess
