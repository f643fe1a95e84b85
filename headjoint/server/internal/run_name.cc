#include "headjoint/server/internal/run_name.h"

#include <algorithm>

namespace headjoint::server::internal {
namespace {

/// Behind the closing quote of the text that begins at `at`, or the end.
std::size_t end_of_text(std::string_view body, std::size_t at) {
  for (++at; at < body.size() && body[at] != '"'; ++at) {
    if (body[at] == '\\') ++at;
  }
  return std::min(at + 1, body.size());
}

std::size_t after_blanks(std::string_view body, std::size_t at) {
  while (at < body.size() && (body[at] == ' ' || body[at] == '\t' || body[at] == '\r' || body[at] == '\n')) ++at;
  return at;
}

std::string text_at(std::string_view body, std::size_t at) {
  if (at >= body.size() || body[at] != '"') return {};
  const std::size_t end = end_of_text(body, at);
  if (end - at < 2 || body[end - 1] != '"') return {};
  const std::string_view text = body.substr(at + 1, end - at - 2);
  return text.find('\\') == std::string_view::npos ? std::string(text) : std::string();
}

}  // namespace

std::string run_name_in(std::string_view body) {
  int depth = 0;
  for (std::size_t at = 0; at < body.size();) {
    const char c = body[at];
    if (c != '"') {
      depth += c == '{' || c == '[' ? 1 : c == '}' || c == ']' ? -1 : 0;
      ++at;
      continue;
    }
    const std::size_t end = end_of_text(body, at);
    const std::size_t colon = after_blanks(body, end);
    const bool is_key = colon < body.size() && body[colon] == ':';
    if (depth == 1 && is_key && body.substr(at, end - at) == "\"run\"") return text_at(body, after_blanks(body, colon + 1));
    at = end;
  }
  return {};
}

}  // namespace headjoint::server::internal
