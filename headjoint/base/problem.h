#pragma once

#include <string>
#include <vector>

namespace headjoint {

/// Where in an input something stands. Unknown parts stay empty or 0.
struct Place {
  std::string source;   ///< file name as the user gave it, or "" for a form or an option
  int line = 0;         ///< from 1
  int column = 0;       ///< from 1
  std::string pointer;  ///< JSON pointer inside the document, e.g. "/bore/0/at"

  bool operator==(const Place&) const = default;
};

/// One thing wrong with an input, told so that the person who typed it can mend it.
struct Problem {
  enum class Severity { kError, kWarning };

  Place place;
  std::string what;     ///< what is wrong: "bore is negative: -80 mm"
  std::string allowed;  ///< what would be right: "20 mm to 1000 mm"
  std::string mend;     ///< how to put it right: "did you mean \"bore\"?"
  Severity severity = Severity::kError;
};

using Problems = std::vector<Problem>;

/// "engine.toml:12:8: error: bore is negative; allowed: 20 mm to 1000 mm; did you mean ...?"
[[nodiscard]] std::string to_string(const Problem& problem);

/// One line per problem, in the order found.
[[nodiscard]] std::string to_string(const Problems& problems);

/// True when at least one entry is an error: warnings alone do not stop work.
[[nodiscard]] bool has_errors(const Problems& problems);

}  // namespace headjoint
