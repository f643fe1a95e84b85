#pragma once

#include <cmath>

namespace headjoint::leakage {

/// psi(r) with everything that depends on the heat ratio worked out once. No checks: r between 0 and 1, heat ratio above 1.
class FlowFunction {
 public:
  explicit FlowFunction(double heat_ratio)
      : two_over_g_(2 / heat_ratio),
        rise_(1 - 1 / heat_ratio),
        factor_(2 / rise_),
        critical_(std::pow(2 / (heat_ratio + 1), 1 / rise_)),
        choked_(std::sqrt(heat_ratio) * std::pow(2 / (heat_ratio + 1), (heat_ratio + 1) / (2 * (heat_ratio - 1)))) {}

  [[nodiscard]] double critical_ratio() const { return critical_; }
  [[nodiscard]] double choked() const { return choked_; }

  [[nodiscard]] double operator()(double r) const {
    if (r <= critical_) return choked_;
    if (r >= 1) return 0;
    const double log_r = std::log(r);  // expm1 keeps the small difference near r = 1
    return std::sqrt(factor_ * std::exp(two_over_g_ * log_r) * -std::expm1(rise_ * log_r));
  }

  [[nodiscard]] double eased(double r) const {
    constexpr double kLineFrom = 0.999;
    return r <= kLineFrom ? (*this)(r) : (*this)(kLineFrom) * (1 - r) / (1 - kLineFrom);
  }

 private:
  double two_over_g_, rise_, factor_, critical_, choked_;
};

}  // namespace headjoint::leakage
