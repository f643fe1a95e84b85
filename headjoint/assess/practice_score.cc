#include "headjoint/assess/practice_score.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "headjoint/assess/chance_words.h"
#include "headjoint/assess/decision_loss.h"
#include "headjoint/assess/finding.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/base/error.h"
#include "headjoint/diagnosis/next_check.h"

namespace headjoint::assess {
namespace {

using diagnosis::InstanceNetwork;
using diagnosis::Layer;
using diagnosis::Observation;

constexpr double kLeastNet = 1;  ///< minutes a check must save over its cost
constexpr std::size_t kLongestWalk = 30;
constexpr std::size_t kMovesWeighed = 12;  ///< of the learner's checks, from the first
constexpr double kWorthALesson = 10;       ///< minutes
constexpr std::size_t kMostCheckLessons = 3;
constexpr double kClearWeight = 0.2;  ///< log10 of the odds that a sign must tell between two causes

diagnosis::NextChecks ranked_at(const PracticeGame& game, bool decisions_only = false) {
  diagnosis::CheckOptions options;
  options.roots = false;
  options.decisions_only = decisions_only;
  options.places_scored = 1;
  options.pack_candidates = 0;
  options.set_ups_done = game.set_ups();
  (game.head_off() ? options.conditions : options.openings).insert("head_off");
  return diagnosis::rank_checks(game.engine().network, game.observations(), options);
}

/// Gauges that compare the cylinders are read on all of them.
std::vector<std::string> places_to_buy(const InstanceNetwork& network, std::size_t instance) {
  const diagnosis::Finding& finding = network.finding(instance);
  if (finding.name == "compression" || finding.name == "starter_current")
    return places_of_finding(network, network.instances[instance].row);
  return {network.place(instance)};
}

const diagnosis::Check* best_check(const PracticeGame& game, const diagnosis::NextChecks& ranked) {
  for (const diagnosis::Check& check : ranked.checks) {
    if (!(check.net_minutes >= kLeastNet)) return nullptr;
    if (game.refusal(game.engine().network.instances[check.instance].row).empty()) return &check;
  }
  return nullptr;
}

std::set<std::string> taken_in(const diagnosis::NextChecks& ranked) {
  std::set<std::string> taken;
  for (const diagnosis::Decision& decision : ranked.decisions)
    if (decision.take) taken.insert(decision.name);
  return taken;
}

std::vector<std::string> truth_names(const PracticeEngine& engine) {
  std::vector<std::string> names;
  for (const std::size_t fault : engine.faults) names.push_back(engine.network.instances[fault].name);
  return names;
}

Suspect certain(const InstanceNetwork& network, std::size_t instance) {
  return {network.cause(instance).name, network.place(instance), network.text(instance), {1, 1, 1}, 0};
}

class Scoring {
 public:
  Scoring(const PracticeGame& game, const PracticeMoves& moves, const std::vector<PracticeMove>& done)
      : game_(game), engine_(game.engine()), network_(engine_.network), moves_(moves), done_(done) {}

  PracticeScore run() {
    observations_ = game_.observations();
    score_.finding = finding_of(network_, observations_, {});
    describe_truth();
    judge_learner();
    walk_policy();
    weigh_decision();
    weigh_checks();
    weigh_evidence();
    if (score_.lessons.empty())
      score_.lessons.push_back(
          {"good", "No check was bought that another would have beaten clearly, and the naming follows from the evidence.", 0});
    score_.sentence = sentence();
    return std::move(score_);
  }

 private:
  void describe_truth() {
    for (const std::size_t fault : engine_.faults) score_.truth.push_back(certain(network_, fault));
    for (std::size_t i = 0; i < network_.instances.size(); ++i) {
      if (!network_.instances[i].is_cause || !engine_.is_there(i)) continue;
      const diagnosis::Cause& cause = network_.cause(i);
      const bool is_harmless_rival = cause.layer == Layer::kRival && cause.decision.empty();
      if (cause.layer == Layer::kRoot || is_harmless_rival) score_.causes.push_back(certain(network_, i));
    }
    score_.plan.status = "done";
    for (const Suspect& suspect : score_.truth) (is_path(suspect.name) ? score_.plan.paths : score_.plan.rivals).push_back(suspect);
    score_.plan.joint_failed = score_.plan.paths.empty() ? Chance{0, 0, 0} : Chance{1, 1, 1};
  }

  bool is_path(const std::string& cause) const {
    const int row = network_.pattern.cause(cause);
    return row >= 0 && network_.pattern.causes[static_cast<std::size_t>(row)].layer == Layer::kPath;
  }

  std::string decision_of(const NamedCause& named) const {
    if (named.name == "joint") return "open_joint";
    return network_.pattern.causes[static_cast<std::size_t>(network_.pattern.cause(named.name))].decision;
  }

