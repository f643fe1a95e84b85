#pragma once

#include <algorithm>
#include <array>
#include <cmath>

namespace headjoint::leakage {

/// One step of the Runge-Kutta pair of order 5(4) by Dormand and Prince, with its own interpolant of order 4.
///
/// The state is a fixed array of which the first `size` numbers count. A step whose stages leave the region where the rates are
/// defined must make them not a number: its error is then infinite and the step is refused.
///
/// @par Source  E. Hairer, S. P. Norsett, G. Wanner, Solving Ordinary Differential Equations I (1993), II.5 and II.6
///              (coefficients from memory, proven by the order they give)
template <std::size_t kCapacity>
class DormandPrince {
 public:
  using State = std::array<double, kCapacity>;

  explicit DormandPrince(std::size_t size) : size_(size) {}

  /// Puts the march at a point; `rates(x, y, dy)` fills dy.
  template <class Rates>
  void start(double x, const State& y, Rates&& rates) {
    x_ = x;
    y_ = y;
    rates(x_, y_, k_[0]);
  }

  /// Tries a step of `h` without taking it.
  /// @returns largest error estimate over 1 + |y|; infinite when the step failed
  template <class Rates>
  double attempt(double h, Rates&& rates) {
    h_ = h;
    State stage{};
    for (std::size_t s = 1; s < kStages; ++s) {
      for (std::size_t i = 0; i < size_; ++i) {
        double sum = 0;
        for (std::size_t j = 0; j < s; ++j) sum += kWeights[s][j] * k_[j][i];
        stage[i] = y_[i] + h * sum;
      }
      rates(x_ + kNodes[s] * h, stage, k_[s]);
    }
    next_ = stage;  // the last stage's weights are the solution's own
    double largest = 0;
    for (std::size_t i = 0; i < size_; ++i) {
      double error = 0;
      for (std::size_t s = 0; s < kStages; ++s) error += kErrors[s] * k_[s][i];
      const double scaled = std::abs(h * error) / (1 + std::abs(next_[i]));
      if (!(scaled <= largest)) largest = scaled;
    }
    return std::isfinite(largest) ? largest : HUGE_VAL;
  }

  /// Takes the step last tried.
  void accept() {
    x_ += h_;
    y_ = next_;
    k_[0] = k_[kStages - 1];
  }

  /// State at a share (0 to 1) of the step last tried, before it is taken.
  [[nodiscard]] State between(double share) const {
    State result{};
    const double rest = 1 - share;
    for (std::size_t i = 0; i < size_; ++i) {
      const double rise = next_[i] - y_[i], bend = h_ * k_[0][i] - rise, twist = rise - h_ * k_[kStages - 1][i] - bend;
      double last = 0;
      for (std::size_t s = 0; s < kStages; ++s) last += kDense[s] * k_[s][i];
      result[i] = y_[i] + share * (rise + rest * (bend + share * (twist + rest * h_ * last)));
    }
    return result;
  }

  [[nodiscard]] double x() const { return x_; }
  [[nodiscard]] const State& y() const { return y_; }
  [[nodiscard]] const State& next() const { return next_; }
  [[nodiscard]] const State& rates_at_start() const { return k_[0]; }
  [[nodiscard]] const State& rates_at_end() const { return k_[kStages - 1]; }

 private:
  static constexpr std::size_t kStages = 7;
  static constexpr double kNodes[kStages] = {0, 1.0 / 5, 3.0 / 10, 4.0 / 5, 8.0 / 9, 1, 1};
  static constexpr double kWeights[kStages][kStages - 1] = {{},
                                                            {1.0 / 5},
                                                            {3.0 / 40, 9.0 / 40},
                                                            {44.0 / 45, -56.0 / 15, 32.0 / 9},
                                                            {19372.0 / 6561, -25360.0 / 2187, 64448.0 / 6561, -212.0 / 729},
                                                            {9017.0 / 3168, -355.0 / 33, 46732.0 / 5247, 49.0 / 176, -5103.0 / 18656},
                                                            {35.0 / 384, 0, 500.0 / 1113, 125.0 / 192, -2187.0 / 6784, 11.0 / 84}};
  static constexpr double kErrors[kStages] = {71.0 / 57600, 0, -71.0 / 16695, 71.0 / 1920, -17253.0 / 339200, 22.0 / 525, -1.0 / 40};
  static constexpr double kDense[kStages] = {-12715105075.0 / 11282082432,  0,
                                             87487479700.0 / 32700410799,   -10690763975.0 / 1880347072,
                                             701980252875.0 / 199316789632, -1453857185.0 / 822651844,
                                             69997945.0 / 29380423};

  std::size_t size_;
  double x_ = 0, h_ = 0;
  State y_{}, next_{};
  std::array<State, kStages> k_{};
};

}  // namespace headjoint::leakage
