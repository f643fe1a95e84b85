#include "headjoint/assess/shop_record.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <set>

#include "headjoint/assess/closing.h"
#include "headjoint/assess/decision_loss.h"
#include "headjoint/assess/engine_layout.h"
#include "headjoint/assess/evidence.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/operation.h"

namespace headjoint::assess {
namespace {

using diagnosis::Diagnosis;
using diagnosis::Forecast;
using diagnosis::InstanceNetwork;
using diagnosis::Layer;
using diagnosis::Observation;

constexpr const char* kTarget = "joint_failed";
constexpr double kNotKnown = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t kMostLeftOut = 100;  // jobs up to which each is judged by what the others taught
constexpr double kSurest = 1e-6;           // a chance in a score never comes nearer to 0 or 1: rounding is no claim of certainty
constexpr std::size_t kFewCases = 30;

/// One verified job with what is needed to score it again under other strengths.
struct Scored {
  const ReadJob* read = nullptr;
  InstanceNetwork network;
  std::vector<Observation> observations;
  std::vector<double> before;  ///< chances with nothing observed
  Forecast joint;
};

Diagnosis quick_diagnosis(const InstanceNetwork& network, const std::vector<Observation>& observations) {
  diagnosis::DiagnosisOptions options;
  options.bands = options.weights = false;
  return diagnosis::diagnose(network, observations, options);
}

double chance_of(const InstanceNetwork& network, const Diagnosis& diagnosis, const std::string& name, bool before = false) {
  const int wanted = network.find(name);
  for (const diagnosis::CausePosterior& cause : diagnosis.causes)
    if (static_cast<int>(cause.instance) == wanted) return before ? cause.prior : cause.posterior;
  return kNotKnown;
}

bool is_suspect(const diagnosis::Cause& cause) { return cause.layer == Layer::kPath || cause.layer == Layer::kRival; }

/// The joint counts as failed when a path of it was found.
bool is_joint_found(const jobs::Closure& closure, const diagnosis::Pattern& pattern) {
  return std::any_of(closure.found.begin(), closure.found.end(), [&](const jobs::FoundCause& found) {
    const int row = pattern.cause(found.cause);
    return row >= 0 && pattern.causes[static_cast<std::size_t>(row)].layer == Layer::kPath;
  });
}

/// Paths and rivals, likeliest first.
std::vector<diagnosis::CausePosterior> ranked_suspects(const InstanceNetwork& network, const Diagnosis& diagnosis) {
  std::vector<diagnosis::CausePosterior> suspects;
  for (const diagnosis::CausePosterior& cause : diagnosis.causes)
    if (is_suspect(network.cause(cause.instance))) suspects.push_back(cause);
  std::stable_sort(suspects.begin(), suspects.end(), [](const auto& a, const auto& b) { return a.posterior > b.posterior; });
  return suspects;
}

double score_of(const Forecast& forecast) { return diagnosis::log_score(std::array{forecast}); }

Forecast forecast_of(double chance, bool was_there) { return {std::clamp(chance, kSurest, 1 - kSurest), was_there}; }

Frequency frequency_of(std::size_t hits, std::size_t cases) { return {hits, cases, diagnosis::wilson_interval(hits, cases)}; }

/// A range that does not leave what the figure can be: from 0 to `most`.
Estimate held(Estimate estimate, double most = std::numeric_limits<double>::infinity()) {
  for (double* end : {&estimate.low, &estimate.high})
    if (!std::isnan(*end)) *end = std::clamp(*end, 0.0, most);
  return estimate;
}

class Recording {
 public:
  Recording(const std::vector<ReadJob>& jobs, double equivalent_cases) : jobs_(jobs), equivalent_cases_(equivalent_cases) {}

  ShopRecord run() {
    record_.version = program_version();
    scored_.reserve(jobs_.size());
    for (const ReadJob& read : jobs_) add(read);
    record_.counted = scored_.size();
    score();
    learn();
    add_notes();
    return std::move(record_);
  }

 private:
  void add(const ReadJob& read) {
    RecordedJob row;
    row.source = read.source;
    row.number = read.job.number;
    row.title = read.job.title;
    row.joint_failed = kNotKnown;
    row.saved_minutes = kNotKnown;
    if (!read.job.closure) {
      ++record_.open;
      row.why_not = "still open";
    } else {
      row.verified = jobs::spoken(read.job.closure->verified);
      if (!read.job.closure->is_verified()) {
        ++record_.not_verified;
        row.why_not = "not verified: nobody saw it or proved it";
      }
    }
    judge(read, row);
    record_.jobs.push_back(std::move(row));
  }