  /// A cylinder and a bridge beside it touch.
  static bool touches(const std::string& a, const std::string& b) {
    const auto ends = [](const std::string& place) {
      const std::size_t dash = place.find('-');
      return dash == std::string::npos ? std::pair(place, place) : std::pair(place.substr(0, dash), place.substr(dash + 1));
    };
    const auto [a1, a2] = ends(a);
    const auto [b1, b2] = ends(b);
    return a1 == b1 || a1 == b2 || a2 == b1 || a2 == b2;
  }

  std::string words_for(const NamedCause& named) const {
    const std::string decision = decision_of(named);
    bool same_decision = false, same_cause = false, beside = false;
    for (const Suspect& truth : score_.truth) {
      const bool fits = named.name == "joint" ? is_path(truth.name) : truth.name == named.name;
      if (fits && truth.where == named.where) return "right";
      same_cause = same_cause || fits;
      beside = beside || (fits && !named.where.empty() && touches(truth.where, named.where));
      same_decision =
          same_decision || network_.pattern.causes[static_cast<std::size_t>(network_.pattern.cause(truth.name))].decision == decision;
    }
    for (const Suspect& cause : score_.causes)
      if (cause.name == named.name && cause.where == named.where) return "right";
    if (same_cause && named.where.empty()) return "right, but no place was named";
    if (beside) return "right fault, next to the place";
    if (same_cause) return "right fault, other place";
    if (same_decision && !decision.empty()) return "right repair, other fault";
    return "not there";
  }

  std::string text_of_named(const NamedCause& named) const {
    if (named.name == "joint") return named.where.empty() ? "the joint" : "the joint at " + named.where;
    return network_.text(static_cast<std::size_t>(network_.find(named.name, named.where)));
  }

  void judge_learner() {
    PracticeWalk& walk = score_.learner;
    walk.moves = done_;
    walk.check_minutes = game_.minutes();
    for (const NamedCause& named : moves_.named) {
      if (const std::string decision = decision_of(named); !decision.empty()) named_decisions_.insert(decision);
      walk.judged.push_back({named.name, named.where, text_of_named(named), words_for(named), 0, 0});
    }
    judge(walk, named_decisions_);
    // A repair is paid once, however many of its faults were named.
    std::set<std::string> paid;
    for (std::size_t i = 0; i < moves_.named.size(); ++i) {
      const std::string decision = decision_of(moves_.named[i]);
      if (!decision.empty() && paid.insert(decision).second) walk.judged[i].put_right_minutes = loss_of(network_, {decision}, {}).total();
    }
  }

  /// What the decisions cost on this engine, with what was left in.
  void judge(PracticeWalk& walk, const std::set<std::string>& taken) const {
    const DecisionLoss loss = loss_of(network_, taken, truth_names(engine_));
    walk.repair_minutes = loss.put_right_minutes;
    walk.left_minutes = loss.left_minutes;
    std::set<std::string> told;
    for (const std::size_t fault : engine_.faults) {
      const diagnosis::Cause& cause = network_.cause(fault);
      if (taken.contains(cause.decision)) continue;
      const bool is_first = told.insert(cause.decision).second;
      walk.judged.push_back({cause.name, network_.place(fault), network_.text(fault), "missed", 0, is_first ? cause.left_minutes : 0});
    }
  }

  void walk_policy() {
    PracticeGame game(engine_);
    PracticeWalk& walk = score_.policy;
    for (std::size_t step = 0; step < kLongestWalk; ++step) {
      const diagnosis::NextChecks ranked = ranked_at(game);
      if (step == 0) score_.expected_at_once = ranked.loss_now_minutes;
      const diagnosis::Check* check = ranked.status == diagnosis::Status::kDone ? best_check(game, ranked) : nullptr;
      taken_by_policy_ = taken_in(ranked);
      if (check == nullptr) break;
      const diagnosis::Finding& finding = network_.finding(check->instance);
      const std::vector<std::string> places = places_to_buy(network_, check->instance);
      const bool is_all = places.size() != 1 || places.front().empty();
      walk.moves.push_back(game.look(network_.instances[check->instance].row, places, finding.name + (is_all ? "" : " " + places.front())));
    }
    walk.check_minutes = game.minutes();
    for (const std::string& decision : taken_by_policy_) walk.judged.push_back(decision_judgement(decision));
    judge(walk, taken_by_policy_);
  }

  PracticeJudgement decision_judgement(const std::string& decision) const {
    const bool is_needed = std::any_of(engine_.faults.begin(), engine_.faults.end(),
                                       [&](std::size_t fault) { return network_.cause(fault).decision == decision; });
    return {decision, {}, decision_text(decision), is_needed ? "right" : "not there", loss_of(network_, {decision}, {}).total(), 0};
  }

