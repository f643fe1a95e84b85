#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/assess/results.h"

/// What the operations on coolant, gas, oil and exhaust answer.
namespace headjoint::assess {

/// What a result means and what it cannot mean.
struct Meaning {
  std::string sentence;  ///< the answer in one line
  std::vector<std::string> means;
  std::vector<std::string> cannot_mean;
  std::vector<std::string> assumed;  ///< figures nobody gave, with what was taken
  std::vector<Caution> cautions;
};

/// A figure with its band; not a number where there is no bound, or nothing is known.
struct Band {
  double value = 0;
  double low = 0;
  double high = 0;
};

/// A leak as one test saw it.
struct LeakSize {
  std::string status;       ///< "measured" | "no leak shown" | "too large to measure" | "not run"
  Band area_mm2;            ///< high is not a number where the test sets no upper limit
  double smallest_mm2 = 0;  ///< the least this test could have shown; not a number when it could show none
};

struct BoilingReply {
  std::string coolant;  ///< "ethylene glycol 50 %"
  double cap_bar = 0;
  double ambient_mbar = 0;
  Band boiling_degC, boiling_worn_cap_degC, boiling_no_cap_degC;
  Band freezing_degC;  ///< not a number above 60 vol %
  std::optional<Band> margin_K, margin_no_cap_K;
  std::string valid_range;
  Meaning meaning;
};

struct PressureHoldReply {
  std::string verdict;  ///< "holds" | "falls slowly" | "leaks" | "rose"
  double drop_bar = 0;
  double drop_explained_bar = 0;  ///< by the change of temperature
  double liquid_mL_per_min = 0;
  double gas_L_per_min = 0;
  LeakSize liquid;                     ///< geometric opening, if coolant leaks
  LeakSize gas;                        ///< effective area, if air leaks
  std::optional<double> lock_minutes;  ///< shortest time until the bore is full, if this opening leads into one
  Meaning meaning;
};

struct ColdRiseReply {
  std::string test;    ///< "warm-up" | "night"
  std::string status;  ///< "gas added" | "explained by warming" | "pressure lost" | "cap opened"
  double pressure_bar = 0;
  Band expected_bar;          ///< from warming alone
  Band gas_added_L;           ///< at 0 degC and 1013 mbar
  Band gas_rate_L_per_min;    ///< not a number without a time
  double smallest_gas_L = 0;  ///< not a number when the cap opens first
  LeakSize leak;              ///< at the engine's state
  std::optional<double> lock_minutes;
  Meaning meaning;
};

struct ColourTestReply {
  std::string colour;  ///< "blue" | "green" | "yellow"
  double co2_in_gas_percent = 0;
  double green_from_percent = 0, yellow_from_percent = 0;
  bool can_turn_green = false, can_turn_yellow = false;
  std::optional<double> green_after_minutes;  ///< for 0.01 mm2
  LeakSize leak;
  double smallest_if_absorbed_mm2 = 0;  ///< not a number when this gas cannot turn the dye
};
struct AnalyserReply {
  std::string verdict;  ///< "nothing" | "burnt gas" | "doubtful" | "fuel or solvent"
  double co2_percent = 0, hc_ppm = 0;
};
struct BubblesReply {
  double per_minute = 0;
  double pressure_bar = 0;
  Band flow_L_per_min;
  LeakSize leak;
};
struct GasTestReply {
  std::optional<ColourTestReply> colour;
  std::optional<AnalyserReply> analyser;
  std::optional<BubblesReply> bubbles;
  Meaning meaning;
};

struct OilWaterReply {
  std::string verdict;  ///< "not told" | "no water found" | "no coolant found" | "short trips explain it" | "water unexplained" | "coolant"
  std::optional<double> water_mL;
  Band short_trip_water_mL;
  std::optional<Band> coolant_mL;  ///< empty: none found or not looked for
  double smallest_water_mL = 0;
  double smallest_coolant_mL = 0;  ///< not a number when nothing that shows coolant was done
  double glycol_left = 1;          ///< share still there after the hot hours
  bool water_over_limit = false;
  Meaning meaning;
};

struct WhiteVapourReply {
  std::string status;  ///< "normal here" | "would be a sign" | "nothing shows"
  double outside_degC = 0;
  double normal_below_degC = 0;               ///< not a number: normal at any outside temperature
  std::optional<double> extra_water_to_show;  ///< share of the normal water
  std::optional<Band> smallest_loss_L_per_h;  ///< low: glycol burns too; high: only the coolant's own water counts
  Meaning meaning;
};

}  // namespace headjoint::assess
