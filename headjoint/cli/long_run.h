#pragma once

#include <chrono>
#include <ostream>

namespace headjoint::cli {

/// Watches an operation that takes long: shows the share done on a terminal, and lets Ctrl-C stop it with what it has so far.
class LongRun {
 public:
  /// @param err  where the line of progress goes; nothing is written unless standard error is a terminal
  explicit LongRun(std::ostream& err);

  /// Wipes the line and gives Ctrl-C back its usual meaning.
  ~LongRun();
  LongRun(const LongRun&) = delete;
  LongRun& operator=(const LongRun&) = delete;

  /// @param share  done, 0 to 1
  /// @returns false once Ctrl-C was pressed
  [[nodiscard]] bool show(double share);

 private:
  std::ostream& err_;
  bool is_terminal_;
  std::chrono::steady_clock::time_point shown_;
  bool has_shown_ = false;
};

}  // namespace headjoint::cli