  /// What the naming was expected to cost by the learner's own evidence: that parts luck from reasoning.
  void weigh_decision() {
    const diagnosis::NextChecks now = ranked_at(game_, true);
    if (now.status != diagnosis::Status::kDone) return;
    const diagnosis::Decision* worst = nullptr;
    double worst_loss = 0;
    for (const diagnosis::Decision& decision : now.decisions) {
      const bool is_taken = named_decisions_.contains(decision.name);
      score_.expected_decision += is_taken ? decision.put_right_minutes : decision.left_minutes;
      score_.best_decision += std::min(decision.put_right_minutes, decision.left_minutes);
      const double lost =
          is_taken ? decision.put_right_minutes - decision.left_minutes : decision.left_minutes - decision.put_right_minutes;
      if (lost <= worst_loss) continue;
      worst = &decision;
      worst_loss = lost;
    }
    if (worst == nullptr || worst_loss < kWorthALesson) return;
    const bool is_named = named_decisions_.contains(worst->name);
    const std::string what = (is_named ? "You decided to " : "You left out to ") + decision_text(worst->name);
    const char* instead = is_named ? "leaving it" : "doing it";
    score_.lessons.push_back({"decision",
                              fmt::format("{}. By your own evidence it was needed with a chance of {}; {} would have cost less on average.",
                                          what, chance_text(worst->probability), instead),
                              worst_loss});
  }

  /// Each check against the best that could have been bought at that moment.
  void weigh_checks() {
    PracticeGame replay(engine_);
    std::vector<PracticeLesson> lessons;
    for (std::size_t i = 0; i < std::min(moves_.checks.size(), kMovesWeighed); ++i) {
      const PracticeMoves::Check& bought = moves_.checks[i];
      if (!replay.refusal(bought.row).empty()) break;
      const double cost = replay.cost_of(bought.row, bought.places);
      const diagnosis::NextChecks ranked = ranked_at(replay);
      if (ranked.status == diagnosis::Status::kDone && cost > 0) compare(replay, ranked, bought, cost, lessons);
      (void)replay.look(bought.row, bought.places, bought.typed);
    }
    std::stable_sort(lessons.begin(), lessons.end(), [](const auto& a, const auto& b) { return a.minutes > b.minutes; });
    if (lessons.size() > kMostCheckLessons) lessons.resize(kMostCheckLessons);
    score_.lessons.insert(score_.lessons.end(), lessons.begin(), lessons.end());
  }

  void compare(const PracticeGame& game, const diagnosis::NextChecks& ranked, const PracticeMoves::Check& bought, double cost,
               std::vector<PracticeLesson>& lessons) const {
    const diagnosis::Finding& finding = network_.pattern.findings[bought.row];
    double value = 0;
    for (const diagnosis::Check& check : ranked.checks)
      if (network_.instances[check.instance].row == bought.row) value = std::max(value, check.value_minutes);
    // At several places the same look is worth at least as often what it is worth at the best one.
    value *= static_cast<double>(std::min<std::size_t>(bought.places.size(), 2));
    const double wasted = cost - value;
    if (wasted < kWorthALesson) return;
    const std::string bought_for =
        fmt::format("\"{}\" cost {:.0f} min and was expected to save {:.0f}. ", question_of(finding), cost, value);
    const diagnosis::Check* best = best_check(game, ranked);
    if (best == nullptr) {
      lessons.push_back({"check", bought_for + "Enough was known already to decide.", wasted});
    } else if (network_.instances[best->instance].row != bought.row) {
      const std::string where = network_.place(best->instance).empty() ? "" : " at " + network_.place(best->instance);
      lessons.push_back({"check",
                         fmt::format("{}\"{}\"{} would have cost {:.0f} and saved {:.0f}.", bought_for,
                                     question_of(network_.finding(best->instance)), where, best->cost_minutes, best->value_minutes),
                         wasted});
    }
  }

  static std::string question_of(const diagnosis::Finding& finding) { return finding.question.empty() ? finding.text : finding.question; }

  std::map<std::size_t, double> weights_about(std::size_t instance) const {
    diagnosis::DiagnosisOptions options;
    options.target = network_.instances[instance].name;
    options.bands = false;
    options.leading = 0;
    const diagnosis::Diagnosis diagnosis = diagnosis::diagnose(network_, observations_, options);
    std::map<std::size_t, double> weights;
    for (const diagnosis::Weights& one : diagnosis.weights) {
      if (one.instance != instance) continue;
      for (std::size_t i = 0; i < one.weight.size(); ++i) weights[i] = one.weight[i];
    }
    return weights;
  }

