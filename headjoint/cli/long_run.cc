#include "headjoint/cli/long_run.h"

#include <unistd.h>

#include <cmath>
#include <csignal>

namespace headjoint::cli {
namespace {

constexpr std::chrono::milliseconds kBetween(200);
volatile std::sig_atomic_t was_stopped = 0;

void stop(int) {
  was_stopped = 1;
  (void)std::signal(SIGINT, SIG_DFL);  // pressed again, it ends the program at once
}

}  // namespace

LongRun::LongRun(std::ostream& err) : err_(err), is_terminal_(isatty(STDERR_FILENO) == 1), shown_(std::chrono::steady_clock::now()) {
  was_stopped = 0;
  (void)std::signal(SIGINT, stop);
}

LongRun::~LongRun() {
  (void)std::signal(SIGINT, SIG_DFL);
  if (has_shown_) err_ << "\r\033[K" << std::flush;
}

bool LongRun::show(double share) {
  const auto now = std::chrono::steady_clock::now();
  if (is_terminal_ && now - shown_ >= kBetween) {
    shown_ = now;
    has_shown_ = true;
    err_ << "\r" << std::lround(100 * share) << " % done; Ctrl-C stops with what there is \033[K" << std::flush;
  }
  return was_stopped == 0;
}

}  // namespace headjoint::cli
