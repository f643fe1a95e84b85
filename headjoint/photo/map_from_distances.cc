#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "headjoint/photo/internal/least_squares.h"
#include "headjoint/photo/internal/map_fit.h"
#include "headjoint/photo/plan_map.h"

namespace headjoint::photo {
namespace {

using Eigen::VectorXd;
using internal::Fitted;
using internal::Frame;

constexpr std::size_t kForPerspective = 5;
constexpr double kLeastSpan_px = 5;

/// Distances in the picture's own frame: about its middle, of order one.
struct Spans {
  Frame frame;
  std::vector<Eigen::Vector2d> from, to;
  VectorXd distance_mm, sigma_mm;
};

Spans spans_of(const std::vector<KnownDistance>& distances, double tap_px) {
  Spans spans;
  std::vector<PicturePoint> ends;
  for (const KnownDistance& known : distances) ends.insert(ends.end(), {known.from, known.to});
  spans.frame = Frame(ends);
  const auto count = static_cast<Eigen::Index>(distances.size());
  spans.distance_mm.resize(count);
  spans.sigma_mm.resize(count);
  for (Eigen::Index k = 0; k < count; ++k) {
    const KnownDistance& known = distances[static_cast<std::size_t>(k)];
    spans.from.push_back(spans.frame.to_frame(known.from));
    spans.to.push_back(spans.frame.to_frame(known.to));
    const double mm = known.distance.si() * 1e3;
    const double tap_mm = tap_px / 2 * std::sqrt(2.0) * mm / std::hypot(known.to.x_px - known.from.x_px, known.to.y_px - known.from.y_px);
    spans.distance_mm[k] = mm;
    spans.sigma_mm[k] = std::hypot(known.uncertainty.si() * 1e3 / 2, tap_mm);
  }
  return spans;
}

/// Parameters: ln a, b, ln c, l1, l2 (perspective), ln a, ln c (two scales) or ln a (one): all of order one and free.
Eigen::Matrix3d shape_of(const VectorXd& p, double unit) {
  Eigen::Matrix3d shape = Eigen::Matrix3d::Identity();
  shape(0, 0) = unit * std::exp(p[0]);
  shape(1, 1) = p.size() == 1 ? shape(0, 0) : unit * std::exp(p.size() == 2 ? p[1] : p[2]);
  if (p.size() == 5) {
    shape(0, 1) = unit * p[1];
    shape(2, 0) = p[3];
    shape(2, 1) = p[4];
  }
  return shape;
}

VectorXd residuals_of(const Spans& spans, const Eigen::Matrix3d& shape) {
  VectorXd residuals(spans.distance_mm.size());
  for (Eigen::Index k = 0; k < residuals.size(); ++k) {
    const Eigen::Vector3d a = shape * spans.from[static_cast<std::size_t>(k)].homogeneous();
    const Eigen::Vector3d b = shape * spans.to[static_cast<std::size_t>(k)].homogeneous();
    const bool is_in_front = a[2] > 0 && b[2] > 0;
    const double length = (a.head<2>() / a[2] - b.head<2>() / b[2]).norm();
    residuals[k] = is_in_front ? (length - spans.distance_mm[k]) / spans.sigma_mm[k] : HUGE_VAL;
  }
  return residuals;
}

double unit_of_spans(const Spans& spans) {
  double unit = 0;
  for (Eigen::Index k = 0; k < spans.distance_mm.size(); ++k) {
    const auto i = static_cast<std::size_t>(k);
    unit += spans.distance_mm[k] / (spans.from[i] - spans.to[i]).norm() / static_cast<double>(spans.distance_mm.size());
  }
  return unit;
}

Fitted fit(const Spans& spans, double unit, const VectorXd& start) {
  return internal::least_squares([&](const VectorXd& p) { return residuals_of(spans, shape_of(p, unit)); }, start);
}

/// The best of several tilts to start from.
Fitted fit_perspective(const Spans& spans, double unit) {
  Fitted best;
  best.cost = HUGE_VAL;
  for (const double l1 : {0.0, 0.25, -0.25}) {
    for (const double l2 : {0.0, 0.25, -0.25}) {
      VectorXd start = VectorXd::Zero(5);
      start[3] = l1;
      start[4] = l2;
      Fitted fitted = fit(spans, unit, start);
      if (std::isfinite(fitted.cost) && fitted.cost < best.cost) best = std::move(fitted);
    }
  }
  return best;
}

FittedMap finished(const Spans& spans, double unit, const Fitted& fitted, MapKind kind) {
  const auto to_plan = [&](const VectorXd& p) -> Eigen::Matrix3d {
    const Eigen::Matrix3d y_up = Eigen::Vector3d(1, -1, 1).asDiagonal();
    // The frame's y runs down like the picture's: turning it before the triangular shape keeps x along the picture.
    return shape_of(p, unit) * y_up * spans.frame.matrix();
  };
  FittedMap result = internal::fitted_map(kind, to_plan, fitted, spans.frame.middle());
  for (Eigen::Index k = 0; k < fitted.residuals.size(); ++k) result.residual.push_back(fitted.residuals[k] * spans.sigma_mm[k]);
  if (result.freedom <= 0) return result;
  double squares = 0;
  double expected = 0;
  for (Eigen::Index k = 0; k < fitted.residuals.size(); ++k) {
    squares += result.residual[static_cast<std::size_t>(k)] * result.residual[static_cast<std::size_t>(k)];
    expected += spans.sigma_mm[k] * spans.sigma_mm[k] / static_cast<double>(fitted.residuals.size());
  }
  result.error = std::sqrt(squares / result.freedom);
  result.error_band = std::sqrt(expected * internal::chi_square_95(result.freedom) / result.freedom);
  return result;
}

Problems problems_of(const std::vector<KnownDistance>& distances) {
  Problems problems;
  const auto refuse = [&](std::size_t k, std::string what, std::string allowed) {
    problems.push_back({{{}, 0, 0, fmt::format("/known_distance/{}", k)}, std::move(what), std::move(allowed), {}});
  };
  if (distances.empty()) refuse(0, "no distance is known", "two places tapped in the picture and the distance between them on the gasket");
  for (std::size_t k = 0; k < distances.size(); ++k) {
    const KnownDistance& known = distances[k];
    const double span = std::hypot(known.to.x_px - known.from.x_px, known.to.y_px - known.from.y_px);
    if (!(known.distance.si() > 0) || !(known.uncertainty.si() > 0))
      refuse(k, fmt::format("known distance {} is not above zero", k + 1), "more than 0 mm");
    else if (!(span >= kLeastSpan_px))
      refuse(k, fmt::format("the ends of known distance {} lie on one spot of the picture", k + 1),
             "at least 5 pixels apart; the further the surer");
  }
  return problems;
}

Problem open_perspective() {
  return {{{}, 0, 0, "/known_distance"},
          "these distances leave the angle of the photograph open",
          "distances that run along, across and slantwise, in all parts of the picture; or four known points",
          "four corners with their four sides and one diagonal will do"};
}

}  // namespace

Result<FittedMap> map_from_distances(const std::vector<KnownDistance>& distances, double tap_px) {
  if (Problems problems = problems_of(distances); !problems.empty()) return problems;
  Spans spans = spans_of(distances, tap_px);
  for (auto* ends : {&spans.from, &spans.to}) {
    for (Eigen::Vector2d& end : *ends) end.y() = -end.y();
  }
  const double unit = unit_of_spans(spans);
  const Fitted one = fit(spans, unit, VectorXd::Zero(1));
  const FittedMap scale = finished(spans, unit, one, MapKind::kScale);
  if (scale.freedom == 0 || scale.doubt.empty()) return scale;
  if (distances.size() >= kForPerspective) {
    const Fitted perspective = fit_perspective(spans, unit);
    if (!std::isfinite(perspective.cost) || internal::is_open(perspective.normal)) return open_perspective();
    return finished(spans, unit, perspective, MapKind::kPerspective);
  }
  const Fitted two = fit(spans, unit, VectorXd::Zero(2));
  if (internal::is_open(two.normal)) return scale;
  FittedMap stretched = finished(spans, unit, two, MapKind::kTwoScales);
  const double ratio = std::exp(std::abs(two.parameters[0] - two.parameters[1]));
  if (stretched.doubt.empty() && ratio > 1.02)
    stretched.doubt = fmt::format(
        "the picture is {:.1f} % longer one way than the other: more than a scanner does; a photograph at an angle needs four known points "
        "or five distances",
        (ratio - 1) * 100);
  return stretched;
}

}  // namespace headjoint::photo
