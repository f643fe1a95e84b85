#include <algorithm>
#include <cmath>

#include "headjoint/diagnosis/internal/case.h"

namespace headjoint::diagnosis::internal {
namespace {

constexpr std::size_t kMostCauses = 3;
constexpr std::size_t kMostCandidates = 6;
constexpr double kRaised = 2;
constexpr double kLeast = 0.05;
constexpr double kWorthACause = 1.5;

class Explaining {
 public:
  explicit Explaining(Case& at_hand) : case_(at_hand) {}

  /// Grown one cause at a time from those the evidence raised, while the factor grows by half.
  void find() {
    std::vector<const CausePosterior*> candidates;
    for (const CausePosterior& cause : case_.result.causes) {
      const Layer layer = case_.network.cause(cause.instance).layer;
      const bool is_kind = layer == Layer::kAny && case_.network.instances[cause.instance].name != case_.options.target;
      if ((layer == Layer::kPath || layer == Layer::kRival || is_kind) && cause.posterior >= kLeast &&
          cause.posterior >= kRaised * cause.prior && case_.compiled.variable(cause.instance) >= 0)
        candidates.push_back(&cause);
    }
    std::stable_sort(candidates.begin(), candidates.end(),
                     [](const CausePosterior* a, const CausePosterior* b) { return a->posterior > b->posterior; });
    if (candidates.size() > kMostCandidates) candidates.resize(kMostCandidates);
    for (std::size_t size = 1; size <= kMostCauses; ++size) {
      Explanation best;
      for (const CausePosterior* candidate : candidates) {
        std::vector<std::size_t> with = case_.result.explanation.instances;
        if (std::find(with.begin(), with.end(), candidate->instance) != with.end()) continue;
        with.push_back(candidate->instance);
        Explanation tried = explained_by(std::move(with));
        if (tried.bayes_factor > best.bayes_factor) best = std::move(tried);
      }
      if (!(best.bayes_factor > kWorthACause * std::max(case_.result.explanation.bayes_factor, 1.0))) return;
      case_.result.explanation = std::move(best);
    }
  }

 private:
  [[nodiscard]] Trial all_there(const CompiledNetwork& compiled, const std::vector<std::size_t>& instances) const {
    Trial trial;
    for (std::size_t i : instances) trial.weighted.push_back({static_cast<Variable>(compiled.variable(i)), {0, 1}});
    return trial;
  }

  /// That all are there with nothing observed; 0 where one of several is a flag, which has no variable then.
  [[nodiscard]] double all_there_before(const std::vector<std::size_t>& instances) {
    for (std::size_t i : instances) {
      if (case_.prior.variable(i) >= 0) continue;
      if (instances.size() > 1) return 0;
      const auto cause =
          std::find_if(case_.result.causes.begin(), case_.result.causes.end(), [i](const auto& c) { return c.instance == i; });
      return cause->prior;
    }
    return clamped(case_.prior.tree().total(all_there(case_.prior, instances)).over({}));
  }

  [[nodiscard]] Explanation explained_by(std::vector<std::size_t> instances) {
    const double posterior = clamped(case_.compiled.tree().total(all_there(case_.compiled, instances)).over(case_.evidence));
    const double before = all_there_before(instances);
    const double factor = before > 0 && before < 1 ? posterior * (1 - before) / (std::max(1 - posterior, 1e-12) * before) : 0.0;
    return {std::move(instances), posterior, factor};
  }

  Case& case_;
};

}  // namespace

void find_explanation(Case& at_hand) { Explaining(at_hand).find(); }

}  // namespace headjoint::diagnosis::internal
