#pragma once

#include <string>
#include <string_view>

namespace headjoint::report {

/// A probability in words for a table or an owner: "very probable". One scale for every paper.
///
/// from 0.97 "almost certain", 0.85 "very probable", 0.60 "probable", 0.40 "as likely as not", 0.15 "possible",
/// 0.03 "unlikely", below "very unlikely"; "not known" for a number that is no probability.
/// @par Source  common practice, no source: plain English words in the order of our own scale
[[nodiscard]] std::string_view chance_words(double probability);

/// "0.87"; "<0.01" and ">0.99" at the ends, since no strength here carries more digits; "n/a" when it is no probability.
[[nodiscard]] std::string chance_text(double probability);

/// "87 in 100"; "fewer than 1 in 100" and "more than 99 in 100" at the ends.
[[nodiscard]] std::string chance_in_hundred(double probability);

}  // namespace headjoint::report
