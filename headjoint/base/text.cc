#include "headjoint/base/text.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdint>

namespace headjoint {
namespace {

constexpr std::string_view kNoBreakSpace = "\xC2\xA0";
constexpr std::string_view kNarrowNoBreakSpace = "\xE2\x80\xAF";
constexpr std::string_view kMinusSign = "\xE2\x88\x92";

std::size_t leading_blank(std::string_view text) {
  if (text.empty()) return 0;
  if (std::string_view(" \t\r\n\f\v").find(text.front()) != std::string_view::npos) return 1;
  if (text.starts_with(kNoBreakSpace)) return kNoBreakSpace.size();
  if (text.starts_with(kNarrowNoBreakSpace)) return kNarrowNoBreakSpace.size();
  return 0;
}

std::size_t trailing_blank(std::string_view text) {
  if (text.empty()) return 0;
  if (std::string_view(" \t\r\n\f\v").find(text.back()) != std::string_view::npos) return 1;
  if (text.ends_with(kNoBreakSpace)) return kNoBreakSpace.size();
  if (text.ends_with(kNarrowNoBreakSpace)) return kNarrowNoBreakSpace.size();
  return 0;
}

/// Optimal string alignment distance between two short texts.
std::size_t letter_changes(std::string_view a, std::string_view b) {
  std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i) d[i][0] = i;
  for (std::size_t j = 0; j <= b.size(); ++j) d[0][j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t cost = a[i - 1] == b[j - 1] ? 0 : 1;
      d[i][j] = std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, d[i - 1][j - 1] + cost});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
    }
  }
  return d[a.size()][b.size()];
}

}  // namespace

std::string_view trimmed(std::string_view text) {
  while (const std::size_t n = leading_blank(text)) text.remove_prefix(n);
  while (const std::size_t n = trailing_blank(text)) text.remove_suffix(n);
  return text;
}

std::vector<std::string_view> split(std::string_view text, char separator) {
  std::vector<std::string_view> parts;
  std::size_t start = 0;
  for (std::size_t at = text.find(separator); at != std::string_view::npos; at = text.find(separator, start)) {
    parts.push_back(text.substr(start, at - start));
    start = at + 1;
  }
  parts.push_back(text.substr(start));
  return parts;
}

std::string lower_case(std::string_view text) {
  std::string lower(text);
  for (char& c : lower)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return lower;
}

bool is_utf8(std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const auto byte = static_cast<std::uint8_t>(text[i]);
    const std::size_t length = byte < 0x80                   ? 1
                               : byte >= 0xC2 && byte < 0xE0 ? 2
                               : byte >= 0xE0 && byte < 0xF0 ? 3
                               : byte >= 0xF0 && byte < 0xF5 ? 4
                                                             : 0;
    if (length == 0 || i + length > text.size()) return false;
    std::uint32_t point = length == 1 ? byte : byte & (0xFFU >> (length + 1));
    for (std::size_t k = 1; k < length; ++k) {
      const auto next = static_cast<std::uint8_t>(text[i + k]);
      if ((next & 0xC0U) != 0x80U) return false;
      point = (point << 6U) | (next & 0x3FU);
    }
    if ((length == 3 && point < 0x800) || (length == 4 && (point < 0x10000 || point > 0x10FFFF)) || (point >= 0xD800 && point <= 0xDFFF))
      return false;
    i += length;
  }
  return true;
}

std::optional<std::string> nearest_name(std::string_view wrong, std::span<const std::string> candidates) {
  constexpr std::size_t kLongestName = 64;
  if (wrong.empty() || wrong.size() > kLongestName) return std::nullopt;
  const std::string* best = nullptr;
  std::size_t fewest = 0;
  for (const std::string& candidate : candidates) {
    const std::size_t changes = letter_changes(wrong, candidate);
    if (changes * 3 <= std::max<std::size_t>(candidate.size(), 3) && (best == nullptr || changes < fewest)) {
      best = &candidate;
      fewest = changes;
    }
  }
  return best == nullptr ? std::nullopt : std::optional(*best);
}

std::optional<double> parse_number(std::string_view text) {
  text = trimmed(text);
  std::string plain;
  if (text.starts_with(kMinusSign)) {
    plain = "-";
    text.remove_prefix(kMinusSign.size());
  } else if (text.starts_with('+')) {
    text.remove_prefix(1);
    if (text.starts_with('-')) return std::nullopt;
  }
  for (const char c : text) plain += c == ',' ? '.' : c;
  if (std::count(plain.begin(), plain.end(), '.') > 1) return std::nullopt;
  if (plain.find_first_not_of("0123456789.eE+-") != std::string::npos) return std::nullopt;
  double value = 0;
  const auto [end, error] = std::from_chars(plain.data(), plain.data() + plain.size(), value);
  if (error != std::errc() || end != plain.data() + plain.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

std::string number_text(double value, int digits) {
  char buffer[64];
  const auto rounded = [&] { return std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::general, digits); };
  const auto shortest = [&] { return std::to_chars(buffer, buffer + sizeof buffer, value); };
  const auto [end, error] = digits > 0 ? rounded() : shortest();
  return {buffer, end};
}

std::size_t width_of(std::string_view text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

}  // namespace headjoint
