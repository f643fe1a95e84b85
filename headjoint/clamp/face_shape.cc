#include "headjoint/clamp/face_shape.h"

#include <fmt/format.h>

#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "headjoint/base/text.h"
#include "headjoint/clamp/internal/area_moments.h"
#include "headjoint/clamp/internal/workshop_units.h"
#include "headjoint/faces/flatness.h"

namespace headjoint::clamp {

/// Either a bow given by a formula or a thin-plate spline: sum of weight r^2 ln r, plus a plane.
struct FaceShape::Spline {
  std::vector<PlanPoint> at;
  std::vector<double> weight;
  double plane[3] = {0, 0, 0};
  double length_mm = 1;  ///< everything is scaled by it
  double bow_mm = 0;
  PlanPoint bow_centre;
  double highest_mm = 0;  ///< of the measured places
  double lowest_mm = 0;

  static double kernel(double r2) { return r2 > 0 ? 0.5 * r2 * std::log(r2) : 0; }
  [[nodiscard]] double height(double x_mm, double y_mm) const {
    if (at.empty()) {
      const double t = 2 * (x_mm - bow_centre.x_mm) / length_mm;
      return bow_mm * (0.5 - t * t);
    }
    const double x = x_mm / length_mm, y = y_mm / length_mm;
    double sum = plane[0] + plane[1] * x + plane[2] * y;
    for (std::size_t i = 0; i < at.size(); ++i) {
      const double dx = x - at[i].x_mm, dy = y - at[i].y_mm;
      sum += weight[i] * kernel(dx * dx + dy * dy);
    }
    return sum;
  }
  void fit(const std::vector<double>& heights);
};

void FaceShape::Spline::fit(const std::vector<double>& heights) {
  const auto n = static_cast<Eigen::Index>(at.size());
  Eigen::MatrixXd system = Eigen::MatrixXd::Zero(n + 3, n + 3);
  Eigen::VectorXd right = Eigen::VectorXd::Zero(n + 3);
  for (Eigen::Index i = 0; i < n; ++i) {
    const PlanPoint& p = at[static_cast<std::size_t>(i)];
    for (Eigen::Index j = 0; j < i; ++j) {
      const PlanPoint& q = at[static_cast<std::size_t>(j)];
      system(i, j) = system(j, i) = kernel((p.x_mm - q.x_mm) * (p.x_mm - q.x_mm) + (p.y_mm - q.y_mm) * (p.y_mm - q.y_mm));
    }
    system.row(i).tail<3>() << 1, p.x_mm, p.y_mm;
    system.col(i).tail<3>() << 1, p.x_mm, p.y_mm;
    right(i) = heights[static_cast<std::size_t>(i)];
  }
  const Eigen::VectorXd solution = system.partialPivLu().solve(right);
  weight.assign(solution.data(), solution.data() + n);
  for (Eigen::Index k = 0; k < 3; ++k) plane[k] = solution(n + k);
}

namespace {

struct Averaged {
  std::vector<PlanPoint> at;
  std::vector<double> height;
  double window_mm = 0;
};

/// Heights over the least-squares plane, averaged in square windows until few enough are left.
Averaged averaged(const faces::FacePoints& points, const std::vector<double>& heights, double length) {
  constexpr std::size_t kMost = 400;
  Averaged result;
  for (double window = 0.5; window < length; window *= 1.5) {
    struct Sum {
      double x = 0, y = 0, z = 0, count = 0;
    };
    std::map<std::pair<long, long>, Sum> windows;
    for (std::size_t i = 0; i < heights.size(); ++i) {
      Sum& sum = windows[{std::lround(points.x_mm[i] / window), std::lround(points.y_mm[i] / window)}];
      sum.x += points.x_mm[i], sum.y += points.y_mm[i], sum.z += heights[i], sum.count += 1;
    }
    if (windows.size() > kMost) continue;
    result.window_mm = window;
    for (const auto& [key, sum] : windows) {
      result.at.push_back({sum.x / sum.count, sum.y / sum.count});
      result.height.push_back(sum.z / sum.count);
    }
    return result;
  }
  return result;
}

/// Share of the outline within one spacing of the measured region, and the place farthest out.
FaceCover cover_of(const std::vector<PlanPoint>& measured, const std::vector<PlanPoint>& outline) {
  const Polygon hull = convex_hull(measured);
  const double spacing = std::sqrt(std::abs(polygon_moments(hull).area) / static_cast<double>(std::max<std::size_t>(1, measured.size())));
  double x0 = outline[0].x_mm, x1 = x0, y0 = outline[0].y_mm, y1 = y0;
  for (const PlanPoint& p : outline) {
    x0 = std::min(x0, p.x_mm), x1 = std::max(x1, p.x_mm), y0 = std::min(y0, p.y_mm), y1 = std::max(y1, p.y_mm);
  }
  FaceCover cover;
  constexpr int kSteps = 60;
  int inside = 0, covered = 0;
  for (int i = 0; i < kSteps; ++i)
    for (int j = 0; j < kSteps; ++j) {
      const PlanPoint p{x0 + (i + 0.5) / kSteps * (x1 - x0), y0 + (j + 0.5) / kSteps * (y1 - y0)};
      if (!contains(outline, p)) continue;
      ++inside;
      const double away = contains(hull, p) ? 0 : distance_to_edge(hull, p);
      if (away <= spacing) ++covered;
      if (away <= cover.farthest_mm) continue;
      cover.farthest_mm = away;
      cover.farthest = p;
    }
  cover.share = inside > 0 ? static_cast<double>(covered) / inside : 0;
  return cover;
}

}  // namespace

Result<FaceShape> FaceShape::through(const faces::FacePoints& points, const std::vector<PlanPoint>& outline) {
  if (points.size() < faces::kFewestPoints) return Problem{{}, "the face has fewer than four measured points", "four or more", {}};
  const std::vector<double> heights = faces::residuals_mm(points, faces::least_squares_flatness(points).plane);
  const auto [x_least, x_most] = std::minmax_element(points.x_mm.begin(), points.x_mm.end());
  const auto [y_least, y_most] = std::minmax_element(points.y_mm.begin(), points.y_mm.end());
  auto spline = std::make_shared<Spline>();
  spline->length_mm = std::max(*x_most - *x_least, *y_most - *y_least);
  Averaged carried = averaged(points, heights, spline->length_mm);
  if (carried.at.size() < faces::kFewestPoints)
    return Problem{{}, "the measured points all stand in one place", "spread over the face", {}};
  FaceShape shape;
  shape.cover_ = cover_of(carried.at, outline);
  spline->highest_mm = *std::max_element(carried.height.begin(), carried.height.end());
  spline->lowest_mm = *std::min_element(carried.height.begin(), carried.height.end());
  for (const PlanPoint& p : carried.at) spline->at.push_back({p.x_mm / spline->length_mm, p.y_mm / spline->length_mm});
  spline->fit(carried.height);
  if (std::any_of(spline->weight.begin(), spline->weight.end(), [](double w) { return !std::isfinite(w); }))
    return Problem{{}, "the measured points lie on one line", "spread over the face", {}};
  shape.spline_ = std::move(spline);

  constexpr double kWorthSaying = 0.99, kTooLittle = 0.5;
  if (shape.cover_.share >= kWorthSaying) return shape;
  const bool refused = shape.cover_.share < kTooLittle;
  Problem problem{{},
                  fmt::format("the measured points cover {} % of the head; the farthest place left out is at x {}, y {} mm, {} mm away",
                              number_text(100 * shape.cover_.share, 2), number_text(shape.cover_.farthest.x_mm, 4),
                              number_text(shape.cover_.farthest.y_mm, 4), number_text(shape.cover_.farthest_mm, 3)),
                  "points over the whole deck, in the coordinates of the engine file",
                  refused ? "check origin and unit of x and y" : "beyond the points the shape is carried straight on",
                  refused ? Problem::Severity::kError : Problem::Severity::kWarning};
  if (refused) return problem;
  return {std::move(shape), {std::move(problem)}};
}

FaceShape FaceShape::bow(Length height, const std::vector<PlanPoint>& outline) {
  require(!outline.empty(), "a bow spans an outline");
  const auto [least, most] =
      std::minmax_element(outline.begin(), outline.end(), [](const PlanPoint& a, const PlanPoint& b) { return a.x_mm < b.x_mm; });
  auto spline = std::make_shared<Spline>();
  spline->length_mm = most->x_mm - least->x_mm;
  spline->bow_centre = {(most->x_mm + least->x_mm) / 2, 0};
  spline->bow_mm = mm(height);
  spline->highest_mm = std::abs(mm(height)) / 2;
  spline->lowest_mm = -spline->highest_mm;
  FaceShape shape;
  shape.spline_ = std::move(spline);
  return shape;
}

double FaceShape::height_mm(double x_mm, double y_mm) const { return std::min(spline_->height(x_mm, y_mm), ceiling_mm_); }

FaceShape FaceShape::cut(Length depth) const {
  ask(depth.si() >= 0, "depth", "must not be negative");
  FaceShape lower = *this;
  lower.ceiling_mm_ = std::min(ceiling_mm_, spline_->highest_mm - mm(depth));
  return lower;
}

Length FaceShape::full_cut() const { return from_mm(spline_->highest_mm - spline_->lowest_mm); }

}  // namespace headjoint::clamp
