#include "headjoint/leakage/leak_size.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/leakage/internal/flow_function.h"
#include "headjoint/leakage/internal/median.h"
#include "headjoint/numerics/monotone_curve.h"

namespace headjoint::leakage {
namespace {

constexpr int kSizesPerClass = 40;  // points of the grid over the logarithm of the area
constexpr int kBaseLevels = 9;      // points of the grid over the healthy loss
constexpr int kCurvePoints = 80;    // of the curve reading(area ratio)
constexpr double kLargestRatioShown = 1.5;

/// A reading's rounding step, and the Gaussian error of what the gauge shows.
struct Cell {
  double low, high, sigma;

  [[nodiscard]] double probability(double expected) const {
    const auto below = [&](double limit) { return 0.5 * std::erfc((expected - limit) / (sigma * std::numbers::sqrt2)); };
    return below(high) - below(low);
  }
};

void check_sizes(const LeakSizes& sizes) {
  check_positive(sizes.smallest.si(), "smallest leak");
  check_argument(sizes.smallest < sizes.small_to_large && sizes.small_to_large < sizes.largest && std::isfinite(sizes.largest.si()),
                 "leak sizes", "must rise from smallest to largest");
  check_argument(sizes.healthy_loss_low > 0 && sizes.healthy_loss_low < sizes.healthy_loss_high && sizes.healthy_loss_high < 1,
                 "healthy loss", "must be a band between 0 and 1");
  check_not_negative(sizes.healthy_loss_spread, "healthy loss spread");
  check_positive(sizes.leak_down_sigma, "leak-down error");
  check_positive(sizes.compression_sigma, "compression error");
  check_argument(sizes.wrong_reading > 0 && sizes.wrong_reading < 1, "chance of a wrong reading", "must lie between 0 and 1");
}

/// Reading against area ratio for one test: computed once by the closed inverse, so that the averages need no root finding.
numerics::MonotoneCurve reading_curve(const LeakDownTest& test) {
  constexpr double kLastStep = 0.999;  // stops short of reading 0, where the area has no end
  std::vector<numerics::MonotoneCurve::Point> points;
  for (int i = 0; i <= kCurvePoints; ++i) {
    const double u = kLastStep * i / kCurvePoints;  // squared: the reading falls with the square of a small leak
    const GaugePressure reading = GaugePressure::from_pascal(test.supply.pascal() * (1 - u * u));
    points.push_back({leak_area_ratio(test.supply, reading, test.ambient, test.gas), reading.pascal()});
  }
  return numerics::MonotoneCurve(std::move(points));
}

/// Area ratios of the healthy leak, evenly over the losses that sound cylinders may show.
std::vector<double> healthy_ratios(const LeakDownTest& test, std::optional<double> healthy_loss, const LeakSizes& sizes) {
  constexpr double kLeastLoss = 0.001;
  double low = sizes.healthy_loss_low, high = sizes.healthy_loss_high;
  if (healthy_loss) {
    check_argument(*healthy_loss >= 0 && *healthy_loss < 1, "healthy loss", "must be at least 0 and below 1");
    low = std::max(kLeastLoss, *healthy_loss - sizes.healthy_loss_spread);
    high = std::min(0.99, *healthy_loss + sizes.healthy_loss_spread);
  }
  std::vector<double> ratios;
  for (int i = 0; i < kBaseLevels; ++i) {
    const double loss = std::max(kLeastLoss, low + (high - low) * (i + 0.5) / kBaseLevels);
    ratios.push_back(leak_area_ratio(test.supply, GaugePressure::from_pascal(test.supply.pascal() * (1 - loss)), test.ambient, test.gas));
  }
  return ratios;
}

}  // namespace

LeakAreaLikelihood::LeakAreaLikelihood() : values_(1 + 2 * kSizesPerClass, 1.0) {}

std::vector<Area> LeakAreaLikelihood::areas(const LeakSizes& sizes) {
  std::vector<Area> result{Area{}};
  const auto spread = [&](Area from, Area to) {
    const double step = std::log(to / from) / kSizesPerClass;
    for (int i = 0; i < kSizesPerClass; ++i) result.push_back(std::exp((i + 0.5) * step) * from);
  };
  spread(sizes.smallest, sizes.small_to_large);
  spread(sizes.small_to_large, sizes.largest);
  return result;
}

void LeakAreaLikelihood::multiply(const LeakAreaLikelihood& other) {
  double largest = 0;
  for (std::size_t i = 0; i < values_.size(); ++i) largest = std::max(largest, values_[i] *= other.values_[i]);
  if (largest > 0)
    for (double& value : values_) value /= largest;
}

LeakSizeLikelihood LeakAreaLikelihood::means() const {
  const auto mean = [this](int from) {
    return std::accumulate(values_.begin() + from, values_.begin() + from + kSizesPerClass, 0.0) / kSizesPerClass;
  };
  return {values_[0], mean(1), mean(1 + kSizesPerClass)};
}

namespace {

/// One reading never moves the odds between two classes by more than the chance of a wrong one allows.
LeakSizeLikelihood with_floor(LeakSizeLikelihood likelihood, const LeakSizes& sizes) {
  const double floor = sizes.wrong_reading * std::max({likelihood.none, likelihood.small, likelihood.large});
  for (double* value : {&likelihood.none, &likelihood.small, &likelihood.large}) *value = std::max(*value, floor);
  return likelihood;
}

}  // namespace

LeakSizeLikelihood LeakAreaLikelihood::classes(const LeakSizes& sizes) const { return with_floor(means(), sizes); }

LeakSizeLikelihood LeakAreaLikelihood::classes_after(const LeakAreaLikelihood& before, const LeakSizes& sizes) const {
  const LeakSizeLikelihood now = means(), then = before.means();
  return with_floor({now.none / then.none, now.small / then.small, now.large / then.large}, sizes);
}

std::optional<double> healthy_leak_down_loss(std::vector<double> losses, const LeakSizes& sizes) {
  check_sizes(sizes);
  for (double loss : losses) check_argument(loss >= 0 && loss <= 1, "loss fraction", "must lie between 0 and 1");
  if (losses.size() < 2) return std::nullopt;
  return std::clamp(median_of_first_half(std::move(losses), std::less<>()), sizes.healthy_loss_low, sizes.healthy_loss_high);
}

LeakAreaLikelihood leak_area_likelihood_of_leak_down(const LeakDownTest& test, GaugePressure reading, std::optional<double> healthy_loss,
                                                     const LeakSizes& sizes) {
  check_sizes(sizes);
  (void)leak_area_from_leak_down(test, reading);  // its checks of test and reading
  const double supply = test.supply.pascal(), half = test.gauge_step.pascal() / 2;
  Cell cell{reading.pascal() - half, reading.pascal() + half, sizes.leak_down_sigma * supply};
  if (cell.low <= 0) cell.low = -std::numeric_limits<double>::infinity();
  if (cell.high >= supply) cell.high = std::numeric_limits<double>::infinity();

  const numerics::MonotoneCurve expected = reading_curve(test);
  const std::vector<double> healthy = healthy_ratios(test, healthy_loss, sizes);
  const double tester = test.orifice.effective_area.si();
  return {sizes, std::min(1.0, 2 * half / supply), [&](double area) {
            double sum = 0;
            for (double ratio : healthy) sum += cell.probability(expected(ratio + area / tester));
            return sum / static_cast<double>(healthy.size());
          }};
}

LeakSizeLikelihood leak_size_from_leak_down(const LeakDownTest& test, GaugePressure reading, std::optional<double> healthy_loss,
                                            const LeakSizes& sizes) {
  return leak_area_likelihood_of_leak_down(test, reading, healthy_loss, sizes).classes(sizes);
}

LeakAreaLikelihood leak_area_likelihood_of_compression(double ratio, double ratio_step, const CompressionModel& model,
                                                       const LeakSizes& sizes) {
  check_sizes(sizes);
  check_argument(ratio >= 0 && ratio <= 3, "ratio to the healthy level", "must lie between 0 and 3");
  check_argument(ratio_step > 0 && ratio_step < 1, "ratio step", "must lie between 0 and 1");
  const double lowest = model.ratio(sizes.largest);  // still larger leaks have no class of their own
  Cell cell{ratio - ratio_step / 2, ratio + ratio_step / 2, sizes.compression_sigma};
  if (cell.low <= lowest) cell = {-std::numeric_limits<double>::infinity(), std::max(cell.high, lowest), cell.sigma};
  return {sizes, std::min(1.0, ratio_step / kLargestRatioShown),
          [&](double area) { return cell.probability(model.ratio(Area::from_si(area))); }};
}

LeakSizeLikelihood leak_size_from_compression(double ratio, double ratio_step, const CompressionModel& model, const LeakSizes& sizes) {
  return leak_area_likelihood_of_compression(ratio, ratio_step, model, sizes).classes(sizes);
}

}  // namespace headjoint::leakage
