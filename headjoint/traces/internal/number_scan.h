#pragma once

#include <charconv>
#include <cmath>
#include <cstdint>
#include <limits>

namespace headjoint::traces {

enum class CellKind { kNumber, kMissing, kText };

struct CellValue {
  CellKind kind = CellKind::kText;
  double value = std::numeric_limits<double>::quiet_NaN();
};

/// A cell as a number, with the decimal mark of the table. Empty, "-", "nan", "inf" and the like count as missing.
/// Up to 18 digits with a small exponent take the short way; it is exact to the last bit but one.
inline CellValue scan_number(const char* at, const char* end, char decimal_mark);

namespace number_scan {

inline bool is_blank(char c) { return c == ' ' || c == '\t' || c == '"' || c == '\r'; }
inline bool is_digit(char c) { return c >= '0' && c <= '9'; }

inline double power_of_ten(int exponent) {
  static constexpr double kPowers[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
                                       1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
  if (exponent >= 0) return exponent <= 22 ? kPowers[exponent] : std::pow(10.0, exponent);
  return exponent >= -22 ? 1 / kPowers[-exponent] : std::pow(10.0, exponent);
}

inline bool says_missing(const char* at, const char* end) {
  if (at == end) return true;
  const auto lower = [](char c) { return static_cast<char>(c | 0x20); };
  const char* word = *at == '-' || *at == '+' ? at + 1 : at;
  if (word == end) return true;
  if (*word == '-' || *word == '?' || *word == '*') return true;
  if (end - word < 2) return false;
  const char a = lower(word[0]), b = lower(word[1]);
  return (a == 'n' && (b == 'a' || b == '/' || b == 'u')) || (a == 'i' && b == 'n') || (a == 'o' && b == 'v') || *word == '#';
}

}  // namespace number_scan

inline CellValue scan_number(const char* at, const char* end, char decimal_mark) {
  using namespace number_scan;
  while (at < end && is_blank(*at)) ++at;
  while (end > at && is_blank(end[-1])) --end;
  const char* start = at;
  const bool is_negative = at < end && *at == '-';
  if (at < end && (*at == '-' || *at == '+')) ++at;
  std::uint64_t digits = 0;
  int count = 0, exponent = 0;
  bool has_digit = false;
  for (; at < end && is_digit(*at); ++at) {
    has_digit = true;
    if (count < 18) {
      digits = digits * 10 + static_cast<std::uint64_t>(*at - '0');
      count += digits != 0;
    } else {
      ++exponent;
    }
  }
  if (at < end && *at == decimal_mark) {
    for (++at; at < end && is_digit(*at); ++at) {
      has_digit = true;
      if (count >= 18) continue;
      digits = digits * 10 + static_cast<std::uint64_t>(*at - '0');
      count += digits != 0;
      --exponent;
    }
  }
  if (!has_digit) return says_missing(start, end) ? CellValue{CellKind::kMissing} : CellValue{};
  if (at < end && (*at == 'e' || *at == 'E')) {
    int given = 0;
    const char* from = at + 1 < end && at[1] == '+' ? at + 2 : at + 1;
    const auto [stop, error] = std::from_chars(from, end, given);
    if (error != std::errc() || given > 400 || given < -400) return {};
    exponent += given;
    at = stop;
  }
  if (at != end) return {};
  const double size = static_cast<double>(digits);
  const double value = exponent >= 0     ? size * power_of_ten(exponent)
                       : exponent >= -22 ? size / power_of_ten(-exponent)
                                         : size * power_of_ten(exponent);
  return {CellKind::kNumber, is_negative ? -value : value};
}

}  // namespace headjoint::traces
