#include "headjoint/traces/starter_fit.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace headjoint::traces {
namespace {

constexpr std::array<double, 10> kExtras_mm2{0, 0.25, 0.5, 1, 1.5, 2, 3, 5, 10, 30};
constexpr double kModelError = 0.25;

Area square_millimetres(double value) { return Area::from_si(value * 1e-6); }

/// Relative heights by place of an engine whose places leak so much more than usual.
class Model {
 public:
  Model(const CrankedEngine& engine, CrankingKind kind, std::size_t count, double mean_rpm) : engine_(engine), kind_(kind) {
    engine_.bridges.clear();
    engine_.firing_order.clear();
    for (std::size_t i = 0; i < count; ++i) engine_.firing_order.push_back(static_cast<int>(i) + 1);  // by place
    adjust_battery(mean_rpm);
  }

  std::vector<double> heights(const std::vector<double>& extra_mm2) {
    engine_.leaks.clear();
    for (const double extra : extra_mm2) engine_.leaks.push_back(CrankedEngine::usual_leak + square_millimetres(extra));
    return heights_of(steady_cranking(engine_));
  }

 private:
  /// The voltage at which the sound engine turns as fast as the measured one.
  void adjust_battery(double mean_rpm) {
    constexpr int kTries = 4;
    engine_.leaks.clear();
    for (int i = 0; i < kTries; ++i) {
      const double rpm = steady_cranking(engine_).mean.rpm();
      if (std::abs(rpm - mean_rpm) < 0.01 * mean_rpm) return;
      const double emf_per_rpm = engine_.starter.back_emf_Vs * 3.14159265 / 30;
      engine_.starter.battery_V = std::clamp(engine_.starter.battery_V + (mean_rpm - rpm) * emf_per_rpm * 1.2, 5.0, 40.0);
    }
  }

  [[nodiscard]] std::vector<double> load_of(const SteadyCycle& cycle) const {
    const Signal& signal = kind_ == CrankingKind::kCrankSpeed ? cycle.speed_rpm : cycle.current_A;
    std::vector<double> load;
    for (const float value : signal.values) {
      const double v = static_cast<double>(value);
      load.push_back(kind_ == CrankingKind::kCrankSpeed ? -v * v : v);
    }
    return load;
  }

  /// The middle one of the three cycles; every compression's top lies near its dead centre.
  [[nodiscard]] std::vector<double> heights_of(const SteadyCycle& cycle) const {
    const std::vector<double> load = load_of(cycle);
    const std::size_t n = engine_.firing_order.size();
    const double per_cycle = static_cast<double>(load.size()) / 3, per_event = per_cycle / static_cast<double>(n);
    std::vector<double> heights;
    for (std::size_t i = 0; i < n; ++i) {
      const double centre = per_cycle + static_cast<double>(i) * per_event;
      const std::size_t top = greatest(load, centre - 0.35 * per_event, centre + 0.35 * per_event);
      const std::size_t before = least(load, centre - per_event, static_cast<double>(top)),
                        after = least(load, static_cast<double>(top), centre + per_event);
      const double share = static_cast<double>(top - before) / static_cast<double>(std::max<std::size_t>(1, after - before));
      heights.push_back(load[top] - std::lerp(load[before], load[after], share));
    }
    return heights;
  }

  static auto range(const std::vector<double>& load, double from, double to) {
    const auto limit = [&](double at) {
      return std::clamp<std::ptrdiff_t>(std::lround(at), 0, static_cast<std::ptrdiff_t>(load.size()) - 1);
    };
    return std::pair(load.begin() + limit(from), load.begin() + std::max(limit(to), limit(from) + 1));
  }
  static std::size_t greatest(const std::vector<double>& load, double from, double to) {
    const auto [begin, end] = range(load, from, to);
    return static_cast<std::size_t>(std::max_element(begin, end) - load.begin());
  }
  static std::size_t least(const std::vector<double>& load, double from, double to) {
    const auto [begin, end] = range(load, from, to);
    return static_cast<std::size_t>(std::min_element(begin, end) - load.begin());
  }

  CrankedEngine engine_;
  CrankingKind kind_;
};

/// Extra leak against relative height, falling.
class Curve {
 public:
  Curve(Model& model, std::size_t count) {
    std::vector<double> extra(count, 0.0);
    const double sound = model.heights(extra)[0];
    for (const double one : kExtras_mm2) {
      extra[0] = one;
      heights_.push_back(std::min(model.heights(extra)[0] / sound, heights_.empty() ? 1.0 : heights_.back() - 1e-6));
    }
  }
  [[nodiscard]] double extra_at(double height) const {
    if (height >= heights_.front()) return 0;
    for (std::size_t i = 1; i < heights_.size(); ++i)
      if (height >= heights_[i])
        return std::lerp(kExtras_mm2[i], kExtras_mm2[i - 1], (height - heights_[i]) / (heights_[i - 1] - heights_[i]));
    return kExtras_mm2.back();
  }

 private:
  std::vector<double> heights_;
};

/// The same scale as measured values: 1 is the mean of the stronger half.
void scale(std::vector<double>& heights) {
  std::vector<double> sorted = heights;
  std::sort(sorted.begin(), sorted.end(), std::greater<>());
  const std::size_t half = (sorted.size() + 1) / 2;
  double strong = 0;
  for (std::size_t i = 0; i < half; ++i) strong += sorted[i] / static_cast<double>(half);
  for (double& height : heights) height /= strong;
}

}  // namespace

StarterFit fit_leaks(const RelativeCompression& compared, const CrankedEngine& engine, CrankingKind kind) {
  StarterFit fit;
  fit.status = StarterFit::Status::kNoComparison;
  if (compared.values.empty()) return fit;
  const std::size_t count = compared.values.size();
  Model model(engine, kind, count, compared.mean_rpm);
  const Curve curve(model, count);
  std::vector<double> aim, extra;
  for (const RelativeValue& value : compared.values) aim.push_back(value.value);
  for (const double height : aim) extra.push_back(curve.extra_at(height));
  constexpr int kCorrections = 2;
  for (int i = 0; i < kCorrections; ++i) {
    std::vector<double> heights = model.heights(extra);
    scale(heights);
    for (std::size_t k = 0; k < count; ++k) extra[k] = std::max(0.0, extra[k] + curve.extra_at(aim[k]) - curve.extra_at(heights[k]));
  }
  for (std::size_t k = 0; k < count; ++k) {
    const RelativeValue& value = compared.values[k];
    const double two = 2 * value.standard_error, correction = extra[k] - curve.extra_at(value.value);
    const auto moved = [&](double height, double factor) {
      return square_millimetres(std::max(0.0, curve.extra_at(height) + correction) * factor);
    };
    fit.leaks.push_back({value.place, value.cylinder, square_millimetres(extra[k]), moved(value.value + two, 1 - kModelError),
                         moved(value.value - two, 1 + kModelError)});
  }
  fit.smallest = square_millimetres(curve.extra_at(compared.weak_below));
  fit.status = StarterFit::Status::kFitted;
  return fit;
}

}  // namespace headjoint::traces
