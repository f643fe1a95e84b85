#include "headjoint/photo/circle_fit.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace headjoint::photo {
namespace {

using Eigen::Matrix3d;
using Eigen::Vector3d;

constexpr int kMostSteps = 100;
constexpr double kTukey = 4.685;  // 95 % efficiency for normal scatter (Huber, Robust Statistics)
constexpr double kDeviationOfMedian = 1.4826;

/// x0, y0, r by linear least squares on x^2 + y^2 = 2 x x0 + 2 y y0 + c, about the points' middle. r = 0: on a line.
Vector3d linear_start(const std::vector<PlanPlace>& points) {
  Eigen::Vector2d middle(0, 0);
  for (const PlanPlace& p : points) middle += Eigen::Vector2d(p.x_mm, p.y_mm) / static_cast<double>(points.size());
  Matrix3d normal = Matrix3d::Zero();
  Vector3d right = Vector3d::Zero();
  for (const PlanPlace& p : points) {
    const Vector3d row(2 * (p.x_mm - middle.x()), 2 * (p.y_mm - middle.y()), 1);
    normal += row * row.transpose();
    right += row * (0.25 * row.head<2>().squaredNorm());
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> spread(normal.topLeftCorner<2, 2>());
  if (!(spread.eigenvalues()[0] > 1e-10 * spread.eigenvalues()[1])) return Vector3d::Zero();
  const Vector3d solution = normal.ldlt().solve(right);
  const double radius = std::sqrt(solution[2] + solution.head<2>().squaredNorm());
  return {solution[0] + middle.x(), solution[1] + middle.y(), std::isfinite(radius) ? radius : 0};
}

double distance_from_rim(const PlanPlace& point, const Vector3d& circle) {
  return std::hypot(point.x_mm - circle[0], point.y_mm - circle[1]) - circle[2];
}

std::vector<double> weights_of(const std::vector<PlanPlace>& points, const Vector3d& circle, bool robust) {
  std::vector<double> weights(points.size(), 1);
  if (!robust) return weights;
  std::vector<double> away;
  for (const PlanPlace& point : points) away.push_back(std::abs(distance_from_rim(point, circle)));
  std::vector<double> sorted = away;
  std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2), sorted.end());
  const double cut = kTukey * kDeviationOfMedian * sorted[sorted.size() / 2];
  if (!(cut > 0)) return weights;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double u = away[i] / cut;
    weights[i] = u < 1 ? (1 - u * u) * (1 - u * u) : 0;
  }
  return weights;
}

}  // namespace

FittedCircle fit_circle(const std::vector<PlanPlace>& points, bool robust) {
  FittedCircle fitted;
  if (points.size() < 3) return fitted;
  Vector3d circle = linear_start(points);
  if (!(circle[2] > 0)) return fitted;
  Matrix3d normal = Matrix3d::Zero();
  double squares = 0;
  double weight_sum = 0;
  for (int step = 0; step < kMostSteps && !fitted.converged; ++step) {
    const std::vector<double> weights = weights_of(points, circle, robust);
    normal.setZero();
    Vector3d right = Vector3d::Zero();
    squares = weight_sum = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const double x = points[i].x_mm - circle[0];
      const double y = points[i].y_mm - circle[1];
      const double length = std::hypot(x, y);
      if (!(length > 0)) continue;
      const Vector3d slope(-x / length, -y / length, -1);
      const double miss = length - circle[2];
      normal += weights[i] * slope * slope.transpose();
      right -= weights[i] * miss * slope;
      squares += weights[i] * miss * miss;
      weight_sum += weights[i];
    }
    const Vector3d change = normal.ldlt().solve(right);
    if (!change.allFinite() || !(change.norm() < 1e6 * circle[2])) return fitted;
    circle += change;
    fitted.converged = change.norm() < 1e-10 * std::abs(circle[2]);
  }
  if (robust) fitted.converged = true;  // weights may swing by a hair: the points themselves decide below
  if (!(circle[2] > 0) || !circle.allFinite()) fitted.converged = false;
  if (!fitted.converged) return fitted;
  fitted.centre = {circle[0], circle[1]};
  fitted.radius_mm = circle[2];
  fitted.rms_mm = std::sqrt(squares / std::max(1.0, weight_sum));
  const double variance = squares / std::max(1.0, weight_sum - 3);
  const Matrix3d spread = variance * normal.inverse();
  const Eigen::Matrix2d of_centre = spread.topLeftCorner<2, 2>();
  fitted.centre_deviation_mm = std::sqrt(std::max(0.0, of_centre.selfadjointView<Eigen::Lower>().eigenvalues().maxCoeff()));
  fitted.radius_deviation_mm = std::sqrt(std::max(0.0, spread(2, 2)));
  return fitted;
}

}  // namespace headjoint::photo
