#include <algorithm>
#include <cmath>

#include "headjoint/diagnosis/internal/case.h"

namespace headjoint::diagnosis::internal {
namespace {

constexpr double kHalfDecade = 3.1622776601683795;  // sqrt 10

/// Value with its odds moved by a factor; 0 and 1 stay.
double with_odds(double value, double factor) { return value <= 0 || value >= 1 ? value : value * factor / (1 - value + value * factor); }

/// Moves one number after the other and keeps the extremes.
class Bands {
 public:
  explicit Bands(Case& at_hand) : case_(at_hand) {}

  void find() {
    std::vector<bool> seen(case_.network.instances.size(), false);
    for (std::size_t i = 0; i < case_.looks.size(); ++i)
      if (weighs(i)) seen[case_.looks[i].instance] = true;
    choose_banded();
    now_ = joint({});
    for (std::size_t i = 0; i < case_.network.instances.size(); ++i) {
      if (!seen[i]) continue;
      move_strengths(i);
      if (case_.compiled.feels_leak(i)) move_leak(i);
    }
    for (std::size_t c : case_.leading) move_leak(case_.result.causes[c].instance);
    for (std::size_t c = 0; c < case_.result.causes.size(); ++c)
      if (std::find(case_.leading.begin(), case_.leading.end(), c) == case_.leading.end()) move_own_chance(c);
  }

 private:
  /// Positions in case_.result.causes that get a band: the target, the leading ones, then the likeliest.
  void choose_banded() {
    std::vector<std::size_t> order;
    for (std::size_t c = 0; c < case_.result.causes.size(); ++c) order.push_back(c);
    const auto always = [this](std::size_t c) {
      return case_.network.instances[case_.result.causes[c].instance].name == case_.options.target ||
             std::find(case_.leading.begin(), case_.leading.end(), c) != case_.leading.end();
    };
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      if (always(a) != always(b)) return always(a);
      return case_.result.causes[a].posterior > case_.result.causes[b].posterior;
    });
    for (std::size_t c : order)
      if (always(c) || (case_.result.causes[c].posterior >= case_.options.band_floor && banded_.size() < case_.options.most_bands))
        banded_.push_back(c);
    std::sort(banded_.begin(), banded_.end());
  }

  /// Chances of the banded causes under a trial, jointly with what was observed and relative to P(observed).
  struct Joint {
    double all = 0;
    std::vector<double> present;
  };
  [[nodiscard]] Joint joint(const Trial& trial) {
    const CauseChances::Chances chances = case_.chances.of(banded_, trial);
    Joint result{chances.total.over(case_.evidence), chances.present};
    for (double& p : result.present) p *= result.all;
    return result;
  }

  void widen(const Joint& moved) {
    if (!(moved.all > 0) || moved.present.empty()) return;
    for (std::size_t b = 0; b < banded_.size(); ++b) {
      const double p = clamped(moved.present[b] / moved.all);
      CausePosterior& cause = case_.result.causes[banded_[b]];
      cause.low = std::min(cause.low, p);
      cause.high = std::max(cause.high, p);
    }
  }

  /// Whether an observation moves any of the causes weighed; all do where nothing was weighed.
  [[nodiscard]] bool weighs(std::size_t look) const {
    return case_.result.weights.empty() ||
           std::any_of(case_.result.weights.begin(), case_.result.weights.end(),
                       [&](const Weights& weights) { return std::abs(weights.weight[look]) >= case_.options.band_weight; });
  }

  void note(std::size_t instance, bool strengths, bool up, const Joint& moved) {
    if (!(moved.all > 0) || moved.present.empty()) return;
    for (std::size_t b = 0; b < banded_.size(); ++b)
      if (case_.network.instances[case_.result.causes[banded_[b]].instance].name == case_.options.target)
        case_.result.moved.push_back({instance, strengths, up, clamped(moved.present[b] / moved.all)});
  }

  void move_strengths(std::size_t instance) {
    for (double factor : {kHalfDecade, 1 / kHalfDecade}) {
      Numbers numbers = numbers_of(case_.network.instances[instance]);
      for (auto& strength : numbers.strength)
        for (double& s : strength) s = with_odds(s, factor);
      const Trial trial = case_.with_numbers(instance, numbers);
      if (trial.replaced.empty()) continue;
      const Joint moved = joint(trial);
      widen(moved);
      note(instance, true, factor > 1, moved);
    }
  }

  /// Every joint chance is linear in the leaks of one node. With a single leak two points give the third.
  void move_leak(std::size_t instance) {
    const Numbers numbers = numbers_of(case_.network.instances[instance]);
    Numbers up = numbers;
    Numbers down = numbers;
    for (double& leak : up.leak) leak = with_odds(leak, kHalfDecade);
    for (double& leak : down.leak) leak = with_odds(leak, 1 / kHalfDecade);
    const Trial trial = case_.with_numbers(instance, up);
    if (trial.replaced.empty()) return;
    const Joint high = joint(trial);
    widen(high);
    const bool is_line = numbers.leak.size() == 1 && !high.present.empty();
    const Joint low = is_line ? on_line(high, (down.leak[0] - numbers.leak[0]) / (up.leak[0] - numbers.leak[0]))
                              : joint(case_.with_numbers(instance, down));
    widen(low);
    note(instance, false, true, high);
    note(instance, false, false, low);
  }

  /// A cause that does not lead: only its own chance is moved, and only its own band widened. P(absent, observed) goes with 1 - leak, and
  /// P(observed) is linear in the leak, so that one total does for both directions.
  void move_own_chance(std::size_t position) {
    CausePosterior& cause = case_.result.causes[position];
    const Numbers numbers = numbers_of(case_.network.instances[cause.instance]);
    if (numbers.leak.size() != 1 || case_.compiled.variable(cause.instance) < 0) return;
    const double leak = numbers.leak[0];
    Numbers moved = numbers;
    moved.leak[0] = with_odds(leak, kHalfDecade);
    const Trial trial = case_.with_numbers(cause.instance, moved);
    if (trial.replaced.empty()) return;
    const double all = case_.compiled.tree().total(trial).over(case_.evidence);
    for (const double other : {moved.leak[0], with_odds(leak, 1 / kHalfDecade)}) {
      const double everything = 1 + (all - 1) * (other - leak) / (moved.leak[0] - leak);
      const double absent = (1 - cause.posterior) * (1 - other) / (1 - leak);
      if (!(everything > 0)) continue;
      const double p = clamped(1 - absent / everything);
      cause.low = std::min(cause.low, p);
      cause.high = std::max(cause.high, p);
    }
  }

  /// now_ + share * (moved - now_).
  [[nodiscard]] Joint on_line(const Joint& moved, double share) const {
    Joint result{now_.all + share * (moved.all - now_.all), now_.present};
    for (std::size_t c = 0; c < result.present.size(); ++c) result.present[c] += share * (moved.present[c] - now_.present[c]);
    return result;
  }

  Case& case_;
  std::vector<std::size_t> banded_;
  Joint now_;
};

}  // namespace

void find_bands(Case& at_hand) { Bands(at_hand).find(); }

}  // namespace headjoint::diagnosis::internal
