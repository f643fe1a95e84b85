#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/joint/engine.h"

/// What the operations on traces and logs answer.
namespace headjoint::assess {

/// A sign or reading of the job that a trace speaks for. Offered for confirmation, never entered by itself.
struct Proposal {
  std::string sign;   ///< the finding's name
  std::string where;  ///< "" for the whole engine, "3" for a cylinder
  std::string state;  ///< "weak"
  std::string text;   ///< "starter's pull on cylinder 3 is weak"
  std::string why;
  std::string value = {};  ///< of a reading by cylinder, with its unit: "82 %"; "" for a sign
  std::string area = {};   ///< extra leak that fits it, and its band: "0.90 mm2"; "" when none was fitted
  std::string area_low = {};
  std::string area_high = {};
};

/// The file that was read.
struct TraceFile {
  std::string name;
  std::string format;
  std::string sha256;
  double bytes = 0;
  double samples = 0;
  double rate_Hz = 0;
  double duration_s = 0;
  std::string channel;
  std::string unit;  ///< "" = not known, only ratios mean something
  bool is_truncated = false;
  std::vector<std::pair<double, double>> gaps;  ///< start and length, s
};

struct TraceEvent {
  double time_s = 0;
  double peak = 0;
  double rise = 0;
  double height = 0;
  double relative = 0;
  int cycle = 0;
  int place = 0;
  int cylinder = 0;  ///< 0 = not known
  bool is_used = true;
};

struct TraceCylinder {
  int place = 0;
  int cylinder = 0;  ///< 0 = not known
  double value = 0;
  double spread = 0;
  double standard_error = 0;
  int events = 0;
  bool is_weak = false;
  double leak_area_mm2 = 0;  ///< over the tightest cylinder; not a number when not fitted
  double low_mm2 = 0;
  double high_mm2 = 0;
};

/// Columns of a plot: equal parts of the time from `from_s` to `to_s`.
struct TracePlot {
  double from_s = 0;
  double to_s = 0;
  std::vector<double> least, most;
};

/// One cycle, averaged, over 720 degrees.
struct TraceCycle {
  std::vector<double> mean, low, high;
};

struct TracePulseBand {
  double rpm = 0;
  int cycles = 0;
  double peak_deg = 0;
  double peak_error_deg = 0;
  double strength = 0;
  double signal_to_noise = 0;
  std::vector<double> average, single;
};
struct TraceOrder {
  double order = 0;
  double amplitude = 0;
  double noise = 0;
};
struct TraceSuspect {
  int cylinder = 0;
  double confidence = 0;
  double delay_ms = 0;
};

struct TraceReply {
  std::string kind;                     ///< "starter-current" | "battery-voltage" | "crank-speed" | "coolant-pressure"
  std::optional<joint::Engine> engine;  ///< when it was named
  std::string sentence;
  TraceFile file;
  double from_s = 0;  ///< of the part that was used
  double to_s = 0;
  double mean_rpm = 0;
  int cycles = 0;
  bool is_synchronised = false;
  std::vector<TraceEvent> events;
  std::vector<TraceCylinder> relative;
  std::vector<int> order;
  std::string pattern;             ///< "none" | "one" | "neighbours" | "every turn" | "several"
  std::vector<std::string> pairs;  ///< "2-3"
  double weak_below = 0;
  double smallest_mm2 = 0;  ///< the least extra leak that would have shown; not a number when not fitted
  TraceCycle average;
  TracePlot plot;
  std::vector<TracePulseBand> bands;
  std::vector<TraceOrder> orders;
  std::vector<TraceSuspect> suspects;
  std::vector<Proposal> proposals;
  std::vector<std::string> notes;
  std::vector<Caution> cautions;
};

struct LogEpisode {
  double from_s = 0;
  double to_s = 0;
  double peak_degC = 0;
  double dose_K_min = 0;
  bool is_lower_bound = false;
  bool boils_cap_good = false;
  bool boils_no_cap = false;
};
struct LogSignatureShown {
  std::string name;  ///< "sensor fell dry"
  double from_s = 0;
  double to_s = 0;
  int count = 1;
  std::string text;
};

struct CoolantLogReply {
  std::string sentence;
  TraceFile file;
  double peak_degC = 0;
  double peak_at_s = 0;
  bool peak_is_lower_bound = false;
  double limit_degC = 0;
  double above_limit_min = 0;
  double dose_K_min = 0;
  double usual_degC = 0;  ///< not a number when it never became warm
  double boiling_degC = 0;
  double boiling_no_cap_degC = 0;
  double margin_K = 0;
  double margin_no_cap_K = 0;
  std::vector<LogEpisode> episodes;
  std::vector<LogSignatureShown> signatures;
  std::vector<double> time_s, temperature_degC;     ///< for the picture, at most 600; the hottest of each part
  std::vector<double> margins_K, margins_no_cap_K;  ///< boiling minus temperature at these times, cap good and failed
  std::vector<double> margins_measured_K;           ///< under the pressure that was logged; empty without it
  std::vector<Proposal> proposals;
  std::vector<std::string> notes;
  std::vector<Caution> cautions;
};

}  // namespace headjoint::assess
