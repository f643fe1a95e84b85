#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/base/problem.h"

/// The end of a job: what was found to be the matter, and how that is known.
namespace headjoint::jobs {

/// How the finding was made certain; only the first three count when the shop learns from it.
enum class Verified {
  kHeadOff,       ///< seen with the head off
  kPressureTest,  ///< a pressure test of the part showed it
  kRepairProved,  ///< put right, and the complaint did not come back
  kNot            ///< believed, never proved
};

/// One thing that was found, by the network's name.
struct FoundCause {
  std::string cause;  ///< "gas_to_neighbour"
  std::string where;  ///< "" engine-wide, "3", "2-3"
  Place place;
};

/// [closure]
struct Closure {
  Verified verified = Verified::kNot;
  std::vector<FoundCause> found;  ///< empty: nothing was wrong with the engine
  std::string when;
  std::optional<double> cost;     ///< in the workshop's currency, what the owner paid
  std::optional<double> minutes;  ///< hands on, checks and repair together
  std::string note;
  Place place;
  [[nodiscard]] bool is_verified() const { return verified != Verified::kNot; }
};

/// "seen with the head off", "shown by a pressure test", "proved by the repair", "not verified".
[[nodiscard]] std::string spoken(Verified verified);

}  // namespace headjoint::jobs
