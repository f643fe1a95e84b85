#include <algorithm>
#include <cmath>

#include "headjoint/diagnosis/internal/case.h"

namespace headjoint::diagnosis::internal {
namespace {

double log10_odds(double p) {
  if (!(p > 0)) return -kLargestWeight;
  if (!(p < 1)) return kLargestWeight;
  return std::clamp(std::log10(p / (1 - p)), -kLargestWeight, kLargestWeight);
}

/// Every observation left out in turn.
class Weighing {
 public:
  explicit Weighing(Case& at_hand) : case_(at_hand) {}

  void find() {
    std::vector<std::size_t> named;
    for (std::size_t c = 0; c < case_.result.causes.size(); ++c)
      if (case_.network.instances[case_.result.causes[c].instance].name == case_.options.target) named.push_back(c);
    for (std::size_t c : case_.leading)
      if (std::find(named.begin(), named.end(), c) == named.end()) named.push_back(c);
    for (std::size_t c : named) case_.result.weights.push_back({case_.result.causes[c].instance, {}});
    double log_alone = 0;
    for (std::size_t i = 0; i < case_.looks.size(); ++i) {
      const CauseChances::Chances without = case_.chances.of(named, without_look(i));
      for (std::size_t n = 0; n < named.size(); ++n)
        case_.result.weights[n].weight.push_back(without.total.sign <= 0 ? 0.0
                                                                         : std::clamp(log10_odds(case_.result.causes[named[n]].posterior) -
                                                                                          log10_odds(clamped(without.present[n])),
                                                                                      -kLargestWeight, kLargestWeight));
      const double alone = std::log(prior_chance(case_.looks[i]));
      log_alone += alone;
      case_.result.conflict_drop.push_back((alone - (case_.evidence.log - without.total.log)) / std::log(2.0));
    }
    case_.result.conflict = (log_alone - case_.evidence.log) / std::log(2.0);
    find_poor_fit();
  }

 private:
  [[nodiscard]] Trial without_look(std::size_t i) const {
    std::vector<bool> used(case_.looks.size(), false);
    bool others = false;
    for (std::size_t j = 0; j < case_.looks.size(); ++j) {
      used[j] = j != i && case_.looks[j].instance == case_.looks[i].instance;
      others = others || used[j];
    }
    const std::size_t instance = case_.looks[i].instance;
    Trial trial;
    case_.compiled.replace(trial, instance, others ? combined(case_.network, case_.looks, used)[instance] : std::vector<double>{},
                           numbers_of(case_.network.instances[instance]));
    return trial;
  }

  /// P(look) with nothing else known.
  double prior_chance(const Look& look) {
    const StateTrials trials = state_trials(case_.network, case_.prior, look.instance);
    double chance = 0;
    for (std::size_t t = 0; t < trials.terms.size(); ++t) {
      double weight = 0;
      for (std::size_t s = 0; s < look.likelihood.size(); ++s) weight += look.likelihood[s] * trials.coefficient[s][t];
      if (weight == 0) continue;
      const LogValue value = case_.prior.tree().total(trials.terms[t].trial);
      chance += weight * trials.terms[t].factor * value.over({});
    }
    return chance;
  }

  void find_poor_fit() {
    for (std::size_t i = 0; i < case_.looks.size(); ++i)
      if (case_.result.conflict_drop[i] >= case_.options.poor_fit_drop) case_.result.poor_fit.push_back(i);
    std::stable_sort(case_.result.poor_fit.begin(), case_.result.poor_fit.end(),
                     [this](std::size_t a, std::size_t b) { return case_.result.conflict_drop[a] > case_.result.conflict_drop[b]; });
  }

  Case& case_;
};

}  // namespace

void find_weights(Case& at_hand) { Weighing(at_hand).find(); }

}  // namespace headjoint::diagnosis::internal
