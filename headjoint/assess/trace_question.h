#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "headjoint/assess/operation.h"
#include "headjoint/assess/option_reader.h"
#include "headjoint/traces/cranking_events.h"
#include "headjoint/traces/recording.h"
#include "headjoint/traces/starter_model.h"
#include "headjoint/traces/tooth_speed.h"

namespace headjoint::assess {

/// What an operation on a trace is asked, from its options and the engine's file.
struct TraceQuestion {
  std::string kind;
  std::optional<traces::CrankingKind> cranking;  ///< empty for coolant pressure
  int cylinders = 0;
  std::vector<int> firing_order;
  std::vector<std::pair<int, int>> neighbours;
  std::optional<joint::Engine> named;         ///< the engine that the option names
  traces::CrankedEngine engine;               ///< for the fit
  bool has_shape = false;                     ///< bore, stroke and compression ratio are the engine's own
  std::optional<traces::ToothedWheel> wheel;  ///< the channel is the signal of a crank sensor
  bool has_sync = false;
  int sync_cylinder = 1;
  double sync_deg = 0;
  std::vector<traces::ChannelWish> channels;
  Problems warnings;
};

/// Problems go to `options`.
[[nodiscard]] TraceQuestion trace_question(const Request& request, OptionReader& options);

}  // namespace headjoint::assess
