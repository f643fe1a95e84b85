#include "headjoint/base/problem.h"

#include <algorithm>

namespace headjoint {
namespace {

std::string place_text(const Place& place) {
  std::string text = place.source;
  if (place.line > 0) {
    text += (text.empty() ? "line " : ":") + std::to_string(place.line);
    if (place.column > 0) text += ":" + std::to_string(place.column);
  } else if (!place.pointer.empty()) {
    text += (text.empty() ? "" : " at ") + place.pointer;
  }
  return text;
}

}  // namespace

std::string to_string(const Problem& problem) {
  std::string text = place_text(problem.place);
  if (!text.empty()) text += ": ";
  text += problem.severity == Problem::Severity::kError ? "error: " : "warning: ";
  text += problem.what;
  if (!problem.allowed.empty()) text += "; allowed: " + problem.allowed;
  if (!problem.mend.empty()) text += "; " + problem.mend;
  return text;
}

std::string to_string(const Problems& problems) {
  std::string text;
  for (const Problem& problem : problems) text += to_string(problem) + "\n";
  return text;
}

bool has_errors(const Problems& problems) {
  return std::any_of(problems.begin(), problems.end(), [](const Problem& p) { return p.severity == Problem::Severity::kError; });
}

}  // namespace headjoint
