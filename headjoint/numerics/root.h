#pragma once

#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::numerics {

/// A root with what became of the search.
struct Root {
  enum class Status { kNotRun, kConverged, kStepLimit };
  double x = 0;
  int steps = 0;
  Status status = Status::kNotRun;
};

/// The point between `low` and `high` where a continuous function changes its sign.
///
/// Chandrupatla's method: inverse quadratic interpolation where it is safe, else bisection, so it never leaves the bracket
/// and needs at most about 2 log2 of the bisection's steps.
///
/// @param f     function of one double
/// @param low, high  bracket; f has opposite signs (or is zero) there
/// @param tolerance  absolute width in x at which to stop; 0 goes to the last bits of the bracket's width
/// @throws ContractError when the ends have the same sign or are not numbers
/// @par Source  T. R. Chandrupatla, Advances in Engineering Software 28 (1997) 145-149 (algorithm from memory)
template <class Function>
[[nodiscard]] Root bracketed_root(Function&& f, double low, double high, double tolerance = 0) {
  constexpr int kStepLimit = 200;
  constexpr double kLastBit = 2.3e-16;
  double a = high, b = low, fa = f(a), fb = f(b), t = 0.5;
  require((fa <= 0 && fb >= 0) || (fa >= 0 && fb <= 0), "a root needs a change of sign between the ends");
  if (fa == 0) return {a, 0, Root::Status::kConverged};
  if (fb == 0) return {b, 0, Root::Status::kConverged};
  const double floor = 0.5 * tolerance + kLastBit * std::abs(high - low);
  for (int step = 1; step <= kStepLimit; ++step) {
    const double x = a + t * (b - a), fx = f(x);
    const bool same_side = (fx > 0) == (fa > 0);
    const double c = same_side ? a : b, fc = same_side ? fa : fb;
    if (!same_side) b = a, fb = fa;
    a = x, fa = fx;
    const double best = std::abs(fa) < std::abs(fb) ? a : b;
    const double width = std::abs(b - a), smallest = floor + 2 * kLastBit * std::abs(best);
    if (fa == 0 || width <= 2 * smallest) return {best, step, Root::Status::kConverged};
    const double xi = (a - b) / (c - b), phi = (fa - fb) / (fc - fb);
    const bool interpolate = phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi;
    t = interpolate ? fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb) : 0.5;
    const double margin = smallest / width;
    t = t < margin ? margin : t > 1 - margin ? 1 - margin : t;
  }
  return {a, kStepLimit, Root::Status::kStepLimit};
}

}  // namespace headjoint::numerics
