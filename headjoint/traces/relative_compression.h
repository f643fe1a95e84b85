#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "headjoint/traces/cranking_events.h"

/// Cylinders compared by what each costs the starter.
namespace headjoint::traces {

/// What is known about the engine and the instrument's second channel.
struct CrankingQuestion {
  CrankingKind kind = CrankingKind::kStarterCurrent;
  int cylinders = 4;                            ///< 2 to 16, even firing
  std::vector<int> firing_order;                ///< empty = not known: events are numbered only
  std::vector<std::pair<int, int>> neighbours;  ///< cylinders side by side under one head; empty = 1-2, 2-3, ...
  /// A channel with one pulse a cycle or a turn: ignition, injector, cam, or pressure in one cylinder.
  std::optional<Signal> sync;
  int sync_cylinder = 1;  ///< whose firing dead centre the pulse belongs to
  double sync_deg = 0;    ///< how far behind that dead centre it comes, crank degrees; before it counts negative
};

/// One cylinder, or one place in the cycle when the cylinders are not known.
struct RelativeValue {
  int place = 0;              ///< in the cycle, from 1; place 1 is the sync cylinder, or the first event without one
  int cylinder = 0;           ///< 0 = not known
  double value = 0;           ///< mean height over that of the stronger half; 1 = like those
  double spread = 0;          ///< standard deviation from cycle to cycle
  double standard_error = 0;  ///< of the value
  int events = 0;
  bool is_weak = false;
};

/// What a pattern of weak events looks like.
enum class WeakPattern {
  kNone,        ///< none stands out; says nothing when all are low alike
  kOne,         ///< one cylinder alone
  kNeighbours,  ///< two whose cylinders stand side by side: a breach between them looks like this
  kEveryTurn,   ///< what is weak repeats every turn of the crank: a breach between two that rise together, or the ring gear
  kSeveral,     ///< others
};

/// Where an event belongs.
struct PlacedEvent {
  CompressionEvent event;
  int cycle = 0;  ///< from 0
  int place = 0;  ///< from 1
  int cylinder = 0;
  double relative = 0;  ///< height over the mean height of the cycle around it
  bool is_used = true;  ///< false: too wild to count
};

/// Mean of all cycles over 720 degrees, with the band of one standard deviation.
struct AverageCycle {
  std::vector<double> mean, low, high;  ///< load, equal steps from the top of place 1
};

struct RelativeCompression {
  CrankingEvents found;  ///< its status says whether there is anything below
  std::vector<PlacedEvent> events;
  std::vector<RelativeValue> values;  ///< by place
  std::vector<int> order;             ///< cylinders by place; empty when they are not known
  int cycles = 0;
  double mean_rpm = 0;
  bool is_synchronised = false;
  bool is_half_synchronised = false;  ///< the pulse comes every turn: a cylinder and the one half a cycle later cannot be told apart
  WeakPattern pattern = WeakPattern::kNone;
  std::vector<std::pair<int, int>> pairs;  ///< of cylinders that a breach may join, for kNeighbours and kEveryTurn
  double weak_below = 0;                   ///< the value that counted as weak
  AverageCycle average;
  std::vector<std::string> notes;
};

/// Compares the cylinders.
///
/// Every hump's height over the line through the troughs on both sides is divided by the mean of one cycle around it, so that a sinking
/// battery and a changing speed cancel; the quotients of one place are averaged over all cycles, wild ones left out. The height, not the
/// top and not the rise from the trough before, is compared: a leaking cylinder gives back less, so that the next one starts lower and its
/// top stands higher. Weak is what lies below the stronger half by more than 8 % and by more than four standard errors.
///
/// What this cannot see: a loss that all cylinders share.
/// @par Source  method: common practice (public prior art of the 1970s to 1990s); thresholds: from the starter model, assumed
[[nodiscard]] RelativeCompression compare_cylinders(const Signal& trace, const CrankingQuestion& question);

}  // namespace headjoint::traces
