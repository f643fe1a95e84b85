#include <fmt/format.h>

#include <Eigen/Dense>
#include <cmath>

#include "headjoint/photo/internal/least_squares.h"
#include "headjoint/photo/internal/map_fit.h"
#include "headjoint/photo/plan_map.h"

namespace headjoint::photo {
namespace {

using Eigen::Matrix3d;
using Eigen::Vector2d;
using Eigen::VectorXd;
using internal::Frame;

constexpr std::size_t kLeast = 4;
/// Height of the flattest triangle over its longest side, below which three points count as one line.
constexpr double kLineShare = 0.02;

double flatness_of_triangle(const Vector2d& a, const Vector2d& b, const Vector2d& c) {
  const double area = std::abs((b - a).x() * (c - a).y() - (b - a).y() * (c - a).x());
  const double longest = std::max({(b - a).norm(), (c - a).norm(), (c - b).norm()});
  return longest > 0 ? area / (longest * longest) : 0;
}

/// Whether some four of the points are fit for a map: no three of them on a line.
bool has_four_corners(const std::vector<Vector2d>& points) {
  const std::size_t n = points.size();
  for (std::size_t a = 0; a < n; ++a)
    for (std::size_t b = a + 1; b < n; ++b)
      for (std::size_t c = b + 1; c < n; ++c)
        for (std::size_t d = c + 1; d < n; ++d) {
          const double least =
              std::min({flatness_of_triangle(points[a], points[b], points[c]), flatness_of_triangle(points[a], points[b], points[d]),
                        flatness_of_triangle(points[a], points[c], points[d]), flatness_of_triangle(points[b], points[c], points[d])});
          if (least > kLineShare) return true;
        }
  return false;
}

Problem refused(std::string what, std::string allowed, std::string mend = {}) {
  return {{{}, 0, 0, "/known_point"}, std::move(what), std::move(allowed), std::move(mend)};
}

/// Direct linear transformation, plan to picture, both in their frames.
Matrix3d linear_fit(const std::vector<Vector2d>& plan, const std::vector<Vector2d>& picture) {
  Eigen::MatrixXd rows(2 * static_cast<Eigen::Index>(plan.size()), 9);
  for (std::size_t k = 0; k < plan.size(); ++k) {
    const double x = plan[k].x(), y = plan[k].y(), u = picture[k].x(), v = picture[k].y();
    rows.row(2 * static_cast<Eigen::Index>(k)) << 0, 0, 0, -x, -y, -1, v * x, v * y, v;
    rows.row(2 * static_cast<Eigen::Index>(k) + 1) << x, y, 1, 0, 0, 0, -u * x, -u * y, -u;
  }
  const Eigen::JacobiSVD<Eigen::MatrixXd> svd(rows, Eigen::ComputeFullV);
  const VectorXd null = svd.matrixV().col(8);
  return Eigen::Map<const Eigen::Matrix<double, 3, 3, Eigen::RowMajor>>(null.data());
}

/// Eight free entries: the ninth is one, since the middle of the points lies in front of the camera.
Matrix3d matrix_of(const VectorXd& p) {
  Matrix3d matrix;
  matrix << p[0], p[1], p[2], p[3], p[4], p[5], p[6], p[7], 1;
  return matrix;
}

Problems problems_of(const std::vector<KnownPoint>& points, const std::vector<Vector2d>& plan, const std::vector<Vector2d>& picture) {
  if (points.size() < kLeast)
    return {refused(fmt::format("{} known point{} cannot tell the angle of the photograph", points.size(), points.size() == 1 ? "" : "s"),
                    "at least four, no three of them on a line", "bolt holes near the corners of the gasket do well")};
  Problems problems;
  for (std::size_t a = 0; a < points.size(); ++a) {
    if (!(points[a].uncertainty.si() > 0))
      problems.push_back(refused(fmt::format("the uncertainty of known point {} is not above zero", a + 1), "more than 0 mm"));
    for (std::size_t b = a + 1; b < points.size(); ++b) {
      if ((plan[a] - plan[b]).norm() < 1e-3 || (picture[a] - picture[b]).norm() < 1e-3)
        problems.push_back(refused(fmt::format("known points {} and {} are the same place", a + 1, b + 1), "places well apart"));
    }
  }
  if (problems.empty() && (!has_four_corners(plan) || !has_four_corners(picture)))
    problems.push_back(
        refused("the known points lie on a line, or three of each four do", "four points that span the gasket like its corners"));
  return problems;
}

}  // namespace

Result<FittedMap> map_from_points(const std::vector<KnownPoint>& points, double tap_px) {
  std::vector<PicturePoint> taps, places;
  for (const KnownPoint& known : points) {
    taps.push_back(known.tap);
    places.push_back({known.at.x_mm, known.at.y_mm});
  }
  if (points.empty()) return problems_of(points, {}, {});
  const Frame picture_frame(taps);
  const Frame plan_frame(places);
  std::vector<Vector2d> plan, picture;
  for (std::size_t k = 0; k < points.size(); ++k) {
    plan.push_back(plan_frame.to_frame(places[k]));
    picture.push_back(picture_frame.to_frame(taps[k]));
  }
  if (Problems problems = problems_of(points, plan, picture); !problems.empty()) return problems;

  const Matrix3d start = linear_fit(plan, picture);
  const Problem crossed =
      refused("these points cannot be seen so from one side: taps and places do not belong together",
              "each tap with the place of the same point", "check the order of the points, and the sign of their places");
  for (const Vector2d& at : plan) {
    if (!((start * at.homogeneous())[2] * start(2, 2) > 0)) return crossed;
  }
  VectorXd first(8);
  for (Eigen::Index k = 0; k < 8; ++k) first[k] = start(k / 3, k % 3) / start(2, 2);
  const double px_per_mm = picture_frame.size() / plan_frame.size();
  std::vector<double> sigma_px;
  for (const KnownPoint& known : points) sigma_px.push_back(std::hypot(tap_px / 2, known.uncertainty.si() * 1e3 / 2 * px_per_mm));
  const auto residuals = [&](const VectorXd& p) {
    const Matrix3d matrix = matrix_of(p);
    VectorXd all(2 * static_cast<Eigen::Index>(plan.size()));
    for (std::size_t k = 0; k < plan.size(); ++k) {
      const Eigen::Vector3d seen = matrix * plan[k].homogeneous();
      const Vector2d miss = (seen.head<2>() / seen[2] - picture[k]) * picture_frame.size() / sigma_px[k];
      all.segment<2>(2 * static_cast<Eigen::Index>(k)) = seen[2] > 0 ? miss : Vector2d(HUGE_VAL, HUGE_VAL);
    }
    return all;
  };
  const internal::Fitted fitted = internal::least_squares(residuals, first);
  if (!std::isfinite(fitted.cost) || internal::is_open(fitted.normal) || std::abs(matrix_of(fitted.parameters).determinant()) < 1e-9)
    return refused("the known points leave the map open", "four points that span the gasket like its corners");

  const auto to_plan = [&](const VectorXd& p) -> Matrix3d {
    return plan_frame.matrix().inverse() * matrix_of(p).inverse() * picture_frame.matrix();
  };
  FittedMap result = internal::fitted_map(MapKind::kPerspective, to_plan, fitted, picture_frame.middle());
  double squares = 0, expected = 0;
  for (std::size_t k = 0; k < points.size(); ++k) {
    const double miss = fitted.residuals.segment<2>(2 * static_cast<Eigen::Index>(k)).norm() * sigma_px[k];
    result.residual.push_back(miss);
    squares += miss * miss;
    expected += sigma_px[k] * sigma_px[k] / static_cast<double>(points.size());
  }
  if (result.freedom > 0) {
    result.error = std::sqrt(squares / result.freedom);
    result.error_band = std::sqrt(expected * internal::chi_square_95(result.freedom) / result.freedom);
  }
  return result;
}

}  // namespace headjoint::photo
