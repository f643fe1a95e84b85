#pragma once

#include <cstdint>
#include <vector>

namespace headjoint::traces {

/// Puts the times of a log onto an even grid: tells after each time how many samples are missing before it.
class TimeGrid {
 public:
  /// What a new time means.
  struct Step {
    enum class Kind { kNext, kSame, kBack };
    Kind kind = Kind::kNext;
    std::uint64_t missing = 0;  ///< samples that should have come before this one
  };

  /// @param first_times  of the first rows, s, rising
  explicit TimeGrid(const std::vector<double>& first_times);

  /// Samples a second; 0 when the times do not tell.
  [[nodiscard]] double rate_Hz() const { return rate_Hz_; }
  /// Times are written so coarsely that several samples share one: they are counted instead.
  [[nodiscard]] bool is_coarse() const { return is_coarse_; }

  [[nodiscard]] Step step_to(double time_s);

 private:
  double rate_Hz_ = 0;
  double usual_step_s_ = 0;  ///< between times that differ
  bool is_coarse_ = false;
  bool has_last_ = false;
  double last_s_ = 0;
  double behind_ = 0;  ///< samples by which the grid lags the clock; leaks away
};

}  // namespace headjoint::traces
