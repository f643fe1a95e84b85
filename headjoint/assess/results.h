#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/assess/results_face_map.h"
#include "headjoint/assess/results_machining.h"
#include "headjoint/assess/results_options.h"
#include "headjoint/assess/results_repair.h"
#include "headjoint/base/problem.h"
#include "headjoint/jobs/job.h"
#include "headjoint/joint/engine.h"

/// What the operations answer: plain values with the words that go with them. Doors show these and compute nothing.
namespace headjoint::assess {

/// Stands wherever a probability is shown.
inline constexpr const char* kBasis = "Strengths of signs are common practice, not measured.";

/// A probability with the range that one step in any single strength or prior would move it through.
struct Chance {
  double value = 0;
  double low = 0;
  double high = 0;
};

/// Usual caution before a hazardous step, from data/cautions.
struct Caution {
  std::string id;
  std::string level;  ///< DANGER | WARNING | CAUTION | NOTICE (ANSI Z535 meanings)
  std::string hazard;
  std::string consequence;
  std::string avoid;
  std::string source;
};

/// One thing that may be wrong: a seal path, a cause or a rival.
struct Suspect {
  std::string name;   ///< "gas_to_neighbour"
  std::string where;  ///< "" for the whole engine, "3" for a cylinder, "2-3" for a bridge
  std::string text;   ///< "gas between cylinders 2 and 3"
  Chance chance;
  double before = 0;  ///< before any evidence
};

/// What one sign or reading says about the target it was weighed for.
struct Weight {
  std::string sign;  ///< finding's name
  std::string where;
  std::string text;   ///< "compression 2: 9.4 bar", "no milky oil"
  std::string about;  ///< text of the suspect it was weighed for
  double weight = 0;  ///< log10 of the factor on the odds; positive speaks for
  std::string words;  ///< "strongly for" | "for" | "slightly for" | "says little" | ... "against"
};

/// An observation that sits badly with the rest.
struct Conflict {
  std::string sign;
  std::string where;
  std::string text;
  double bits = 0;  ///< how much the conflict measure falls when it is left out
};

/// A strength or false-positive rate that, moved by one step, would turn the action on the joint.
struct Flip {
  std::string sign;
  std::string where;
  std::string text;         ///< "bubbles in the tank: counted half a decade less"
  double joint_failed = 0;  ///< with the number moved
};

/// The verdict after one more entry of the job.
struct VerdictStep {
  std::string entry;  ///< "steady bubbles in the tank", "compression of all cylinders"; "before anything was looked at"
  double joint_failed = 0;
  std::string leading;  ///< text of the likeliest path or rival, empty when none stands out
  double leading_chance = 0;
};

/// What the evidence says.
struct Finding {
  std::string status;       ///< "done" | "impossible" | "inaccurate" | "too large"
  std::string sentence;     ///< the verdict in one line of plain words
  double log_evidence = 0;  ///< this and joint_failed are not a number unless done
  Chance joint_failed;
  double joint_failed_before = 0;  ///< before any evidence
  std::vector<Suspect> paths;      ///< likeliest first
  std::vector<Suspect> kinds;      ///< "at some cylinder": the paths of one kind together
  std::vector<Suspect> causes;     ///< roots: why the joint failed
  std::vector<Suspect> rivals;
  std::vector<Weight> for_and_against;  ///< heaviest first
  std::vector<Conflict> conflicts;
  std::vector<std::string> not_counted;  ///< observations left out and why: "compression 3: void, liquid in the bore"
  std::vector<Suspect> explanation;      ///< the few causes that together explain most; `chance` is that of each
  double explanation_factor = 0;         ///< by which the evidence speaks for all of them together against not all of them
  std::vector<Flip> flips;
  std::vector<VerdictStep> line;  ///< in the order of the job file; only where it was asked for
};

/// Where one outcome of a check would take the verdict.
struct CheckOutcome {
  std::string state;
  double probability = 0;
  double joint_failed = 0;
  std::string then;  ///< repair that would then be advised, or empty
};

/// Two or three checks worth doing in one go. Values are workshop minutes.
struct CheckPack {
  std::vector<std::string> checks;  ///< "leak_down@2"
  std::string text;
  double net_value = 0;
  double value = 0;
  double cost = 0;
};

/// A check that may be worth doing next. Values are workshop minutes.
struct NextCheck {
  std::string check;
  std::string where;  ///< best place; "" for engine-wide
  std::string text;   ///< "look into the cylinder with a camera"
  std::string question;
  double net_value = 0;
  double value = 0;
  double cost = 0;
  double minutes = 0;
  std::string why;
  std::string cannot_see;
  std::vector<CheckOutcome> outcomes;
  bool behind_opening = false;  ///< only with the head off, whose cost is in `cost`
  std::vector<Caution> cautions;
};

/// A repair that the evidence may call for.
struct RepairOption {
  std::string option;  ///< decision's name
  std::string text;
  double chance = 0;        ///< that it is needed
  double put_right = 0;     ///< minutes when done
  double left = 0;          ///< expected minutes lost when not done
  bool is_advised = false;  ///< put_right < left, and no check on offer could turn it
  std::string advice = {};  ///< "advised" | "check first" | "not yet"
};

/// Leak-down of every cylinder.
struct LeakDownCylinder {
  int cylinder = 0;
  std::string status;  ///< "measured" | "no leak shown" | "too large to measure" | "not taken" | "not accessible"
  double reading_bar = 0;
  double ratio = 0;  ///< leak area / tester orifice area
  double loss = 0;   ///< 0..1
  double leak_area_mm2 = 0;
  double low_mm2 = 0;
  double high_mm2 = 0;  ///< not a number where the test sets no upper limit
  double flow_L_per_min = 0;
  bool is_suspect = false;  ///< loss above 25 %
};
/// What of a cylinder's leak-down comes out where.
struct LeakDownOutlet {
  int cylinder = 0;
  std::string outlet;  ///< "coolant", "neighbour's plug hole", "oil filler"
  std::string how;     ///< "by flow meter" | "by ear" | "as sound rings always pass some"
  double share = 0;    ///< of the cylinder's leak, 0..1
  double leak_area_mm2 = 0;
  double low_mm2 = 0;
  double high_mm2 = 0;          ///< not a number where the test sets no upper limit
  bool is_never_sound = false;  ///< any air there is a fault
};
struct LeakDown {
  double supply_bar = 0;
  double orifice_mm = 0;
  double orifice_area_mm2 = 0;
  double smallest_leak_mm2 = 0;  ///< the least this test could have shown
  std::vector<LeakDownCylinder> cylinders;
  std::vector<LeakDownOutlet> outlets;  ///< of the cylinders whose outlets were looked at
  double piston_force_kN = 0;           ///< of the air at supply pressure; 0 where the bore is not known
  double crank_torque_Nm = 0;           ///< of that force 10 deg past top dead centre
  std::vector<std::string> notes;
  std::vector<Caution> cautions;
};

/// Cranking compression compared within the engine.
struct CompressionCylinder {
  int cylinder = 0;
  std::string status;  ///< "measured" | "not taken" | "invalid: too high, liquid in the bore?"
  double reading_bar = 0;
  double expected_bar = 0;
  double ratio = 0;
  double leak_area_mm2 = 0;
  double low_mm2 = 0;
  double high_mm2 = 0;  ///< not a number where the test sets no upper limit
};
struct CompressionPair {
  std::string bridge;  ///< "2-3"
  std::string text;
  bool is_equal = true;      ///< as equal as a breach would make them
  double leak_area_mm2 = 0;  ///< of the breach, if all that both lack goes across; not a number without cranking data
  double low_mm2 = 0;
  double high_mm2 = 0;             ///< not a number where the test sets no upper limit
  double difference = 0;           ///< (first - second) / mean
  double expected_difference = 0;  ///< by the coupled cycle
};

/// Pressure against crank angle, for a drawing.
struct PressureTrace {
  std::string name;      ///< "a sound cylinder", "cylinder 2"
  double first_deg = 0;  ///< after top dead centre of compression
  double step_deg = 0;
  std::vector<double> bar_abs;
};
struct Compression {
  double lowest_over_highest = 0;
  std::vector<CompressionCylinder> cylinders;
  std::vector<CompressionPair> pairs;
  std::vector<std::string> notes;  ///< rules met or broken, each with its source
  double base_mm2 = 0;             ///< what all cylinders leak in the model before any difference; 0 without cranking data
  double base_low_mm2 = 0;         ///< under Hohenberg's heat loss
  double base_high_mm2 = 0;        ///< under Woschni's
  std::string level;               ///< "usual" | "low" | "high" | "" without cranking data
  double usual_low_bar = 0;        ///< where a sound engine is expected on the gauge
  double usual_high_bar = 0;
  std::vector<PressureTrace> traces;  ///< a sound cylinder beside the lowest
  std::vector<Caution> cautions;      ///< of the test, where the test alone was asked about
  double smallest_leak_mm2 = 0;
};

/// One measured point of a face and how far it stands from the middle of the minimum zone.
struct FacePoint {
  double x_mm = 0;
  double y_mm = 0;
  double z_mm = 0;
  double deviation_mm = 0;
  std::string name = {};  ///< as the file calls it, else its number from 1
};

/// A measured face evaluated.
struct Flatness {
  std::string part;    ///< "head" | "block"; empty when the table alone was given
  std::string head;    ///< "1"
  std::string source;  ///< file
  int points = 0;
  int not_measured = 0;
  double least_squares_FLTt_mm = 0, FLTp_mm = 0, FLTv_mm = 0, FLTq_mm = 0;
  std::string status;  ///< "optimal" or why not
  double minimum_zone_FLTt_mm = 0;
  std::string contact;                          ///< "3-1" | "2-2" | "1-3" ...
  std::vector<int> upper_points, lower_points;  ///< places in `face`, from 1
  bool is_certified = false;
  double limit_mm = 0;  ///< 0 = none given
  std::string limit_source;
  double uncertainty_mm = 0;  ///< expanded, k = 2
  std::string decision;       ///< "pass" | "undecided" | "fail" | "" without a limit
  std::string decision_text;
  std::vector<std::string> notes;
  std::vector<FacePoint> face;                   ///< of many thousand points the contacts and an even choice of the others
  LocalFigure local;                             ///< within a window
  std::vector<NamedPoint> outliers;              ///< points off the plane of their neighbours, and by how much
  std::vector<NamedPoint> without_each_contact;  ///< minimum zone without the point
  std::vector<UncertaintyPart> budget;           ///< of an uncertainty that was assumed; empty when it was given
  std::string to_settle;                         ///< what would settle an undecided one
  FaceMap map;
};

/// Everything a job's data allow.
struct Assessment {
  jobs::Job job;
  std::string version;  ///< of the program
  std::string learnt;   ///< which strengths are the shop's own, in words; empty: all are shipped
  Finding finding;
  std::vector<NextCheck> next_checks;
  std::vector<CheckPack> packs;
  std::string stop;  ///< "Enough is known: ..." or empty while a check is worth its cost
  std::vector<RepairOption> options;
  OptionsAnswer choice;  ///< what to do about the joint, with costs
  std::optional<LeakDown> leak_down;
  std::optional<Compression> compression;
  std::vector<Flatness> faces;
  std::optional<AfterSkim> after_skim;  ///< of the cut that the job orders
  RepairPlan plan;                      ///< only where everything was asked for
  std::optional<Proof> proof;           ///< likewise, of a job with a repair or with readings after it
  std::string job_hash;                 ///< SHA-256 of the job as written by the program; likewise
  Problems warnings;                    ///< from reading the job and the engine
};

/// A measured face or an ordered cut: there is something for the machine shop.
/// The engine file has places of bolts to tick.
[[nodiscard]] inline bool has_tightening_sheet(const Assessment& all) { return all.job.engine.bolts && !all.job.engine.bolts->at.empty(); }
[[nodiscard]] inline bool has_machine_shop_order(const Assessment& all) { return !all.faces.empty() || all.after_skim.has_value(); }

/// A question the mechanic can answer for this engine.
struct Question {
  std::string name;
  std::string text;
  std::string question;
  std::string kind;                 ///< symptom | history | test | reading
  std::string scope;                ///< engine | head | cylinder | bridge
  std::vector<std::string> places;  ///< empty for the whole engine
  std::vector<std::string> states;  ///< lowest first: "absent", "seen"
  double minutes = 0;
  std::string needs;
  std::string cannot_see;
  std::vector<Caution> cautions;
};

}  // namespace headjoint::assess