  void judge(const ReadJob& read, RecordedJob& row) {
    const diagnosis::Pattern& pattern = head_joint_pattern();
    Scored scored;
    scored.read = &read;
    scored.network = network_of(read.job.engine, read.job.history);
    const auto evidence = gather_evidence(before_opening(read.job, pattern), scored.network);
    if (!evidence) return leave_out(row, "its evidence cannot be used: " + evidence.problems().front().what);
    scored.observations = evidence->observations;
    const Diagnosis diagnosis = quick_diagnosis(scored.network, scored.observations);
    if (diagnosis.status != diagnosis::Status::kDone) return leave_out(row, "its evidence contradicts itself");
    row.joint_failed = chance_of(scored.network, diagnosis, kTarget);
    scored.before.assign(scored.network.instances.size(), 0);
    for (const diagnosis::CausePosterior& cause : diagnosis.causes) scored.before[cause.instance] = cause.prior;
    const auto suspects = ranked_suspects(scored.network, diagnosis);
    if (!suspects.empty()) {
      row.leading = scored.network.text(suspects.front().instance);
      row.leading_chance = suspects.front().posterior;
    }
    if (!read.job.closure) return;
    describe_outcome(scored.network, *read.job.closure, suspects, row);
    if (!row.why_not.empty()) return;
    row.counts = true;
    scored.joint = forecast_of(row.joint_failed, row.is_joint);
    before_.push_back(forecast_of(chance_of(scored.network, diagnosis, kTarget, true), row.is_joint));
    weigh_checks(scored, row);
    scored_.push_back(std::move(scored));
  }

  static void leave_out(RecordedJob& row, std::string why) {
    if (row.why_not.empty()) row.why_not = std::move(why);
  }

  static void describe_outcome(const InstanceNetwork& network, const jobs::Closure& closure,
                               const std::vector<diagnosis::CausePosterior>& suspects, RecordedJob& row) {
    row.is_joint = is_joint_found(closure, network.pattern);
    std::set<std::size_t> found;
    for (const std::string& name : found_instances(closure)) {
      const auto instance = static_cast<std::size_t>(network.find(name));
      found.insert(instance);
      row.found.push_back(network.text(instance));
    }
    for (std::size_t i = 0; i < suspects.size() && row.rank == 0; ++i)
      if (found.contains(suspects[i].instance)) row.rank = static_cast<int>(i) + 1;
  }

  void weigh_checks(const Scored& scored, RecordedJob& row) {
    const jobs::Job& job = scored.read->job;
    const auto story = gather_evidence(complaint_alone(job, scored.network.pattern), scored.network);
    if (!story) return;
    const std::vector<std::string> there = found_instances(*job.closure);
    const auto by_story = decisions_taken(scored.network, story->observations);
    const auto by_all = decisions_taken(scored.network, scored.observations);
    if (!by_story || !by_all) return;
    row.check_minutes = checking_minutes(scored.network, scored.observations);
    row.saved_minutes =
        loss_of(scored.network, *by_story, there).total() - loss_of(scored.network, *by_all, there).total() - row.check_minutes;
  }

  void score() {
    std::vector<Forecast> forecasts;
    std::vector<double> brier, logs, brier_before, log_before, saved;
    for (const Scored& scored : scored_) forecasts.push_back(scored.joint);
    for (std::size_t i = 0; i < forecasts.size(); ++i) {
      brier.push_back(diagnosis::brier_score(std::array{forecasts[i]}));
      logs.push_back(score_of(forecasts[i]));
      brier_before.push_back(diagnosis::brier_score(std::array{before_[i]}));
      log_before.push_back(score_of(before_[i]));
    }
    record_.scores = {held(mean_of(brier), 1), held(mean_of(logs)), held(mean_of(brier_before), 1), held(mean_of(log_before))};
    record_.reliability = diagnosis::reliability(forecasts);
    count_ranks();
    for (const RecordedJob& row : record_.jobs) {
      if (!row.counts || std::isnan(row.saved_minutes)) continue;
      saved.push_back(row.saved_minutes);
      record_.saved_total_minutes += row.saved_minutes;
    }
    record_.saved_minutes = mean_of(saved);
    price_savings(saved.size());
  }

  void count_ranks() {
    std::size_t first = 0, three = 0, ranked = 0, failed = 0, called = 0, sound = 0, cleared = 0;
    for (const RecordedJob& row : record_.jobs) {
      if (!row.counts) continue;
      if (row.rank > 0) ++ranked;
      if (row.rank == 1) ++first;
      if (row.rank > 0 && row.rank <= 3) ++three;
      (row.is_joint ? failed : sound) += 1;
      if (row.is_joint && row.joint_failed > 0.5) ++called;
      if (!row.is_joint && row.joint_failed <= 0.5) ++cleared;
    }
    record_.first = frequency_of(first, ranked);
    record_.among_three = frequency_of(three, ranked);
    record_.joint_called = frequency_of(called, failed);
    record_.sound_called = frequency_of(cleared, sound);
  }

