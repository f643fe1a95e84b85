#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/assess/practice_looks.h"
#include "headjoint/base/result.h"

namespace headjoint::assess {

/// One engine being looked at: what was bought so far, what it cost, and the job it makes.
class PracticeGame {
 public:
  /// @param engine  must outlive this
  explicit PracticeGame(const PracticeEngine& engine);

  /// Why a check cannot be done now, in words; empty when it can.
  [[nodiscard]] std::string refusal(std::size_t row) const;

  /// Looks at the finding at these places; what was looked at before costs nothing and shows the same.
  /// @pre refusal is empty
  PracticeMove look(std::size_t row, const std::vector<std::string>& places, std::string as_typed);

  /// What looking there would cost now, with the set-up.
  [[nodiscard]] double cost_of(std::size_t row, const std::vector<std::string>& places) const;
  [[nodiscard]] bool is_looked_at(std::size_t instance) const { return looked_at_[instance]; }
  [[nodiscard]] bool is_set_up(const std::string& set_up) const { return set_ups_.contains(set_up); }

  [[nodiscard]] const PracticeEngine& engine() const { return engine_; }
  [[nodiscard]] const jobs::Job& job() const { return job_; }
  [[nodiscard]] const std::set<std::string>& set_ups() const { return set_ups_; }
  [[nodiscard]] double minutes() const { return minutes_; }
  [[nodiscard]] bool head_off() const { return job_.head_off; }

  /// The job's evidence for the network.
  [[nodiscard]] std::vector<diagnosis::Observation> observations() const;

 private:
  const PracticeEngine& engine_;
  PracticeLooks looks_;
  jobs::Job job_;
  std::set<std::string> set_ups_;
  std::vector<bool> looked_at_;
  double minutes_ = 0;
};

/// A cause that was named.
struct NamedCause {
  std::string name;  ///< "joint" for any seal path
  std::string where;
};

/// What the learner did, read.
struct PracticeMoves {
  struct Check {
    std::string typed;
    std::size_t row = 0;
    std::vector<std::string> places;
  };
  std::vector<Check> checks;
  std::vector<NamedCause> named;
  bool is_over = false;  ///< something, or nothing, was named
};

/// Rows of findings on offer, in the order of their numbers from 1.
[[nodiscard]] std::vector<std::size_t> practice_checks(const diagnosis::InstanceNetwork& network);

/// What can be named on this engine.
[[nodiscard]] std::vector<PracticeName> practice_names(const diagnosis::InstanceNetwork& network);

/// Reads "compression; leak-down 2; 17; name joint 2-3, thermostat": moves parted by semicolons or line ends, a check by its name or
/// number, its places after it (all places when none is said); naming ends the game.
/// @returns every move that cannot be read, with what would do
[[nodiscard]] Result<PracticeMoves> read_practice_moves(std::string_view text, const diagnosis::InstanceNetwork& network);

}  // namespace headjoint::assess
