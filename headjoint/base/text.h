#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace headjoint {

/// Without blanks, tabs, no-break spaces and line ends at both ends.
[[nodiscard]] std::string_view trimmed(std::string_view text);

/// The parts between separators; "" gives one empty part.
[[nodiscard]] std::vector<std::string_view> split(std::string_view text, char separator);

[[nodiscard]] std::string lower_case(std::string_view text);

/// True for well-formed UTF-8 (no overlong forms, no surrogates).
[[nodiscard]] bool is_utf8(std::string_view text);

/// The candidate with the fewest letter changes (insert, delete, replace, swap), when that is at most a third of its length.
[[nodiscard]] std::optional<std::string> nearest_name(std::string_view wrong, std::span<const std::string> candidates);

/// A number as people type it: sign (also U+2212), digits, one decimal point or one decimal comma, exponent.
/// Empty for anything else, for "1,234.5", for infinities and for NaN. Never depends on the locale.
[[nodiscard]] std::optional<double> parse_number(std::string_view text);

/// Shortest decimal text that reads back to the same number; `digits` > 0 rounds to so many significant digits first.
[[nodiscard]] std::string number_text(double value, int digits = 0);

/// How many character cells a UTF-8 text takes on a terminal (every code point counts one).
[[nodiscard]] std::size_t width_of(std::string_view text);

}  // namespace headjoint
