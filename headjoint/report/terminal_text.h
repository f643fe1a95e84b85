#pragma once

#include <string>
#include <string_view>

#include "headjoint/assess/operation.h"

namespace headjoint::report {

struct TerminalStyle {
  std::size_t width = 80;  ///< characters to a line; at least 40
  bool bold = false;       ///< verdicts and headings in bold by ANSI escapes; no colour ever
};

/// What an operation answered, as plain text for a terminal or a file.
///
/// The verdict comes first, then chances with their ranges, next checks (each after its cautions), what speaks for and against,
/// readings, faces, warnings, and on what it all rests. No line is wider than `style.width` characters, except a template of
/// `new`, which goes out as it is.
[[nodiscard]] std::string terminal_text(const assess::Reply& reply, const TerminalStyle& style = {});

}  // namespace headjoint::report
