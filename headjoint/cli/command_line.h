#pragma once

#include <iosfwd>
#include <span>
#include <string>
#include <vector>

#include "headjoint/base/embedded.h"

namespace headjoint::cli {

/// Exit codes: 0 done, 1 done and the answer is no, the rest after sysexits.h.
enum ExitCode : int {
  kDone = 0,
  kAnswerIsNo = 1,
  kUsage = 64,
  kBadInput = 65,
  kNoSuchFile = 66,
  kUnavailable = 69,
  kInternal = 70,
  kInputOutput = 74,
  kBusy = 75,
  kConfiguration = 78,
};

/// Runs one command. Results go to `out`, all else to `err`; nothing is thrown.
/// @param words  the command line without the program's name
/// @param page   files of the workbench page, for `serve`
[[nodiscard]] int run(const std::vector<std::string>& words, std::span<const EmbeddedFile> page, std::ostream& out, std::ostream& err);

}  // namespace headjoint::cli
