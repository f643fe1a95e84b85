#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/joint/engine.h"

/// The joint clamped, tightened and judged, with the words that go with it. Newtons, millimetres, megapascals as the names say.
namespace headjoint::assess {

struct RingLoad {
  int bore = 0;
  double least_N_per_mm = 0;
  double mean_N_per_mm = 0;
  double most_N_per_mm = 0;
  double angle_of_least_deg = 0;
  double force_N = 0;
  std::optional<double> margin;  ///< least load over what the ring needs
  joint::PlanPoint weakest;
};

struct PassagePressure {
  int number = 0;
  std::string kind;
  double least_MPa = 0;
  std::optional<double> margin;
  joint::PlanPoint weakest;
};

struct ClampedBolt {
  int number = 0;
  double force_N = 0;
  double movement_mm = 0;
  std::optional<double> utilisation;  ///< force over preload at yield
};

/// Pressure over the plan by cells, row by row along x; not-a-number where nothing carries.
struct PressureMap {
  int columns = 0;
  int rows = 0;
  double x0_mm = 0, y0_mm = 0, dx_mm = 0, dy_mm = 0;
  std::vector<double> pressure_MPa;
  std::vector<double> greatest_MPa;  ///< over all steps
};

/// One state of the joint.
struct ClampedState {
  std::string status;  ///< "converged" | "floats" | "tips" | "step_limit" | "not_run"
  std::string status_text;
  int steps = 0;
  double residual = 0;
  double reaction_N = 0;
  double applied_N = 0;
  double contact_area_mm2 = 0;
  double exact_area_mm2 = 0;
  double open_area_fraction = 0;
  double deflection_max_mm = 0;
  double slide_mm = 0;
  double plate_validity = 0;
  std::vector<RingLoad> rings;
  std::vector<PassagePressure> passages;
  std::vector<ClampedBolt> bolts;
  PressureMap map;
  [[nodiscard]] bool stands() const { return status == "converged"; }
  [[nodiscard]] bool seals() const;                    ///< stands, and every ring and passage with a need has a margin of 1 or more
  [[nodiscard]] const RingLoad* weakest_ring() const;  ///< by margin, else by load; null without rings
};

struct Clamping {
  joint::Engine engine;
  int head = 1;
  std::string sentence;
  ClampedState state;
  std::optional<double> skim_mm;  ///< cut that `after_skim` has had
  std::optional<ClampedState> after_skim;
  double grid_mm = 0;
  std::vector<std::string> loads;  ///< what acts, one sentence each
  std::vector<std::string> notes;  ///< assumptions and warnings
};

struct SealingAnswer {
  struct Share {
    int bore = 0;
    std::string input;
    double share = 0;
  };
  std::string sentence;
  double chance = 0;
  double low = 0;
  double high = 0;
  long long samples = 0;
  long long asked = 0;
  long long unsolved = 0;
  double seconds = 0;
  double margin_median = 0;
  double margin_5_percent = 0;
  std::vector<Share> weakest;
  std::vector<Share> inputs;
  /// Share of the trials in which the weakest ring had at least so much margin.
  struct AtLeast {
    double margin = 0;
    double share = 0;
  };
  std::vector<AtLeast> margins;  ///< rising margin
  std::vector<std::string> notes;
};

struct TightenedPass {
  std::string stage;  ///< "40 N m", "+90 deg", "45 kN"
  std::vector<double> force_N;
  double min_N = 0;
  double max_N = 0;
  double mean_N = 0;
  double std_N = 0;
};

struct TighteningAnswer {
  joint::Engine engine;
  int head = 1;
  std::string sentence;
  std::vector<int> order;
  std::string order_from;  ///< "asked" | "maker" | "from the middle"
  std::vector<TightenedPass> passes;
  std::vector<int> recommended_order;
  int recommended_passes = 0;
  std::string recommended_text;
  std::vector<double> compensated_N;  ///< by bolt; empty when it would pass yield
  ClampedState clamped;
  std::vector<std::string> notes;
  std::vector<Caution> cautions;
};

struct BoltAnswer {
  std::string bolt;  ///< "M11x1.5 10.9"
  std::string sentence;
  double preload_N = 0;
  double torque_Nm = 0;
  double loosening_torque_Nm = 0;
  double yield_preload_N = 0;
  double utilisation = 0;
  std::optional<double> stiffness_kN_per_mm;
  double torque_to_stretch = 0, torque_to_thread = 0, torque_to_head = 0;  ///< shares of one
  double preload_low_N = 0, preload_high_N = 0;                            ///< over the friction range, at this torque
  double nut_factor = 0;
  std::optional<double> angle_to_yield_deg;
  std::optional<double> preload_per_degree_N;
  std::optional<double> permanent_set_mm;
  std::string reuse;  ///< "reusable" | "undecided" | "scrap", or empty
  std::string reuse_why;
  std::vector<std::string> notes;
  std::vector<Caution> cautions;
};

struct LoggedBolt {
  int number = 0;
  std::optional<double> snug_Nm;
  std::optional<double> slope_Nm_per_deg;
  double final_Nm = 0;
  double final_deg = 0;
  bool yield = false;
  std::optional<double> yield_deg;
  std::optional<double> friction;
  std::optional<double> preload_kN;
  std::string flag;  ///< "" | "yield" | "odd" | "short trace"
  std::string why;
};

struct WrenchLogAnswer {
  std::string sentence;
  std::vector<LoggedBolt> bolts;
  std::vector<std::string> notes;
};

}  // namespace headjoint::assess
