#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/base/problem.h"

/// The plan of the repair and its proof: plain values with the words that go with them.
namespace headjoint::assess {

struct PlanStep {
  std::string text;
  std::string why;
  std::string source;
  std::vector<std::string> cautions;  ///< ids; shown before the step, the first time in its part
};

struct PlanSection {
  std::string name;  ///< "parts"
  std::string title;
  std::vector<PlanStep> steps;
};

/// One head bolt measured at strip-down.
struct MeasuredBolt {
  int number = 0;
  double length_mm = 0;
  std::optional<double> stretch_low_mm, stretch_high_mm;
  std::string verdict;  ///< "may serve again" | "undecided" | "scrap"
  std::string why;
};

/// The least that cleans up a measured face.
struct LeastCut {
  std::string part;        ///< "head" | "block"
  std::string head;        ///< "1"
  double free_mm = 0;      ///< when the machine may tilt the part
  double parallel_mm = 0;  ///< held parallel to the plane it was measured from
  double total_mm = 0;     ///< parallel, with the finish pass: what to order
  std::string needed;      ///< "yes" | "no" | "undecided" | "not known"
  std::string text;        ///< "The head can be cut by 0.110 mm."
};

/// What to do and in which order, with what.
struct RepairPlan {
  std::string engine;
  std::string sentence;
  std::string bolts;  ///< "new" | "undecided" | "again"
  std::string bolts_why;
  std::vector<MeasuredBolt> measured_bolts;
  std::vector<LeastCut> least_cuts;  ///< of the faces that were measured
  std::vector<PlanSection> sections;
  std::vector<std::string> missing;  ///< keys of the engine file that would make it fuller
};

/// One reading to be taken after the repair: what is expected, what is accepted, what was read.
struct ProofCheck {
  std::string check;                                        ///< "compression of cylinder 2"
  std::string test;                                         ///< "compression", "warm_up", or a sign's name
  std::string where;                                        ///< "2"
  std::string unit;                                         ///< "bar" | "min" | "degC" | "%" | "" for what is seen or absent
  std::optional<double> expected, accept_low, accept_high;  ///< in `unit`
  std::string expected_text;                                ///< "12.8 bar", "absent"
  std::string why;                                          ///< where expectation and limits come from
  std::string reading;                                      ///< as typed; empty = not taken
  std::optional<double> value;                              ///< the same in `unit`
  std::string verdict;                                      ///< "" not taken | "within" | "below" | "above" | "seen" | "absent" | "void"
  [[nodiscard]] bool is_out() const { return verdict == "below" || verdict == "above" || verdict == "seen"; }
};

/// One fault that may still be there.
struct RemainingFault {
  std::string name;  ///< "joint", "thermostat"
  std::string where;
  std::string text;
  double before = 0;  ///< after the work, before any reading of the repaired engine
  double factor = 1;  ///< by which those readings change its odds
  double chance = 0;
  std::string why;  ///< where `before` comes from
};

/// Something left undone that makes a second failure likelier.
struct LeftUndone {
  std::string text;
  std::string mend;
  double factor = 1;
};

/// Coolant against time at the first heat, coolest and warmest that a sound engine may be.
struct WarmUp {
  std::vector<double> minutes;
  std::vector<double> low_degC, expected_degC, high_degC;
  double opens_degC = 0;
};

struct Proof {
  std::string engine;
  std::string sentence;
  bool is_repaired = false;
  bool is_anything_read = false;
  std::vector<ProofCheck> checks;
  std::optional<double> fault_remains, low, high;  ///< empty before the repair
  std::vector<RemainingFault> remaining;           ///< likeliest first
  std::vector<LeftUndone> left_undone;             ///< worst first
  std::vector<std::string> not_counted;
  std::vector<std::string> still_to_take;
  std::vector<std::string> missing;  ///< keys of the engine file
  std::vector<std::string> notes;
  std::vector<std::string> cautions;  ///< ids, of taking the readings
  std::optional<double> ratio_before, ratio_after;
  std::optional<WarmUp> warm_up;
  [[nodiscard]] bool is_out() const {
    for (const ProofCheck& check : checks)
      if (check.is_out()) return true;
    return false;
  }
  [[nodiscard]] bool says_no() const { return is_out() || fault_remains.value_or(0) >= 0.5; }
};

}  // namespace headjoint::assess
