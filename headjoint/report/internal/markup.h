#pragma once

#include <string>
#include <string_view>

namespace headjoint::report {

/// Text from outside made safe to show: control characters and direction overrides dropped, line ends turned into blanks,
/// broken UTF-8 replaced by U+FFFD. A name can then neither steer a terminal nor turn a line round.
[[nodiscard]] std::string plain_text(std::string_view text);

/// plain_text with & < > " ' written as entities, for XML and HTML text and attributes.
[[nodiscard]] std::string xml_text(std::string_view text);

/// `xml_text` inside <bdi>, so that a right-to-left name leaves the rest of the line alone; words of more than 24 characters
/// get places where they may be broken.
[[nodiscard]] std::string isolated(std::string_view text);

/// At most `limit` characters; a longer text is cut and ends in "…".
[[nodiscard]] std::string shortened(std::string_view text, std::size_t limit);

/// The text with its first letter in upper case (ASCII letters only).
[[nodiscard]] std::string capitalised(std::string text);

/// Decimal text with fixed decimals; "n/a" for a number that is not finite; never "-0".
[[nodiscard]] std::string fixed(double value, int decimals);

/// Like `fixed`, with "+" before a positive number.
[[nodiscard]] std::string signed_fixed(double value, int decimals);

/// A coordinate of a drawing: two decimals without trailing zeros; 0 for a number that is not finite.
[[nodiscard]] std::string coordinate(double value);

}  // namespace headjoint::report
