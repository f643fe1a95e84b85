#pragma once

#include <Eigen/Dense>
#include <cmath>

namespace headjoint::photo::internal {

struct Fitted {
  Eigen::VectorXd parameters;
  Eigen::VectorXd residuals;
  Eigen::MatrixXd normal;  ///< J'J at the solution
  double cost = 0;         ///< sum of squares
  bool converged = false;
};

/// Central differences of `residuals` at `parameters`.
template <class Residuals>
Eigen::MatrixXd jacobian_of(const Residuals& residuals, const Eigen::VectorXd& parameters) {
  Eigen::MatrixXd jacobian;
  for (Eigen::Index k = 0; k < parameters.size(); ++k) {
    const double step = 1e-6 * std::max(1.0, std::abs(parameters[k]));
    Eigen::VectorXd up = parameters;
    Eigen::VectorXd down = parameters;
    up[k] += step;
    down[k] -= step;
    const Eigen::VectorXd slope = (residuals(up) - residuals(down)) / (2 * step);
    if (jacobian.size() == 0) jacobian.resize(slope.size(), parameters.size());
    jacobian.col(k) = slope;
  }
  return jacobian;
}

/// Levenberg-Marquardt for a few parameters of order one. `residuals(parameters)` gives a vector; a value that is not finite is a
/// step that is refused.
/// @par Source  Marquardt, J. Soc. Indust. Appl. Math. 11 (1963) 431
template <class Residuals>
Fitted least_squares(const Residuals& residuals, Eigen::VectorXd start, int most_steps = 200) {
  Fitted fitted;
  fitted.parameters = std::move(start);
  fitted.residuals = residuals(fitted.parameters);
  fitted.cost = fitted.residuals.squaredNorm();
  double damping = 1e-3;
  for (int step = 0; step < most_steps && std::isfinite(fitted.cost); ++step) {
    const Eigen::MatrixXd jacobian = jacobian_of(residuals, fitted.parameters);
    fitted.normal = jacobian.transpose() * jacobian;
    const Eigen::VectorXd gradient = jacobian.transpose() * fitted.residuals;
    bool improved = false;
    while (!improved && damping < 1e12) {
      Eigen::MatrixXd damped = fitted.normal;
      damped.diagonal() += damping * (fitted.normal.diagonal().array() + 1e-12).matrix();
      const Eigen::VectorXd change = -damped.ldlt().solve(gradient);
      const Eigen::VectorXd next = fitted.parameters + change;
      const Eigen::VectorXd next_residuals = residuals(next);
      const double next_cost = next_residuals.squaredNorm();
      improved = std::isfinite(next_cost) && next_cost <= fitted.cost;
      if (!improved) {
        damping *= 10;
        continue;
      }
      const bool is_still = change.norm() <= 1e-12 * (1 + fitted.parameters.norm()) || fitted.cost - next_cost <= 1e-14 * fitted.cost;
      fitted.parameters = next;
      fitted.residuals = next_residuals;
      fitted.cost = next_cost;
      damping = std::max(damping / 10, 1e-12);
      if (is_still) fitted.converged = true;
    }
    if (!improved) fitted.converged = true;
    if (fitted.converged) break;
  }
  return fitted;
}

}  // namespace headjoint::photo::internal
