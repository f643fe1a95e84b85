#pragma once

#include <string>
#include <string_view>

/// What all papers have in common.
namespace headjoint::report {

/// What the caller alone knows about a paper: nothing here reads a clock.
struct PaperStamp {
  std::string date;  ///< as it shall be printed: "2026-11-25"
};

/// The style sheet every paper carries in its one <style> element, byte for byte, so that a server can name its hash in a content
/// security policy. Lays out for 190 x 259 mm (A4 and Letter with 10 mm margins); black on white in print.
[[nodiscard]] std::string_view paper_style();

}  // namespace headjoint::report
