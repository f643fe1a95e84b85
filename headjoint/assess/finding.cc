#include "headjoint/assess/finding.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "headjoint/assess/chance_words.h"
#include "headjoint/assess/knowledge.h"

namespace headjoint::assess {
namespace {

constexpr const char* kTarget = "joint_failed";
constexpr double kJointSuspected = 0.35;  ///< from here on the sentence speaks of the joint first
constexpr double kWorthNaming = 0.30;     ///< a suspect that the sentence names
constexpr double kSpeaksFor = 1.5;        ///< factor on the odds from which the evidence speaks for the joint
constexpr double kNotKnown = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t kLeading = 6;

using diagnosis::Diagnosis;
using diagnosis::InstanceNetwork;
using diagnosis::Layer;
using diagnosis::Observation;

Suspect suspect_of(const InstanceNetwork& network, const diagnosis::CausePosterior& cause) {
  return {network.cause(cause.instance).name,
          network.place(cause.instance),
          network.text(cause.instance),
          {cause.posterior, cause.low, cause.high},
          cause.prior};
}

/// Chance without its last digits: equal ones keep the network's order whatever the rounding.
double rank_of(const Suspect& suspect) { return std::round(suspect.chance.value * 1e9); }

/// A weight, for or against, without its last digits.
double rank_of(double weight) { return std::round(std::abs(weight) * 1e7); }

/// A flag that makes the joint count as failed; those that gather a rival do not.
bool is_kind_of_seal(const InstanceNetwork& network, std::size_t instance) {
  const int target = network.find(kTarget);
  if (target < 0 || network.cause(instance).layer != Layer::kAny) return false;
  const auto& parents = network.instances[static_cast<std::size_t>(target)].parents;
  return std::any_of(parents.begin(), parents.end(), [&](const diagnosis::Influence& parent) { return parent.parent == instance; });
}

void add_suspects(const InstanceNetwork& network, const Diagnosis& diagnosis, Finding& finding) {
  for (const diagnosis::CausePosterior& cause : diagnosis.causes) {
    const diagnosis::Cause& row = network.cause(cause.instance);
    if (row.name == kTarget) {
      finding.joint_failed = {cause.posterior, cause.low, cause.high};
      finding.joint_failed_before = cause.prior;
    }
    if (row.layer == Layer::kPath) finding.paths.push_back(suspect_of(network, cause));
    if (is_kind_of_seal(network, cause.instance)) finding.kinds.push_back(suspect_of(network, cause));
    if (row.layer == Layer::kRoot) finding.causes.push_back(suspect_of(network, cause));
    if (row.layer == Layer::kRival) finding.rivals.push_back(suspect_of(network, cause));
  }
  for (std::vector<Suspect>* list : {&finding.paths, &finding.kinds, &finding.causes, &finding.rivals}) {
    std::stable_sort(list->begin(), list->end(), [](const Suspect& a, const Suspect& b) { return rank_of(a) > rank_of(b); });
  }
}

bool place_is_known(const Finding& finding);

/// A path at one place stands for its kind while no place stands out.
std::string about_text(const InstanceNetwork& network, std::size_t instance, const Finding& finding) {
  if (network.cause(instance).name == kTarget) return "the joint has failed";
  const int kind = network.find("any_" + network.cause(instance).name);
  const bool is_any = network.cause(instance).layer == Layer::kPath && kind >= 0 && !place_is_known(finding);
  return network.text(is_any ? static_cast<std::size_t>(kind) : instance);
}

/// Each observation is shown with the suspect for which it weighs most.
void add_weights(const InstanceNetwork& network, const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                 Finding& finding) {
  for (std::size_t i = 0; i < observations.size(); ++i) {
    const diagnosis::Weights* heaviest = nullptr;
    for (const diagnosis::Weights& weights : diagnosis.weights)
      if (heaviest == nullptr || rank_of(weights.weight[i]) > rank_of(heaviest->weight[i])) heaviest = &weights;
    if (heaviest == nullptr) continue;
    finding.for_and_against.push_back({observations[i].finding, observations[i].place, observations[i].label,
                                       about_text(network, heaviest->instance, finding), heaviest->weight[i],
                                       weight_words(heaviest->weight[i])});
  }
  std::stable_sort(finding.for_and_against.begin(), finding.for_and_against.end(),
                   [](const Weight& a, const Weight& b) { return rank_of(a.weight) > rank_of(b.weight); });
}

Conflict conflict_of(const Observation& observation, double bits) {
  return {observation.finding, observation.place, observation.label, bits};
}

/// The likeliest suspects in words, those alone whose chance the evidence has raised.
std::string names_of(const std::vector<Suspect>& suspects, std::size_t most) {
  std::string names;
  std::size_t named = 0;
  for (const Suspect& suspect : suspects) {
    if (named == most || suspect.chance.value < kWorthNaming) break;
    if (suspect.chance.value < suspect.before) continue;
    names += (names.empty() ? "" : ", ") + suspect.text + " (" + chance_text(suspect.chance.value) + ")";
    ++named;
  }
  return names;
}

double odds(double chance) { return chance / std::max(1 - chance, 1e-12); }

std::string joint_words(const Finding& finding) {
  return std::string(chance_adverb(finding.joint_failed.value)) + " failed (" + chance_text(finding.joint_failed.value) + ")";
}

/// Whether the likeliest path stands out from its like at other places.
bool place_is_known(const Finding& finding) {
  constexpr double kKindOverPlace = 1.5;
  constexpr double kClear = 0.5;
  if (finding.paths.empty() || finding.kinds.empty() || finding.paths.front().where.empty()) return true;
  return finding.paths.front().chance.value >= kClear ||
         finding.kinds.front().chance.value < kKindOverPlace * finding.paths.front().chance.value;
}

/// Which seal: the path with its place, else the kind of path, else that it is not clear.
std::string seal_words(const Finding& finding) {
  const bool is_named = place_is_known(finding);
  if (const std::string paths = names_of(finding.paths, 2); !paths.empty() && is_named) return ": " + paths + ".";
  if (const std::string kinds = names_of(finding.kinds, 1); !kinds.empty()) return ": " + kinds + "; which one is not clear yet.";
  return "; which seal is not clear yet.";
}

std::string sentence_of(const Finding& finding, bool anything_seen) {
  if (finding.status == "impossible") return "These signs and readings cannot all be true together; check the ones named under conflicts.";
  if (finding.status != "done") return "The chances could not be worked out: " + finding.status + ".";
  const double joint = finding.joint_failed.value;
  const double before = finding.joint_failed_before;
  if (!anything_seen) {
    const char* const nothing = finding.not_counted.empty()
                                    ? "Nothing has been looked at yet."
                                    : "No evidence yet: nothing of what was looked at counts (see what was left out).";
    return fmt::format("{} Of engines that come in under suspicion about {:.0f} in 100 have a failed joint.", nothing, 100 * joint);
  }
  const std::string rivals = names_of(finding.rivals, 2);
  const bool speaks_for_joint = odds(joint) >= kSpeaksFor * odds(before);
  // While the joint is no more than "as likely as not", a likelier rival is named first.
  constexpr double kProbable = 0.6;
  const bool rival_leads = joint < kProbable && !rivals.empty() && finding.rivals.front().chance.value > joint;
  if (joint >= kJointSuspected && !rival_leads && (speaks_for_joint || rivals.empty())) {
    return "The head joint has " + joint_words(finding) + seal_words(finding) + (rivals.empty() ? "" : " Also likely: " + rivals + ".");
  }
  const std::string likelier = rivals.empty() ? "Nothing stands out yet. " : "Likeliest: " + rivals + ". ";
  if (joint < before) return likelier + "The head joint has " + joint_words(finding) + ".";
  return likelier +
         fmt::format("Little speaks for the head joint so far ({}, before any sign {}).", chance_text(joint), chance_text(before));
}

void add_explanation(const InstanceNetwork& network, const Diagnosis& diagnosis, Finding& finding) {
  for (const std::size_t instance : diagnosis.explanation.instances)
    for (const diagnosis::CausePosterior& cause : diagnosis.causes)
      if (cause.instance == instance) finding.explanation.push_back(suspect_of(network, cause));
  finding.explanation_factor = diagnosis.explanation.bayes_factor;
  for (const diagnosis::Moved& moved : diagnosis.moved) {
    if (network.instances[moved.instance].is_cause) continue;
    const std::string how = moved.strengths
                                ? (moved.up ? ": a stronger sign of its causes" : ": a weaker sign of its causes")
                                : (moved.up ? ": more often there with nothing wrong" : ": less often there with nothing wrong");
    finding.flips.push_back(
        {network.finding(moved.instance).name, network.place(moved.instance), network.text(moved.instance) + how, moved.target});
  }
}

}  // namespace

Finding finding_of(const InstanceNetwork& network, const std::vector<Observation>& observations, std::vector<std::string> not_counted) {
  const Diagnosis diagnosis = diagnosis::diagnose(network, observations, {.target = kTarget, .leading = kLeading});
  Finding finding;
  finding.status = diagnosis::to_text(diagnosis.status);
  finding.log_evidence = diagnosis.status == diagnosis::Status::kDone ? diagnosis.log_evidence : kNotKnown;
  finding.joint_failed = {kNotKnown, kNotKnown, kNotKnown};
  finding.not_counted = std::move(not_counted);
  if (diagnosis.status == diagnosis::Status::kDone) {
    add_suspects(network, diagnosis, finding);
    add_weights(network, observations, diagnosis, finding);
    add_explanation(network, diagnosis, finding);
    for (const std::size_t i : diagnosis.poor_fit) finding.conflicts.push_back(conflict_of(observations[i], diagnosis.conflict_drop[i]));
  }
  for (const std::size_t i : diagnosis.conflicting) finding.conflicts.push_back(conflict_of(observations[i], 0));
  finding.sentence = sentence_of(finding, !observations.empty());
  return finding;
}

std::vector<Flip> flips_of(const Finding& finding, double turns_at) {
  std::vector<Flip> flips;
  if (!(turns_at > 0)) return flips;
  for (const Flip& moved : finding.flips)
    if ((moved.joint_failed > turns_at) != (finding.joint_failed.value > turns_at)) flips.push_back(moved);
  std::stable_sort(flips.begin(), flips.end(), [&](const Flip& a, const Flip& b) {
    return std::abs(a.joint_failed - finding.joint_failed.value) > std::abs(b.joint_failed - finding.joint_failed.value);
  });
  return flips;
}

namespace {

/// Observations that were taken in one go: a reading of one test on every cylinder.
bool is_same_entry(const Observation& a, const Observation& b) { return a.finding == b.finding && a.over_measured && b.over_measured; }

VerdictStep step_of(const InstanceNetwork& network, const std::vector<Observation>& observations, std::string entry) {
  diagnosis::DiagnosisOptions options;
  options.bands = options.weights = false;
  const Diagnosis diagnosis = diagnosis::diagnose(network, observations, options);
  VerdictStep step{std::move(entry), kNotKnown, {}, 0};
  if (diagnosis.status != diagnosis::Status::kDone) return step;
  double best = 0;
  for (const diagnosis::CausePosterior& cause : diagnosis.causes) {
    const diagnosis::Cause& row = network.cause(cause.instance);
    if (row.name == kTarget) step.joint_failed = cause.posterior;
    const bool is_kind = row.layer == Layer::kAny && row.name != kTarget;
    if (row.layer != Layer::kPath && row.layer != Layer::kRival && !is_kind) continue;
    if (cause.posterior < kWorthNaming || cause.posterior < cause.prior) continue;
    // A kind of seal leads only where no place of it stands out.
    constexpr double kKindBehindPlace = 0.8;
    const double rank = cause.posterior * (is_kind ? kKindBehindPlace : 1.0);
    if (rank <= best) continue;
    best = rank;
    step.leading = network.text(cause.instance);
    step.leading_chance = cause.posterior;
  }
  return step;
}

}  // namespace

std::vector<VerdictStep> verdict_line(const InstanceNetwork& network, const std::vector<Observation>& observations) {
  std::vector<VerdictStep> line;
  std::vector<Observation> seen;
  line.push_back(step_of(network, seen, "before anything was looked at"));
  for (std::size_t i = 0; i < observations.size(); ++i) {
    seen.push_back(observations[i]);
    if (i + 1 < observations.size() && is_same_entry(observations[i], observations[i + 1])) continue;
    const bool is_one = i == 0 || !is_same_entry(observations[i], observations[i - 1]);
    std::string test = observations[i].finding;
    std::replace(test.begin(), test.end(), '_', ' ');
    line.push_back(step_of(network, seen, is_one ? observations[i].label : test + " of the cylinders"));
  }
  return line;
}

}  // namespace headjoint::assess
