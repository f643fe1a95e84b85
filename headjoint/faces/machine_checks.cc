#include "headjoint/faces/machine_checks.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"

namespace headjoint::faces {
namespace {

constexpr double kMillimetre = 1e-3;
constexpr double kMicrometre = 1e-6;
constexpr double kDeepestPass_mm = 0.10;
constexpr double kSoftest_HB = 65;           // floor for alloy heads: trade figure, common practice
constexpr double kCamLine_mm = 0.025;        // between all journals: trade figure, common practice
constexpr double kStraightenFrom_mm = 0.08;  // one machine shop's rule, 0.003 in
constexpr double kParallel_mm = 0.05;        // end to end: common practice

void check_not_negative(Length length, const char* argument) {
  if (!(length.si() >= 0) || !std::isfinite(length.si())) throw InputError(argument, "must be 0 or more");
}

std::string mm_text(Length length) {
  const double rounded = std::round(length.si() / kMillimetre * 1e3) / 1e3;
  return number_text(rounded) + " mm";
}

/// The worse of two verdicts.
void take(std::optional<Verdict>& into, Verdict verdict) {
  if (!into || static_cast<int>(verdict) > static_cast<int>(*into)) into = verdict;
}

/// Whether `spare` metal, known to +- u, remains: the guard band at a lower limit.
Verdict verdict_on(Length spare, Length u) {
  if (spare >= u) return Verdict::kPass;
  return spare < -u ? Verdict::kFail : Verdict::kUndecided;
}

std::string comparison(Verdict verdict, const std::string& figures) {
  switch (verdict) {
    case Verdict::kPass:
      return "Enough: " + figures + ".";
    case Verdict::kFail:
      return "Too little metal: " + figures + ".";
    case Verdict::kUndecided:
      break;
  }
  return "Too near to say: " + figures + ". Measure the height again, or cut less.";
}

void hold_height(const MetalLeft& metal, Length cut, Length u, HeightLeft& left) {
  if (!metal.height) return left.missing.push_back("height of the part");
  left.height_left = *metal.height - cut;
  if (!metal.least_height) return left.missing.push_back("the maker's least height");
  const Length spare = *left.height_left - *metal.least_height;
  const Verdict verdict = verdict_on(spare, u);
  take(left.verdict, verdict);
  left.may_still_go = std::max(Length{}, *metal.height - *metal.least_height);
  left.because.push_back(comparison(
      verdict, "height " + mm_text(*left.height_left) + " left after the cut, least " + mm_text(*metal.least_height) +
                   (metal.is_height_measured ? "" : " (height not measured: new height less what the record says was removed)")));
}

void hold_removed(const MetalLeft& metal, Length cut, Length u, HeightLeft& left) {
  if (metal.removed_before) left.total_removed = *metal.removed_before + cut;
  if (!metal.most_removed) return;
  if (!metal.removed_before) return left.missing.push_back("what earlier cuts removed");
  const Length spare = *metal.most_removed - *left.total_removed;
  const Verdict verdict = verdict_on(spare, u);
  take(left.verdict, verdict);
  const Length may_go = std::max(Length{}, *metal.most_removed - *metal.removed_before);
  left.may_still_go = left.may_still_go ? std::min(*left.may_still_go, may_go) : may_go;
  left.because.push_back(
      comparison(verdict, mm_text(*left.total_removed) + " removed in all with earlier cuts, at most " + mm_text(*metal.most_removed)));
}

/// Trade figures, Ra in micrometres.
struct RoughnessRow {
  const char* kind;
  const char* metal;  ///< empty = any
  double least_um;
  double most_um;
  const char* note;
};
constexpr std::array<RoughnessRow, 7> kRoughness{{
    {"multi_layer_steel", "", 0, 1.27,
     "bare steel layers 0.5 to 0.76 um; coated ones up to 1.52 um; Rz and waviness across the fire ring count as much"},
    {"rubber_coated_steel", "", 0, 1.52, "single scratches across a bead leak"},
    {"composite", "aluminium", 1.27, 1.52, "too smooth and the facing creeps"},
    {"composite", "", 1.5, 2.54, "too smooth and the facing creeps"},
    {"graphite", "", 0.76, 2.54, "too smooth and the facing creeps"},
    {"copper", "", 0, 1.5, "annealed sheet follows marks of this depth"},
    {"steel_ring", "", 0.76, 2.0, "the ring beds into the marks"},
}};

std::string mean_text(const std::vector<double>& values) {
  std::string text;
  for (const double value : values) text += (text.empty() ? "" : ", ") + number_text(value, 3);
  return text + " HB";
}

MachineCheck hardness_check(const CheckRecord& record) {
  MachineCheck check{
      "hardness of the face, at three spots or more, exhaust side and intake side",
      "an overheated alloy head is soft: it sinks under the fire rings again, and machining it is money lost. Before anything else",
      "mean at least " + number_text(kSoftest_HB, 3) +
          " HB unless the maker says otherwise; a soft exhaust side against a hard intake side is heat",
      "common practice, no authority",
      {},
      CheckState::kOpen,
      true};
  if (record.hardness_HB.empty()) return check;
  double sum = 0;
  for (const double value : record.hardness_HB) sum += value;
  check.recorded = mean_text(record.hardness_HB);
  check.state = sum / static_cast<double>(record.hardness_HB.size()) >= kSoftest_HB ? CheckState::kGood : CheckState::kBad;
  return check;
}

MachineCheck crack_check(const CheckQuestion& question, const CheckRecord& record) {
  MachineCheck check{question.part == MachinedPart::kHead
                         ? "cracks: between valve seats, into bolt bosses and coolant passages, under pressure or with dye"
                         : "cracks: between bores, at bolt holes and coolant passages",
                     "a cracked part is not worth a cut",
                     "none",
                     "common practice, no source",
                     {},
                     CheckState::kOpen,
                     true};
  if (!record.cracks_found) return check;
  check.recorded = *record.cracks_found ? "found" : "none found";
  check.state = *record.cracks_found ? CheckState::kBad : CheckState::kGood;
  return check;
}

MachineCheck against_most(MachineCheck check, const std::optional<Length>& recorded, const std::optional<Length>& most) {
  if (!recorded) return check;
  check.recorded = mm_text(*recorded);
  if (most) check.state = *recorded <= *most ? CheckState::kGood : CheckState::kBad;
  return check;
}

MachineCheck cam_line_check(const CheckQuestion& question, const CheckRecord& record) {
  const bool bent = question.bow.si() > kStraightenFrom_mm * kMillimetre;
  return against_most({"cam bores in line: straightedge or mandrel along them, or a straight shaft turning freely",
                       bent ? "the head bends as one beam: a face this bowed means bent cam bores, and a cut leaves them bent. Straighten "
                              "first, then bore in line"
                            : "the head bends as one beam: cutting the face leaves bent cam bores bent",
                       mm_text(Length::from_si(kCamLine_mm * kMillimetre)) + " over all journals unless the maker says otherwise",
                       "common practice, no authority",
                       {},
                       CheckState::kOpen,
                       true},
                      record.cam_line_bow, Length::from_si(kCamLine_mm * kMillimetre));
}

MachineCheck roughness_check(const CheckQuestion& question, const CheckRecord& record) {
  MachineCheck check{"roughness of the finished face",
                     "too rough leaks, too smooth lets a soft gasket creep",
                     "the maker's figure",
                     "",
                     {},
                     CheckState::kOpen,
                     false};
  const auto um = [](Length length) { return length.si() / kMicrometre; };
  double least = 0;
  double most = 0;
  if (question.roughness_limit) {
    most = um(*question.roughness_limit);
    check.limit = "Ra at most " + number_text(most, 3) + " um";
    check.source = "the engine's record";
  } else if (const auto advice = roughness_advice(question.gasket_kind, question.metal)) {
    least = advice->least_um;
    most = advice->most_um;
    check.limit = "Ra " + (least > 0 ? number_text(least, 3) + " to " : std::string("at most ")) + number_text(most, 3) + " um for " +
                  advice->gasket + "; " + advice->note;
    check.source = "trade figures, no authority";
  }
  if (!record.roughness) return check;
  const double recorded = um(*record.roughness);
  check.recorded = "Ra " + number_text(recorded, 3) + " um";
  if (most > 0) check.state = recorded >= least && recorded <= most ? CheckState::kGood : CheckState::kBad;
  return check;
}

}  // namespace

HeightLeft height_left(const MetalLeft& metal, Length cut, Length uncertainty) {
  check_not_negative(cut, "cut");
  check_not_negative(uncertainty, "uncertainty");
  HeightLeft left;
  hold_height(metal, cut, uncertainty, left);
  hold_removed(metal, cut, uncertainty, left);
  return left;
}

CutPlan plan_cut(Length clean, Length finish) {
  check_not_negative(clean, "clean");
  check_not_negative(finish, "finish");
  CutPlan plan{clean, finish, clean + finish, 0};
  plan.passes = static_cast<int>(std::ceil(clean.si() / (kDeepestPass_mm * kMillimetre) - 1e-9)) + (finish.si() > 0 ? 1 : 0);
  return plan;
}

std::optional<RoughnessAdvice> roughness_advice(const std::string& kind, const std::string& metal) {
  for (const RoughnessRow& row : kRoughness) {
    if (lower_case(kind) != row.kind) continue;
    if (*row.metal != '\0' && lower_case(metal) != row.metal) continue;
    std::string gasket = row.kind;
    std::replace(gasket.begin(), gasket.end(), '_', ' ');
    return RoughnessAdvice{"a gasket of kind " + gasket, row.least_um, row.most_um, row.note};
  }
  return std::nullopt;
}

std::vector<MachineCheck> machine_checks(const CheckQuestion& question, const CheckRecord& record) {
  const bool is_head = question.part == MachinedPart::kHead;
  std::vector<MachineCheck> checks;
  if (is_head && question.is_aluminium) checks.push_back(hardness_check(record));
  checks.push_back(crack_check(question, record));
  if (is_head && question.has_overhead_cam) checks.push_back(cam_line_check(question, record));
  if (is_head) {
    checks.push_back(against_most({"recession of the valves below the face",
                                   "the cut lifts every valve towards the piston by its depth; seats may have to follow",
                                   question.recession_limit ? "at most " + mm_text(*question.recession_limit) : "the maker's figure",
                                   question.recession_limit ? "the engine's record" : "",
                                   {},
                                   CheckState::kOpen,
                                   false},
                                  record.valve_recession, question.recession_limit));
    checks.push_back({"dowels, prechamber inserts and injector tips stand clear of the cut",
                      "each loses the depth of the cut",
                      "none proud of the face",
                      "common practice, no source",
                      {},
                      CheckState::kOpen,
                      false});
  } else {
    checks.push_back({"pistons, liners and dowels stand clear of the cut",
                      "a deck cut lifts the pistons to the head by its depth",
                      "liner and piston protrusion as the maker says",
                      "common practice, no source",
                      {},
                      CheckState::kOpen,
                      false});
  }
  checks.push_back(
      against_most({is_head ? "the finished face parallel to the cam bores or the cover face, measured end to end"
                            : "the finished deck parallel to the crank bores, measured end to end",
                    "a wedge tilts the head and unevens the chambers",
                    "at most " + mm_text(Length::from_si(kParallel_mm * kMillimetre)) + " end to end unless the maker says otherwise",
                    "common practice, no source",
                    {},
                    CheckState::kOpen,
                    false},
                   record.parallelism, Length::from_si(kParallel_mm * kMillimetre)));
  checks.push_back(roughness_check(question, record));
  checks.push_back({"bolt holes: depth left for the bolts, chamfers cut again",
                    "the part is thinner, the bolts are not",
                    "bolts must not bottom",
                    "common practice, no source",
                    {},
                    CheckState::kOpen,
                    false});
  checks.push_back(
      {"stamp what was removed beside the face", "the next one must know", "", "common practice, no source", {}, CheckState::kOpen, false});
  return checks;
}

}  // namespace headjoint::faces
