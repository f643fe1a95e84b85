#include "headjoint/photo/internal/map_fit.h"

#include <fmt/format.h>

#include <cmath>

namespace headjoint::photo::internal {
namespace {

/// A direction this much weaker than the strongest is open.
constexpr double kOpenShare = 1e-9;

}  // namespace

Frame::Frame(const std::vector<PicturePoint>& points) {
  const auto count = static_cast<double>(points.size());
  for (const PicturePoint& point : points) {
    x_ += point.x_px / count;
    y_ += point.y_px / count;
  }
  double mean = 0;
  for (const PicturePoint& point : points) mean += std::hypot(point.x_px - x_, point.y_px - y_) / count;
  size_ = mean > 0 ? mean / std::sqrt(2.0) : 1;
}

Eigen::Matrix3d Frame::matrix() const {
  Eigen::Matrix3d matrix;
  matrix << 1 / size_, 0, -x_ / size_, 0, 1 / size_, -y_ / size_, 0, 0, 1;
  return matrix;
}

FittedMap fitted_map(MapKind kind, const std::function<Eigen::Matrix3d(const Eigen::VectorXd&)>& to_plan, const Fitted& fitted,
                     PicturePoint middle) {
  FittedMap result;
  result.freedom = static_cast<int>(fitted.residuals.size() - fitted.parameters.size());
  const double misfit = result.freedom > 0 ? fitted.cost / result.freedom : 1;
  const Eigen::MatrixXd spread = std::max(1.0, misfit) * fitted.normal.completeOrthogonalDecomposition().pseudoInverse();
  using RowMajor = Eigen::Matrix<double, 3, 3, Eigen::RowMajor>;
  const auto entries = [&](const Eigen::VectorXd& p) -> Eigen::VectorXd {
    const RowMajor matrix = to_plan(p);
    return Eigen::Map<const Eigen::VectorXd>(matrix.data(), 9);
  };
  const Eigen::MatrixXd slope = jacobian_of(entries, fitted.parameters);
  PlanMap::Covariance covariance;
  Eigen::Map<Eigen::Matrix<double, 9, 9, Eigen::RowMajor>>(covariance.data()) = slope * spread * slope.transpose();
  PlanMap::Matrix matrix;
  const Eigen::VectorXd at = entries(fitted.parameters);
  std::copy(at.begin(), at.end(), matrix.begin());
  result.map = PlanMap(kind, matrix, covariance, middle);
  if (result.freedom > 0 && fitted.cost > chi_square_95(result.freedom))
    result.doubt = fmt::format(
        "the known figures disagree by {:.1f} times what taps and measurements should: one of them is wrong, or the picture is distorted",
        std::sqrt(misfit));
  return result;
}

bool is_open(const Eigen::MatrixXd& normal) {
  const Eigen::VectorXd strength = normal.selfadjointView<Eigen::Lower>().eigenvalues();
  return !(strength.minCoeff() > kOpenShare * strength.maxCoeff());
}

double chi_square_95(int freedom) {
  const double n = freedom;
  const double root = 1 - 2 / (9 * n) + 1.6449 * std::sqrt(2 / (9 * n));
  return n * root * root * root;
}

}  // namespace headjoint::photo::internal
