#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "headjoint/clamp/internal/workshop_units.h"
#include "headjoint/clamp/tightening.h"

/// Elastic interaction on the compliance matrix alone, and the search for an order.
namespace headjoint::clamp {
namespace {

/// How all bolts answer when one of them is turned while the others hold their length.
class Interaction {
 public:
  Interaction(const std::vector<double>& member_compliance, const std::vector<double>& bolt_compliance) {
    const std::size_t n = bolt_compliance.size();
    ask(n > 0 && member_compliance.size() == n * n, "member_compliance", "one row and one column for each bolt");
    const auto size = static_cast<Eigen::Index>(n);
    joint_.resize(size, size);
    for (Eigen::Index i = 0; i < size; ++i)
      for (Eigen::Index j = 0; j < size; ++j)
        joint_(i, j) =
            member_compliance[static_cast<std::size_t>(i * size + j)] + (i == j ? bolt_compliance[static_cast<std::size_t>(i)] : 0);
    all_tight_ = joint_.inverse();
  }
  [[nodiscard]] Eigen::Index count() const { return joint_.rows(); }

  /// Changes of force per newton at bolt `turned`, when `tight` (with `turned` among them) are tight; 0 for the rest.
  [[nodiscard]] Eigen::VectorXd column(const std::vector<Eigen::Index>& tight, Eigen::Index turned) const {
    if (static_cast<Eigen::Index>(tight.size()) == count()) return all_tight_.col(turned) / all_tight_(turned, turned);
    const auto n = static_cast<Eigen::Index>(tight.size());
    Eigen::MatrixXd part(n, n);
    Eigen::VectorXd unit = Eigen::VectorXd::Zero(n);
    for (Eigen::Index i = 0; i < n; ++i) {
      for (Eigen::Index j = 0; j < n; ++j) part(i, j) = joint_(tight[static_cast<std::size_t>(i)], tight[static_cast<std::size_t>(j)]);
      if (tight[static_cast<std::size_t>(i)] == turned) unit(i) = 1;
    }
    const Eigen::VectorXd answer = part.ldlt().solve(unit);
    Eigen::VectorXd column = Eigen::VectorXd::Zero(count());
    for (Eigen::Index i = 0; i < n; ++i) column(tight[static_cast<std::size_t>(i)]) = answer(i) / answer.dot(unit);
    return column;
  }

  /// One column per bolt of an order, for the pass in which the bolts become tight one after the other.
  [[nodiscard]] Eigen::MatrixXd first_pass_columns(const std::vector<int>& order) const {
    Eigen::MatrixXd columns(count(), count());
    std::vector<Eigen::Index> tight;
    for (const int bolt : order) {
      tight.push_back(bolt - 1);
      columns.col(bolt - 1) = column(tight, bolt - 1);
    }
    return columns;
  }
  [[nodiscard]] Eigen::VectorXd later_column(Eigen::Index turned) const { return all_tight_.col(turned) / all_tight_(turned, turned); }

