#pragma once

#include <Eigen/Dense>
#include <functional>
#include <vector>

#include "headjoint/photo/internal/least_squares.h"
#include "headjoint/photo/plan_map.h"

/// What the two ways to a map share.
namespace headjoint::photo::internal {

/// Places moved to their middle and made of order one: without it the equations of a picture are badly scaled.
/// @par Source  Hartley, IEEE Trans. PAMI 19 (1997) 580
class Frame {
 public:
  Frame() = default;
  explicit Frame(const std::vector<PicturePoint>& points);
  [[nodiscard]] Eigen::Vector2d to_frame(PicturePoint point) const { return {(point.x_px - x_) / size_, (point.y_px - y_) / size_}; }
  [[nodiscard]] Eigen::Matrix3d matrix() const;
  [[nodiscard]] PicturePoint middle() const { return {x_, y_}; }
  [[nodiscard]] double size() const { return size_; }

 private:
  double x_ = 0;
  double y_ = 0;
  double size_ = 1;  ///< mean distance from the middle over root two
};

/// The map at the solution with its covariance, freedom and doubt. Residuals must be in standard deviations.
[[nodiscard]] FittedMap fitted_map(MapKind kind, const std::function<Eigen::Matrix3d(const Eigen::VectorXd&)>& to_plan,
                                   const Fitted& fitted, PicturePoint middle);

/// Whether the figures leave a direction of the parameters open.
[[nodiscard]] bool is_open(const Eigen::MatrixXd& normal);

/// What chi-square with that many degrees of freedom stays below in 95 of 100 cases.
/// @par Source  Wilson and Hilferty, Proc. Nat. Acad. Sci. 17 (1931) 684
[[nodiscard]] double chi_square_95(int freedom);

}  // namespace headjoint::photo::internal
