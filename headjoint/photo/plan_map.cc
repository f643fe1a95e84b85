#include "headjoint/photo/plan_map.h"

#include <Eigen/Dense>
#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::photo {
namespace {

using Matrix3 = Eigen::Matrix<double, 3, 3, Eigen::RowMajor>;
using Matrix9 = Eigen::Matrix<double, 9, 9, Eigen::RowMajor>;
using Slope = Eigen::Matrix<double, 2, 9>;

/// Nearer to the horizon than this share of the denominator at the middle, a place is not told any more.
constexpr double kHorizonShare = 0.02;

Matrix3 matrix_of(const PlanMap::Matrix& entries) { return Eigen::Map<const Matrix3>(entries.data()); }

PlanMap::Matrix entries_of(const Matrix3& matrix) {
  PlanMap::Matrix entries;
  Eigen::Map<Matrix3>(entries.data()) = matrix;
  return entries;
}

Eigen::Vector3d homogeneous(PicturePoint point) { return {point.x_px, point.y_px, 1}; }

/// How the place of a point follows the nine entries.
Slope slope_by_entries(const Matrix3& to_plan, PicturePoint point) {
  const Eigen::Vector3d p = homogeneous(point);
  const Eigen::Vector3d image = to_plan * p;
  const double w = image[2];
  Slope slope = Slope::Zero();
  slope.block<1, 3>(0, 0) = p.transpose() / w;
  slope.block<1, 3>(1, 3) = p.transpose() / w;
  slope.block<1, 3>(0, 6) = -image[0] / (w * w) * p.transpose();
  slope.block<1, 3>(1, 6) = -image[1] / (w * w) * p.transpose();
  return slope;
}

/// How the place follows the point itself.
Eigen::Matrix2d slope_by_point(const Matrix3& to_plan, PicturePoint point) {
  const Eigen::Vector3d image = to_plan * homogeneous(point);
  const double w = image[2];
  Eigen::Matrix2d slope;
  for (int row = 0; row < 2; ++row) {
    for (int column = 0; column < 2; ++column) slope(row, column) = (to_plan(row, column) - image[row] / w * to_plan(2, column)) / w;
  }
  return slope;
}

}  // namespace

PlanMap::PlanMap(MapKind kind, const Matrix& to_plan, const Covariance& covariance, PicturePoint middle)
    : kind_(kind), to_plan_(to_plan), covariance_(covariance), middle_(middle) {
  const Matrix3 matrix = matrix_of(to_plan);
  require(std::abs(matrix.determinant()) > 0, "a map that cannot be turned round");
  to_picture_ = entries_of(matrix.inverse());
}

std::optional<PlanPlace> PlanMap::place(PicturePoint point) const {
  const Matrix3 matrix = matrix_of(to_plan_);
  const Eigen::Vector3d image = matrix * homogeneous(point);
  const double at_middle = (matrix * homogeneous(middle_))[2];
  if (!(image[2] / at_middle > kHorizonShare)) return std::nullopt;
  return PlanPlace{image[0] / image[2], image[1] / image[2]};
}

std::optional<PicturePoint> PlanMap::picture(PlanPlace place) const {
  const Eigen::Vector3d image = matrix_of(to_picture_) * Eigen::Vector3d(place.x_mm, place.y_mm, 1);
  if (!(std::abs(image[2]) > 0)) return std::nullopt;
  const PicturePoint point{image[0] / image[2], image[1] / image[2]};
  if (!this->place(point)) return std::nullopt;
  return point;
}

std::optional<PlacedPoint> PlanMap::placed(PicturePoint point, double own_px) const {
  const auto at = place(point);
  if (!at) return std::nullopt;
  const Matrix3 matrix = matrix_of(to_plan_);
  Slope slope = slope_by_entries(matrix, point);
  if (origin_) slope -= slope_by_entries(matrix, *origin_);
  const Eigen::Matrix2d by_point = slope_by_point(matrix, point);
  const Eigen::Matrix2d spread =
      slope * Eigen::Map<const Matrix9>(covariance_.data()) * slope.transpose() + 0.25 * own_px * own_px * by_point * by_point.transpose();
  const double widest = spread.selfadjointView<Eigen::Lower>().eigenvalues().maxCoeff();
  return PlacedPoint{*at, 2 * std::sqrt(std::max(0.0, widest))};
}

double PlanMap::distance_uncertainty_mm(PicturePoint from, PicturePoint to) const {
  const auto a = place(from);
  const auto b = place(to);
  if (!a || !b) return 0;
  const Matrix3 matrix = matrix_of(to_plan_);
  const Eigen::Vector2d along(b->x_mm - a->x_mm, b->y_mm - a->y_mm);
  if (!(along.norm() > 0)) return 0;
  const Eigen::Matrix<double, 1, 9> slope =
      along.normalized().transpose() * (slope_by_entries(matrix, to) - slope_by_entries(matrix, from));
  const double variance = (slope * Eigen::Map<const Matrix9>(covariance_.data()) * slope.transpose())(0, 0);
  return 2 * std::sqrt(std::max(0.0, variance));
}

double PlanMap::mm_per_px(PicturePoint point) const {
  if (!place(point)) return 0;
  return std::sqrt(std::abs(slope_by_point(matrix_of(to_plan_), point).determinant()));
}

PlanMap PlanMap::transformed(const Matrix& change) const {
  const Matrix3 left = matrix_of(change);
  Matrix9 lift = Matrix9::Zero();
  for (int row = 0; row < 3; ++row) {
    for (int column = 0; column < 3; ++column) lift.block<3, 3>(3 * row, 3 * column) = left(row, column) * Eigen::Matrix3d::Identity();
  }
  PlanMap map(kind_, entries_of(left * matrix_of(to_plan_)), {}, middle_);
  Eigen::Map<Matrix9>(map.covariance_.data()) = lift * Eigen::Map<const Matrix9>(covariance_.data()) * lift.transpose();
  map.origin_ = origin_;
  return map;
}

std::optional<PlanMap> PlanMap::with_axes(PicturePoint origin, PicturePoint along) const {
  const auto zero = place(origin);
  const auto ahead = place(along);
  if (!zero || !ahead) return std::nullopt;
  const double x = ahead->x_mm - zero->x_mm;
  const double y = ahead->y_mm - zero->y_mm;
  const double length = std::hypot(x, y);
  if (!(length > 0)) return std::nullopt;
  const double c = x / length;
  const double s = y / length;
  PlanMap map = transformed({c, s, -c * zero->x_mm - s * zero->y_mm, -s, c, s * zero->x_mm - c * zero->y_mm, 0, 0, 1});
  map.origin_ = origin;
  return map;
}

PlanMap PlanMap::moved(double x_mm, double y_mm) const { return transformed({1, 0, x_mm, 0, 1, y_mm, 0, 0, 1}); }

PlanMap PlanMap::mirrored() const { return transformed({-1, 0, 0, 0, 1, 0, 0, 0, 1}); }

}  // namespace headjoint::photo