  /// For what was named and is not there: the sign that pointed elsewhere most.
  void weigh_evidence() {
    if (score_.truth.empty() || observations_.empty()) return;
    for (std::size_t n = 0; n < moves_.named.size(); ++n) {
      if (score_.learner.judged[n].words != "not there" && score_.learner.judged[n].words != "right repair, other fault") continue;
      const NamedCause& named = moves_.named[n];
      const int wrong = named.name == "joint" ? network_.find("joint_failed") : network_.find(named.name, named.where);
      if (wrong >= 0) compare_evidence(named, static_cast<std::size_t>(wrong));
    }
    for (const PracticeJudgement& judged : score_.learner.judged) {
      if (judged.words != "missed") continue;
      const auto missed = static_cast<std::size_t>(network_.find(judged.name, judged.where));
      name_best_sign(missed, judged.text);
    }
  }

  void compare_evidence(const NamedCause& named, std::size_t wrong) {
    const std::map<std::size_t, double> for_wrong = weights_about(wrong);
    const std::map<std::size_t, double> for_truth = weights_about(engine_.faults.front());
    std::optional<std::size_t> most;
    double most_told = kClearWeight;
    for (const auto& [i, weight] : for_wrong) {
      const auto other = for_truth.find(i);
      const double told = (other == for_truth.end() ? 0 : other->second) - weight;
      if (told <= most_told) continue;
      most = i;
      most_told = told;
    }
    if (!most) {
      score_.lessons.push_back(
          {"evidence", fmt::format("Nothing that you bought told {} from {}.", text_of_named(named), score_.truth.front().text), 0});
      return;
    }
    score_.lessons.push_back(
        {"evidence",
         fmt::format("\"{}\" pointed away from {}: it makes {} {:.1f} times likelier beside it.", observations_[*most].label,
                     text_of_named(named), score_.truth.front().text, std::pow(10, std::min(most_told, 6.0))),
         0});
  }

  /// What spoke for a fault that was missed.
  void name_best_sign(std::size_t missed, const std::string& text) {
    const std::map<std::size_t, double> weights = weights_about(missed);
    const auto best = std::max_element(weights.begin(), weights.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
    const double chance = posterior_of(missed);
    if (best != weights.end() && best->second > kClearWeight)
      score_.lessons.push_back(
          {"evidence",
           fmt::format("\"{}\" spoke for {} (chance by your evidence: {}).", observations_[best->first].label, text, chance_text(chance)),
           0});
    else
      score_.lessons.push_back(
          {"evidence",
           fmt::format("Nothing that you bought spoke clearly for {} (chance by your evidence: {}).", text, chance_text(chance)), 0});
  }

  double posterior_of(std::size_t instance) const {
    const diagnosis::Cause& cause = network_.cause(instance);
    const std::string place = network_.place(instance);
    for (const std::vector<Suspect>* list : {&score_.finding.paths, &score_.finding.rivals})
      for (const Suspect& suspect : *list)
        if (suspect.name == cause.name && suspect.where == place) return suspect.chance.value;
    return std::nan("");
  }

  std::string sentence() const {
    std::size_t right = 0;
    std::size_t exactly = 0;
    std::size_t missed = 0;
    std::size_t wrong = 0;
    for (const PracticeJudgement& judged : score_.learner.judged) {
      if (judged.words.starts_with("right")) ++right;
      if (judged.words == "right") ++exactly;
      if (judged.words == "missed") ++missed;
      if (judged.words == "not there") ++wrong;
    }
    const std::string verdict = right == 0         ? "Not found."
                                : missed > 0       ? "Part of it found."
                                : wrong > 0        ? "Found, with a repair that was not needed."
                                : exactly == right ? "Right."
                                                   : "The right repair, but not the fault itself.";
    std::string truth;
    for (const Suspect& suspect : score_.truth) truth += (truth.empty() ? "" : "; ") + suspect.text;
    return fmt::format("{} It was: {}. Your way cost {:.0f} workshop minutes all told, the best policy's {:.0f}.", verdict, truth,
                       score_.learner.total(), score_.policy.total());
  }

  const PracticeGame& game_;
  const PracticeEngine& engine_;
  const InstanceNetwork& network_;
  const PracticeMoves& moves_;
  const std::vector<PracticeMove>& done_;
  std::vector<Observation> observations_;
  std::set<std::string> named_decisions_;
  std::set<std::string> taken_by_policy_;
  PracticeScore score_;
};

}  // namespace

PracticeScore practice_score(const PracticeGame& game, const PracticeMoves& moves, const std::vector<PracticeMove>& done) {
  return Scoring(game, moves, done).run();
}

}  // namespace headjoint::assess
