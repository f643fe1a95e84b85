#include "headjoint/assess/proof.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

#include "headjoint/assess/chance_words.h"
#include "headjoint/assess/engine_layout.h"
#include "headjoint/assess/evidence.h"
#include "headjoint/assess/finding.h"
#include "headjoint/assess/internal/reading_words.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/repair_plan.h"
#include "headjoint/base/text.h"

namespace headjoint::assess {
namespace {

constexpr double kProven = 0.05;  ///< chance of a fault below which the proof counts as brought
constexpr double kLikely = 0.5;
constexpr double kLeastResidual = 0.15;            ///< of a rival that the finding left open
constexpr double kRaised = 3, kLeastRaised = 0.1;  ///< a rival that only the new readings speak for
constexpr std::size_t kMostNamed = 4;

bool has_word(const std::vector<std::string>& words, const std::string& word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

bool was_joint_opened(const jobs::Job& job) {
  if (!job.repair) return false;
  constexpr std::array kWork = {"head_skimmed", "deck_machined", "tightened_as_asked", "wrench_logged", "holes_cleaned", "gasket_only"};
  return !job.repair->gasket.empty() || !job.repair->bolts.empty() ||
         std::any_of(kWork.begin(), kWork.end(), [&](const char* word) { return has_word(job.repair->done, word); });
}

/// Finding of the engine as it is now, by what was seen and read since the repair.
Result<Finding> finding_after(const jobs::Job& after, std::vector<std::string>& not_counted) {
  const diagnosis::InstanceNetwork network = network_of(after.engine, after.history);
  auto evidence = gather_evidence(after, network);
  if (!evidence) return evidence.problems();
  not_counted = evidence->not_counted;
  return finding_of(network, evidence->observations, evidence->not_counted);
}

const Suspect* find(const std::vector<Suspect>& suspects, const Suspect& like) {
  const auto found =
      std::find_if(suspects.begin(), suspects.end(), [&](const Suspect& one) { return one.name == like.name && one.where == like.where; });
  return found == suspects.end() ? nullptr : &*found;
}

/// Weighs what may remain: the joint, and what the finding left open beside it.
class Remaining {
 public:
  Remaining(const Assessment& all, const Finding& after, Proof& proof) : all_(all), after_(after), proof_(proof) {}

  void run() {
    add_joint();
    for (const Suspect& rival : all_.finding.rivals) add_rival(rival);
    std::stable_sort(proof_.remaining.begin(), proof_.remaining.end(), [](const auto& a, const auto& b) { return a.chance > b.chance; });
    const auto total = [&](double spread) {
      std::vector<double> chances;
      for (const RemainingFault& fault : proof_.remaining) chances.push_back(repair::updated(fault.chance, spread));
      return repair::any_of(chances);
    };
    const double spread = second_failure_table().spread;
    proof_.fault_remains = total(1);
    proof_.low = total(1 / spread);
    proof_.high = total(spread);
  }

 private:
  void add_joint() {
    RemainingFault joint{"joint", "", "the joint between head and block", 0, 1, 0, ""};
    if (was_joint_opened(all_.job)) {
      const repair::JointPrior prior = repair::joint_prior(second_failure_table(), proof_facts(all_));
      joint.before = prior.chance.value;
      joint.why =
          prior.drivers.empty() ? "how often a joint done well lets go again" : "how often a joint lets go again with what was left undone";
      for (const auto& driver : prior.drivers) proof_.left_undone.push_back({driver.text, driver.mend, driver.factor});
    } else {
      joint.before = all_.finding.status == "done" ? all_.finding.joint_failed.value : 0.5;
      joint.why = "the joint was not opened: what the finding said of it";
    }
    if (after_.status == "done") joint.factor = repair::odds_factor(after_.joint_failed_before, after_.joint_failed.value);
    joint.chance = repair::updated(joint.before, joint.factor);
    if (joint.factor > 1 && after_.status == "done" && !after_.paths.empty()) joint.text += ": " + after_.paths.front().text;
    proof_.remaining.push_back(std::move(joint));
  }

  /// What nobody would put right, such as condensation, is no fault that remains.
  void add_rival(const Suspect& rival) {
    if (decision_of(rival.name).empty()) return;
    RemainingFault fault{rival.name, rival.where, rival.text, rival.chance.value, 1, 0, "the finding left it open"};
    const bool was_left_open = rival.chance.value >= kLeastResidual && rival.chance.value > rival.before;
    if (all_.job.repair && has_word(all_.job.repair->cured, rival.name)) {
      fault.before *= second_failure_table().cured_but_wrong;
      fault.why = "put right; how often the same cause is back";
    }
    if (const Suspect* now = after_.status == "done" ? find(after_.rivals, rival) : nullptr)
      fault.factor = repair::odds_factor(now->before, now->chance.value);
    fault.chance = repair::updated(fault.before, fault.factor);
    const bool is_raised = fault.factor >= kRaised && fault.chance >= kLeastRaised;
    if (was_left_open || is_raised) proof_.remaining.push_back(std::move(fault));
  }

  const Assessment& all_;
  const Finding& after_;
  Proof& proof_;
};

std::string names_of(const std::vector<ProofCheck>& checks) {
  std::vector<std::string> names;
  for (const ProofCheck& check : checks)
    if (check.is_out()) names.push_back(check.check + (check.verdict == "seen" ? "" : " " + check.verdict + " its limit"));
  std::string text;
  for (std::size_t i = 0; i < std::min(names.size(), kMostNamed); ++i) text += (i > 0 ? "; " : "") + names[i];
  if (names.size() > kMostNamed) text += fmt::format("; and {} more", names.size() - kMostNamed);
  return text;
}

std::string chance_part(const Proof& proof) {
  return fmt::format("chance that a fault remains {} ({} to {})", chance_text(*proof.fault_remains), chance_text(*proof.low),
                     chance_text(*proof.high));
}

std::string sentence_of(const Proof& proof) {
  if (!proof.is_repaired && !proof.is_anything_read) return "Nothing is repaired yet: these are the readings to expect after the repair.";
  const std::string chance = chance_part(proof);
  const auto out = std::count_if(proof.checks.begin(), proof.checks.end(), [](const ProofCheck& check) { return check.is_out(); });
  if (out > 0)
    return fmt::format("Not proven: {} of what was read {} not what a sound engine shows ({}); {}.", out, out == 1 ? "is" : "are",
                       names_of(proof.checks), chance);
  if (*proof.fault_remains >= kLikely) return "A fault probably remains: " + chance + ".";
  if (!proof.is_anything_read) return "Not proven yet, nothing has been read since the repair: " + chance + " by what was done.";
  if (*proof.fault_remains < kProven) return "Proven as far as these checks see: everything read is within its limits; " + chance + ".";
  return "Everything read is within its limits, but it is not proven yet: " + chance + ".";
}

/// What would tell most and has not been taken: one line a test.
void add_still_to_take(Proof& proof) {
  std::set<std::string> tests;
  for (const ProofCheck& check : proof.checks) {
    if (!check.reading.empty() || check.test == "compression_evenness" || !tests.insert(check.test).second) continue;
    const bool is_by_cylinder = check.test == "compression" || check.test == "leak_down";
    proof.still_to_take.push_back(is_by_cylinder ? (check.test == "compression" ? "compression" : "leak-down") : check.check);
  }
}

void add_cautions(const jobs::Job& job, Proof& proof) {
  std::vector<std::string> findings = {"compression", "leak_down"};
  if (job.engine.general.cooling == joint::CooledBy::kLiquid) findings.insert(findings.end(), {"pressure_hold", "colour_test"});
  for (const std::string& finding : findings)
    for (const Caution& caution : cautions_of_check(finding))
      if (!has_word(proof.cautions, caution.id)) proof.cautions.push_back(caution.id);
}

void warn_of_unknown_cures(const jobs::Job& job, Proof& proof) {
  if (!job.repair) return;
  std::vector<std::string> names;
  for (const diagnosis::Cause& cause : head_joint_pattern().causes) names.push_back(cause.name);
  for (const std::string& cure : job.repair->cured) {
    if (has_word(names, cure)) continue;
    const auto nearest = nearest_name(cure, names);
    proof.notes.push_back("`cured`: no cause is called \"" + cure + "\"" +
                          (nearest ? "; did you mean \"" + *nearest + "\"?" : "; it counts for nothing"));
  }
}

}  // namespace

jobs::Job job_after_repair(const jobs::Job& job, const RepairedEngine& repaired) {
  jobs::Job after;
  after.engine = repaired.engine;
  after.history = job.history;
  after.signs = job.proof_signs;
  after.readings = job.proof_readings;
  return after;
}

Result<Proof> proof_of(const Assessment& all) {
  Proof proof;
  proof.engine = all.job.engine.name;
  const RepairedEngine repaired = repaired_engine(all.job);
  proof.ratio_before = repaired.ratio_before;
  proof.ratio_after = repaired.ratio_after;
  proof.missing = repaired.missing;
  if (!repaired.note.empty()) proof.notes.push_back(repaired.note);
  proof.checks = proof_checks(all, repaired, proof);
  proof.is_repaired = all.job.repair.has_value();
  proof.is_anything_read =
      std::any_of(proof.checks.begin(), proof.checks.end(), [](const ProofCheck& check) { return !check.verdict.empty(); });
  if (proof.is_repaired || proof.is_anything_read) {
    const auto after = finding_after(job_after_repair(all.job, repaired), proof.not_counted);
    if (!after) return after.problems();
    if (after->status != "done")
      proof.notes.emplace_back("The readings after the repair contradict each other: the chance is what it was before them.");
    Remaining(all, *after, proof).run();
  }
  warn_of_unknown_cures(all.job, proof);
  add_still_to_take(proof);
  add_cautions(all.job, proof);
  proof.notes.emplace_back(
      "What was seen and read before the repair says what may have been left in; it never counts as a reading of the engine as it is now.");
  std::sort(proof.missing.begin(), proof.missing.end());
  proof.missing.erase(std::unique(proof.missing.begin(), proof.missing.end()), proof.missing.end());
  proof.sentence = sentence_of(proof);
  return proof;
}

}  // namespace headjoint::assess
