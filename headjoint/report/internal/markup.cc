#include "headjoint/report/internal/markup.h"

#include <fmt/format.h>

#include <cmath>
#include <cstdint>

#include "headjoint/base/text.h"

namespace headjoint::report {
namespace {

constexpr std::size_t kLongestWord = 24;  // characters
constexpr std::string_view kReplacement = "\xEF\xBF\xBD";

std::size_t sequence_length(unsigned char lead) {
  if (lead < 0x80) return 1;
  if (lead >= 0xC2 && lead < 0xE0) return 2;
  if (lead >= 0xE0 && lead < 0xF0) return 3;
  if (lead >= 0xF0 && lead < 0xF5) return 4;
  return 0;
}

std::uint32_t code_point(std::string_view sequence) {
  const auto byte = [&](std::size_t i) { return static_cast<std::uint32_t>(static_cast<unsigned char>(sequence[i])); };
  if (sequence.size() == 1) return byte(0);
  std::uint32_t point = byte(0) & (0xFFU >> (sequence.size() + 1));
  for (std::size_t i = 1; i < sequence.size(); ++i) point = (point << 6) | (byte(i) & 0x3F);
  return point;
}

bool is_line_break(std::uint32_t point) { return point == '\n' || point == '\r' || point == '\t' || point == 0x2028 || point == 0x2029; }

bool is_dropped(std::uint32_t point) {
  const bool control = point < 0x20 || (point >= 0x7F && point < 0xA0);
  const bool direction =
      point == 0x200E || point == 0x200F || point == 0x061C || (point >= 0x202A && point <= 0x202E) || (point >= 0x2066 && point <= 0x2069);
  return control || direction || point == 0xFEFF || (point & 0xFFFE) == 0xFFFE;
}

/// Calls `take` with every well-formed character, or with U+FFFD for a broken byte.
template <class Take>
void each_character(std::string_view text, Take take) {
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = sequence_length(static_cast<unsigned char>(text[at]));
    const std::string_view sequence = text.substr(at, length);
    if (length == 0 || sequence.size() < length || !is_utf8(sequence)) {
      take(kReplacement, 0xFFFD);
      ++at;
      continue;
    }
    take(sequence, code_point(sequence));
    at += length;
  }
}

void append_entity(std::string& out, std::string_view character) {
  if (character == "&") {
    out += "&amp;";
  } else if (character == "<") {
    out += "&lt;";
  } else if (character == ">") {
    out += "&gt;";
  } else if (character == "\"") {
    out += "&quot;";
  } else if (character == "'") {
    out += "&#39;";
  } else {
    out += character;
  }
}

}  // namespace

std::string plain_text(std::string_view text) {
  std::string out;
  each_character(text, [&](std::string_view character, std::uint32_t point) {
    if (is_line_break(point)) {
      out += ' ';
    } else if (!is_dropped(point)) {
      out += character;
    }
  });
  return std::string(trimmed(out));
}

std::string xml_text(std::string_view text) {
  std::string out;
  each_character(plain_text(text), [&](std::string_view character, std::uint32_t) { append_entity(out, character); });
  return out;
}

std::string isolated(std::string_view text) {
  std::string out = "<bdi>";
  std::size_t run = 0;
  each_character(plain_text(text), [&](std::string_view character, std::uint32_t) {
    run = character == " " ? 0 : run + 1;
    if (run > kLongestWord) {
      out += "<wbr/>";
      run = 1;
    }
    append_entity(out, character);
  });
  return out + "</bdi>";
}

std::string shortened(std::string_view text, std::size_t limit) {
  const std::string clean = plain_text(text);
  if (width_of(clean) <= limit) return clean;
  std::string out;
  std::size_t taken = 0;
  each_character(clean, [&](std::string_view character, std::uint32_t) {
    if (++taken < limit) out += character;
  });
  return out + "…";
}

std::string capitalised(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

std::string fixed(double value, int decimals) {
  if (!std::isfinite(value)) return "n/a";
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text[0] == '-' && text.find_first_not_of("-0.") == std::string::npos) text.erase(0, 1);
  return text;
}

std::string signed_fixed(double value, int decimals) {
  std::string text = fixed(value, decimals);
  const bool is_zero = text.find_first_not_of("0.") == std::string::npos;
  return std::isfinite(value) && value > 0 && !is_zero ? "+" + text : text;
}

std::string coordinate(double value) {
  if (!std::isfinite(value)) return "0";
  std::string text = fixed(value, 2);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

}  // namespace headjoint::report