 private:
  Eigen::MatrixXd joint_;      ///< G = C + diag(bolt compliance)
  Eigen::MatrixXd all_tight_;  ///< its inverse
};

void check_order(const std::vector<int>& order, Eigen::Index count) {
  std::vector<int> sorted = order;
  std::sort(sorted.begin(), sorted.end());
  bool right = static_cast<Eigen::Index>(sorted.size()) == count;
  for (std::size_t i = 0; i < sorted.size(); ++i) right = right && sorted[i] == static_cast<int>(i) + 1;
  ask(right, "order", "every bolt once");
}

std::vector<BoltForces> run(const Interaction& interaction, const std::vector<int>& order,
                            const std::vector<std::vector<double>>& targets) {
  Eigen::VectorXd force = Eigen::VectorXd::Zero(interaction.count());
  const Eigen::MatrixXd first = interaction.first_pass_columns(order);
  std::vector<BoltForces> passes;
  for (const std::vector<double>& target : targets) {
    ask(static_cast<Eigen::Index>(target.size()) == interaction.count(), "targets", "one for each bolt");
    for (const int bolt : order) {
      const Eigen::Index b = bolt - 1;
      const double change = target[static_cast<std::size_t>(b)] - force(b);
      force += change * (passes.empty() ? Eigen::VectorXd(first.col(b)) : interaction.later_column(b));
    }
    passes.push_back(bolt_forces({force.data(), force.data() + force.size()}));
  }
  return passes;
}

std::vector<double> compensate(const Interaction& interaction, const std::vector<int>& order, const std::vector<double>& target) {
  const Eigen::MatrixXd columns = interaction.first_pass_columns(order);
  std::vector<double> set(target.size());
  Eigen::VectorXd left = Eigen::Map<const Eigen::VectorXd>(target.data(), interaction.count());
  for (auto bolt = order.rbegin(); bolt != order.rend(); ++bolt) {
    const Eigen::Index b = *bolt - 1;
    set[static_cast<std::size_t>(b)] = left(b);
    left -= left(b) * Eigen::VectorXd(columns.col(b));
  }
  return set;
}

/// Passes that an order needs until it is even enough, and how even it then is.
OrderChoice judged(const Interaction& interaction, std::vector<int> order, double target, double even_to, int most_passes) {
  const std::vector<std::vector<double>> targets(static_cast<std::size_t>(most_passes),
                                                 std::vector<double>(static_cast<std::size_t>(interaction.count()), target));
  const std::vector<BoltForces> passes = run(interaction, order, targets);
  const auto enough = std::find_if(passes.begin(), passes.end(), [&](const BoltForces& p) { return p.std_N <= even_to * target; });
  const auto& chosen = enough == passes.end() ? passes.back() : *enough;
  const int count = static_cast<int>((enough == passes.end() ? passes.end() - 1 : enough) - passes.begin()) + 1;
  const double turned = static_cast<double>(count) * static_cast<double>(order.size());
  return {std::move(order), count, chosen.std_N, chosen.min_N, turned};
}

bool better(const OrderChoice& a, const OrderChoice& b) { return a.passes != b.passes ? a.passes < b.passes : a.std_N < b.std_N; }

/// Exchanges pairs while that helps; the first bolt stays.
OrderChoice improved(const Interaction& interaction, OrderChoice best, double target, double even_to, int most_passes) {
  constexpr int kMostTrials = 4000;
  int trials = 0;
  for (bool found = true; found && trials < kMostTrials;) {
    found = false;
    for (std::size_t i = 1; i < best.order.size(); ++i)
      for (std::size_t j = i + 1; j < best.order.size() && trials < kMostTrials; ++j, ++trials) {
        std::vector<int> order = best.order;
        std::swap(order[i], order[j]);
        OrderChoice trial = judged(interaction, std::move(order), target, even_to, most_passes);
        if (!better(trial, best)) continue;
        best = std::move(trial);
        found = true;
      }
  }
  return best;
}

}  // namespace

std::vector<BoltForces> tighten_linear(const std::vector<double>& member_compliance, const std::vector<double>& bolt_compliance,
                                       const std::vector<int>& order, const std::vector<std::vector<double>>& targets_N) {
  const Interaction interaction(member_compliance, bolt_compliance);
  check_order(order, interaction.count());
  return run(interaction, order, targets_N);
}

std::vector<double> compensated_targets(const std::vector<double>& member_compliance, const std::vector<double>& bolt_compliance,
                                        const std::vector<int>& order, const std::vector<double>& target_N) {
  const Interaction interaction(member_compliance, bolt_compliance);
  check_order(order, interaction.count());
  ask(static_cast<Eigen::Index>(target_N.size()) == interaction.count(), "target", "one for each bolt");
  return compensate(interaction, order, target_N);
}

TighteningAdvice advise_tightening(const ClampModel& model, Force target, double even_to, int most_passes, const ClampOptions& options) {
  ask(newton(target) > 0, "preload", "larger than 0");
  ask(even_to > 0, "even_to", "larger than 0");
  ask(most_passes >= 1 && most_passes <= 20, "most_passes", "1 to 20");
  const std::vector<double> bolts(model.bolts.at.size(), 1 / newton_per_mm(model.bolts.stiffness));
  const Interaction interaction(bolt_influence_mm_per_N(model, options), bolts);
  const double force = newton(target);
  const auto judge = [&](std::vector<int> order) { return judged(interaction, std::move(order), force, even_to, most_passes); };

  TighteningAdvice advice;
  advice.makers_order = !model.order.empty();
  advice.searched = improved(interaction, judge(order_from_the_middle(model.bolts.at)), force, even_to, most_passes);
  advice.recommended = advice.makers_order ? judge(model.order) : advice.searched;
  advice.reason = advice.makers_order ? "The maker's order comes first; the number of passes is what that order needs to even out."
                                      : "The file has no order of the maker's: the most even order found that starts in the middle.";
  advice.compensated_N = compensate(interaction, advice.recommended.order, std::vector<double>(bolts.size(), force));
  if (model.bolts.thread && model.bolts.yield && model.bolts.friction) {
    const double yield = newton(preload_at_yield(*model.bolts.thread, *model.bolts.friction, *model.bolts.yield, 1, model.bolts.waist));
    if (*std::max_element(advice.compensated_N.begin(), advice.compensated_N.end()) > yield) advice.compensated_N.clear();
  }
  return advice;
}

}  // namespace headjoint::clamp