  /// In money where every counted job names the same currency and its hour price.
  void price_savings(std::size_t weighed) {
    std::vector<double> money;
    std::set<std::string> currencies;
    for (std::size_t i = 0; i < jobs_.size(); ++i) {
      const RecordedJob& row = record_.jobs[i];
      if (!row.counts || std::isnan(row.saved_minutes) || !jobs_[i].job.workshop.hour_price) continue;
      money.push_back(row.saved_minutes / 60 * *jobs_[i].job.workshop.hour_price);
      currencies.insert(jobs_[i].job.workshop.currency);
    }
    if (money.empty() || money.size() != weighed || currencies.size() != 1) return;
    record_.saved_money = mean_of(money);
    record_.currency = *currencies.begin();
  }

  static diagnosis::ClosedCase closed_case(const Scored& scored) {
    return {&scored.network, scored.observations, found_instances(*scored.read->job.closure), true, scored.before};
  }

  void learn() {
    std::vector<diagnosis::ClosedCase> cases;
    for (const Scored& scored : scored_) cases.push_back(closed_case(scored));
    record_.learnt = diagnosis::learn(cases, equivalent_cases_);
    record_.learnt.left_out = record_.not_verified;
    record_.learnt.based_on = "headjoint " + record_.version;
    record_.learnt_toml =
        "# Strengths counted from this shop's verified jobs. Give it to assess, finding and next-check as --learnt FILE.\n" +
        write_toml(diagnosis::write_learnt(record_.learnt));
    if (scored_.size() < 2 || scored_.size() > kMostLeftOut) return;
    std::vector<double> logs;
    for (std::size_t i = 0; i < scored_.size(); ++i) logs.push_back(log_score_without(i, cases));
    record_.log_learnt = held(mean_of(logs));
    record_.has_log_learnt = true;
  }

  /// How well a job is foreseen by what all others taught.
  double log_score_without(std::size_t left_out, std::vector<diagnosis::ClosedCase> cases) const {
    cases.erase(cases.begin() + static_cast<std::ptrdiff_t>(left_out));
    const diagnosis::Learnt learnt = diagnosis::learn(cases, equivalent_cases_);
    const Scored& scored = scored_[left_out];
    const InstanceNetwork network = network_of(scored.read->job.engine, scored.read->job.history, &learnt);
    const Diagnosis diagnosis = quick_diagnosis(network, scored.observations);
    const double chance = diagnosis.status == diagnosis::Status::kDone ? chance_of(network, diagnosis, kTarget) : scored.joint.chance;
    return score_of(forecast_of(chance, scored.joint.was_there));
  }

  void add_notes() {
    if (record_.counted == 0) {
      record_.notes.push_back("No verified job yet: nothing can be said about the verdicts, and nothing is learnt.");
      return;
    }
    if (record_.counted < kFewCases)
      record_.notes.push_back(fmt::format("{} verified job{}: too few to prove anything. Read the ranges, not the figures.",
                                          record_.counted, record_.counted == 1 ? "" : "s"));
    record_.notes.push_back(
        "Only jobs that were opened or proved are here. Engines that were sent home and never came back are not \"no fault\".");
  }

  const std::vector<ReadJob>& jobs_;
  double equivalent_cases_;
  ShopRecord record_;
  std::vector<Scored> scored_;
  std::vector<Forecast> before_;
};

/// Student's t, two-sided 95 %, by degrees of freedom.
/// @par Source  NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.2 (values from memory)
double student_95(std::size_t freedom) {
  constexpr std::array kTable = {12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.160, 2.145, 2.131,
                                 2.120,  2.110, 2.101, 2.093, 2.086, 2.080, 2.074, 2.069, 2.064, 2.060, 2.056, 2.052, 2.048, 2.045, 2.042};
  if (freedom == 0) return std::numeric_limits<double>::infinity();
  return freedom <= kTable.size() ? kTable[freedom - 1] : 1.960 + 2.46 / static_cast<double>(freedom);
}

}  // namespace

Estimate mean_of(const std::vector<double>& values) {
  if (values.empty()) return {kNotKnown, kNotKnown, kNotKnown};
  const auto n = static_cast<double>(values.size());
  double mean = 0;
  for (const double value : values) mean += value / n;
  if (values.size() < 2) return {mean, kNotKnown, kNotKnown};
  double squares = 0;
  for (const double value : values) squares += (value - mean) * (value - mean);
  const double half = student_95(values.size() - 1) * std::sqrt(squares / (n - 1) / n);
  return {mean, mean - half, mean + half};
}

ShopRecord shop_record(const std::vector<ReadJob>& jobs, double equivalent_cases) { return Recording(jobs, equivalent_cases).run(); }

}  // namespace headjoint::assess
