#include "headjoint/faces/cut.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "headjoint/base/error.h"
#include "headjoint/faces/internal/cloud.h"
#include "headjoint/faces/internal/line_width.h"

namespace headjoint::faces {
namespace {

using namespace internal;

constexpr double kMillimetre = 1e-3;
constexpr double kTouch = 1e-9;             // share of the depth within which a point touches a plane
constexpr double kProved = 2e-6;            // share of the depth by which bound and depth may differ: 0.2 nm of 0.1 mm
constexpr double kStraightEnough = 1e-8;    // slope that changes distances by its half square
constexpr double kSteepestCosine = 0.7071;  // datum within 45 degrees of the measuring plane, as for the face
constexpr double kOnOneLine = 1e-3;         // width / length below which datum points make a line
constexpr double kAlmost = 1e-6;            // share of the depth given away so that contacts away from the rim count as well
constexpr int kMostTurns = 20;

Length from_mm(double value) { return Length::from_si(value * kMillimetre); }

Cloud cloud_of(const FacePoints& points) { return {points.x_mm, points.y_mm, points.z_mm}; }

Moments checked_moments(const FacePoints& points) {
  const Cloud cloud = cloud_of(points);
  const Moments found = moments(cloud);
  if (const auto why = why_no_plane(cloud, found)) throw InputError("points", *why);
  return found;
}

/// Slopes that a plane may have in a frame, both ways.
struct Allowed {
  double a = 0;
  double b = 0;
};

/// Extent of the points along the two axes of a frame.
Allowed extent_of(const Cloud& cloud, const Frame& frame) {
  const Range along = extremes(cloud, frame.along).range;
  const Range across = extremes(cloud, frame.across).range;
  return {along.high - along.low, across.high - across.low};
}

Vector3 normal_at(const Frame& frame, double a, double b) { return unit(plus(plus(frame.normal, -a, frame.along), -b, frame.across)); }

/// Points projected to (second axis, height) after the slope along the first axis is taken off.
std::vector<Vector2> profile_across(const Cloud& cloud, const Vector3& axis, const Vector3& height, const Vector3& origin) {
  std::vector<Vector2> profile(cloud.size());
  const double s0 = dot(axis, origin);
  const double w0 = dot(height, origin);
  for (std::size_t i = 0; i < cloud.size(); ++i) profile[i] = {dot(axis, cloud.at(i)) - s0, dot(height, cloud.at(i)) - w0};
  return profile;
}

double height_along(const Cloud& cloud, const Vector3& normal) {
  const Range range = extremes(cloud, normal).range;
  return range.high - range.low;
}

/// The best normal with one slope fixed and the other within its bound.
Vector3 best_with_fixed(const Cloud& cloud, const Frame& frame, bool first_is_fixed, double fixed, double bound) {
  const Vector3& tilted = first_is_fixed ? frame.along : frame.across;
  const Vector3& free = first_is_fixed ? frame.across : frame.along;
  const Vector3 height = plus(frame.normal, -fixed, tilted);
  const double slope = least_line_zone(profile_across(cloud, free, height, frame.origin), -bound, bound).slope;
  return first_is_fixed ? normal_at(frame, fixed, slope) : normal_at(frame, slope, fixed);
}

/// The best normal square to `line`, turned until heights are square to the plane.
Vector3 best_along_line(const Cloud& cloud, Frame frame) {
  for (int turn = 0; turn < kMostTurns; ++turn) {
    constexpr double kAny = std::numeric_limits<double>::infinity();
    const double slope = least_line_zone(profile_across(cloud, frame.across, frame.normal, frame.origin), -kAny, kAny).slope;
    const Vector3 normal = normal_at(frame, 0, slope);
    frame = {frame.origin, frame.along, cross(normal, frame.along), normal};
    if (std::abs(slope) < kStraightEnough) break;
  }
  return frame.normal;
}

/// Touching points of one side with the extremes of their places, for the dual bound.
struct Touching {
  std::vector<std::size_t> points;
  std::vector<Vector3> places;  // (u, v, w) in the frame
};

/// Lower limit of the depth over all allowed slopes that weights on one or two points a side give:
/// (w_up - w_low) - max over allowed (a, b) of a (u_up - u_low) + b (v_up - v_low).
double bound_from(const Vector3& up, const Vector3& low, const Allowed& allowed) {
  return up[2] - low[2] - allowed.a * std::abs(up[0] - low[0]) - allowed.b * std::abs(up[1] - low[1]);
}

/// Points of the segments between all pairs of touching points, at which their places along an axis agree with those of the other side.
std::vector<Vector3> mixtures(const std::vector<Vector3>& side, const std::vector<Vector3>& other) {
  std::vector<Vector3> mixed = side;
  for (std::size_t i = 0; i < side.size(); ++i) {
    for (std::size_t j = i + 1; j < side.size(); ++j) {
      for (const Vector3& to : other) {
        for (const std::size_t axis : {0U, 1U}) {
          const double span = side[j][axis] - side[i][axis];
          if (span == 0) continue;
          const double share = (to[axis] - side[i][axis]) / span;
          if (share > 0 && share < 1) mixed.push_back(plus(side[i], share, plus(side[j], -1, side[i])));
        }
      }
    }
  }
  return mixed;
}

/// Keeps the points outermost in a few directions: enough to prove with.
void keep_outermost(Touching& touching) {
  constexpr std::size_t kEnough = 12;
  if (touching.places.size() <= kEnough) return;
  std::vector<Vector3> kept;
  for (const Vector2& d : {Vector2{1, 0}, {0, 1}, {1, 1}, {1, -1}, {-1, 0}, {0, -1}, {-1, -1}, {-1, 1}}) {
    kept.push_back(*std::max_element(touching.places.begin(), touching.places.end(), [&d](const Vector3& a, const Vector3& b) {
      return a[0] * d[0] + a[1] * d[1] < b[0] * d[0] + b[1] * d[1];
    }));
  }
  touching.places = std::move(kept);
}

/// What the touching points prove.
struct Evidence {
  double height = 0;   ///< lower limit over all allowed slopes
  double overlap = 0;  ///< by how much, per slope b either way, the height must grow
};

Evidence dual_bound(Touching high, Touching deep, const Allowed& allowed) {
  keep_outermost(high);
  keep_outermost(deep);
  Evidence found{-std::numeric_limits<double>::infinity(), 0};
  const auto ups = mixtures(high.places, deep.places);
  const auto lows = mixtures(deep.places, high.places);
  for (const Vector3& up : ups)
    for (const Vector3& low : lows) found.height = std::max(found.height, bound_from(up, low, allowed));
  double right = 0;
  double left = 0;
  for (const Vector3& up : ups) {
    for (const Vector3& low : lows) {
      if (bound_from(up, low, {allowed.a, 0}) < found.height * (1 - kAlmost)) continue;
      right = std::max(right, low[1] - up[1]);
      left = std::max(left, up[1] - low[1]);
    }
  }
  found.overlap = std::min(left, right);
  return found;
}

/// The cut with a given normal through the deepest point, its depth and its touching points; status not set.
Cut cut_along(const Cloud& cloud, const Vector3& normal) {
  Cut cut;
  const Extremes reach = extremes(cloud, normal);
  const double depth = reach.range.high - reach.range.low;
  cut.plane = {cloud.at(reach.low_at), normal};
  cut.depth = from_mm(depth);
  double total = 0;
  const double tolerance = kTouch * depth;
  for (std::size_t i = 0; i < cloud.size(); ++i) {
    const double s = dot(normal, cloud.at(i));
    total += s - reach.range.low;
    if (s >= reach.range.high - tolerance) cut.highest.push_back(i);
    if (s <= reach.range.low + tolerance) cut.deepest.push_back(i);
  }
  cut.mean_depth = from_mm(total / static_cast<double>(cloud.size()));
  return cut;
}

Touching places_of(const Cloud& cloud, const Frame& frame, const std::vector<std::size_t>& points) {
  Touching touching{points, {}};
  for (const std::size_t i : points) {
    const Vector3 p = plus(cloud.at(i), -1, frame.origin);
    touching.places.push_back({dot(frame.along, p), dot(frame.across, p), dot(frame.normal, p)});
  }
  return touching;
}

/// Square to a plane of slope b the height is (h + overlap b) / sqrt(1 + b^2): least at b = 0 or at the bound.
void prove(const Cloud& cloud, const Frame& frame, const Allowed& allowed, Cut& cut) {
  const Evidence found = dual_bound(places_of(cloud, frame, cut.highest), places_of(cloud, frame, cut.deepest), allowed);
  const double at_any_slope = found.height / std::hypot(1.0, allowed.a, allowed.b);
  const double almost = found.height * (1 - kAlmost);
  const double at_bound = (almost + found.overlap * allowed.b) / std::hypot(1.0, allowed.b);
  const double bound = std::max(at_any_slope, std::min(almost, at_bound) / std::hypot(1.0, allowed.a));
  const double at_least = std::clamp(bound / (cut.depth.si() / kMillimetre), 0.0, 1.0);
  cut.at_least = at_least * cut.depth;
  if (!(cut.depth.si() > 0)) cut.at_least = Length{};
  cut.status = !(cut.depth.si() > 0) || at_least >= 1 - kProved ? CutStatus::kLeast : CutStatus::kNotProved;
}

/// Slope from which points `width` wide cannot lie between planes h apart; 1 when they are no wider than high.
double steepest_thin_slope(double h, double width) { return width > 3 * h ? 2 * width * h / (width * width - h * h) : 1; }

/// Frame on the datum: `along` lengthwise on the face (or the line itself), `normal` out of the metal.
Frame frame_on(const CutDatum& datum, const Frame& face) {
  if (datum.kind == CutDatum::Kind::kFace) return turned_to(face, unit(datum.direction));
  const Vector3 along = unit(datum.direction);
  const Vector3 normal = plus(face.normal, -dot(face.normal, along), along);
  if (!(dot(normal, normal) > 0.5)) throw InputError("datum", "the line stands across the face");
  return {face.origin, along, cross(unit(normal), along), unit(normal)};
}

bool is_allowed(const Frame& frame, const Vector3& normal, const Allowed& allowed) {
  const double upright = dot(normal, frame.normal);
  if (!(upright > 0)) return false;
  return std::abs(dot(normal, frame.along) / upright) <= allowed.a && std::abs(dot(normal, frame.across) / upright) <= allowed.b;
}

/// The thinnest of the normals that stand on the rim of the allowance.
Vector3 best_on_rim(const Cloud& cloud, const Frame& frame, const CutDatum& datum, const Allowed& allowed) {
  std::vector<Vector3> candidates;
  if (datum.kind == CutDatum::Kind::kLine) {
    for (const double a : {-allowed.a, allowed.a}) {
      const Vector3 along = unit(plus(frame.along, a, frame.normal));
      const Vector3 normal = cross(along, frame.across);
      candidates.push_back(best_along_line(cloud, {frame.origin, along, frame.across, normal}));
      if (a == 0) break;
    }
  } else {
    for (const double sign : {-1.0, 1.0}) {
      candidates.push_back(best_with_fixed(cloud, frame, true, sign * allowed.a, allowed.b));
      candidates.push_back(best_with_fixed(cloud, frame, false, sign * allowed.b, allowed.a));
    }
  }
  return *std::min_element(candidates.begin(), candidates.end(),
                           [&cloud](const Vector3& a, const Vector3& b) { return height_along(cloud, a) < height_along(cloud, b); });
}

double out_of_parallel_mm(const Frame& frame, const Vector3& normal, const Allowed& extent, bool is_line) {
  const double upright = dot(normal, frame.normal);
  const double along = std::abs(dot(normal, frame.along) / upright) * extent.a;
  return is_line ? along : std::max(along, std::abs(dot(normal, frame.across) / upright) * extent.b);
}

/// Least-squares direction of points on a line, and how wide they scatter round it.
std::array<Vector3, 2> line_through(const Cloud& cloud, const Moments& found) {
  std::size_t far = 0;
  double most = -1;
  for (std::size_t i = 0; i < cloud.size(); ++i) {
    const Vector3 p = plus(cloud.at(i), -1, found.centroid);
    if (dot(p, p) > most) {
      most = dot(p, p);
      far = i;
    }
  }
  Vector3 direction = plus(cloud.at(far), -1, found.centroid);
  const auto& [xx, xy, xz, yy, yz, zz] = found.second;
  constexpr int kSteps = 60;  // power iteration: the scatter along a line exceeds that across it a thousandfold and more
  for (int step = 0; step < kSteps; ++step) {
    const Vector3 d = unit(direction);
    direction = {xx * d[0] + xy * d[1] + xz * d[2], xy * d[0] + yy * d[1] + yz * d[2], xz * d[0] + yz * d[1] + zz * d[2]};
  }
  return {found.centroid, unit(direction)};
}

}  // namespace

CutDatum measuring_plane() { return {CutDatum::Kind::kFace, {0, 0, 1}, 0, kNoLength}; }

CutDatum datum_of(const FacePoints& points) {
  const Cloud cloud = cloud_of(points);
  if (cloud.x.size() != cloud.size() || cloud.y.size() != cloud.size()) throw InputError("datum", "the coordinates are not equally many");
  if (cloud.size() < 2) throw InputError("datum", "a line needs 2 points, a face 3");
  const Moments found = moments(cloud);
  const auto& [xx, xy, xz, yy, yz, zz] = found.second;
  if (!(xx + yy + zz > 0) || !std::isfinite(xx + yy + zz)) throw InputError("datum", "all points lie at one place");
  const double lengthwise = (xx + yy) / 2 + std::hypot((xx - yy) / 2, xy);
  const bool is_line = !(xx * yy - xy * xy > kOnOneLine * kOnOneLine * lengthwise * lengthwise);
  CutDatum datum;
  datum.points = cloud.size();
  if (is_line) {
    datum.kind = CutDatum::Kind::kLine;
    const auto [centre, direction] = line_through(cloud, found);
    datum.direction = direction;
    double low = 0;
    double high = 0;
    const Vector3 upright = unit(plus({0, 0, 1}, -direction[2], direction));
    for (std::size_t i = 0; i < cloud.size(); ++i) {
      const double s = dot(upright, plus(cloud.at(i), -1, centre));
      low = std::min(low, s);
      high = std::max(high, s);
    }
    if (cloud.size() > 2) datum.spread = from_mm(high - low);
    return datum;
  }
  const Frame frame = least_squares_frame(found);
  if (!(frame.normal[2] > kSteepestCosine)) throw InputError("datum", "the face stands on edge: z must be the height over it");
  datum.kind = CutDatum::Kind::kFace;
  datum.direction = frame.normal;
  if (cloud.size() > 3) datum.spread = from_mm(height_along(cloud, frame.normal));
  return datum;
}

Cut least_cut(const FacePoints& points) {
  const MinimumZone zone = minimum_zone_flatness(points);
  Cut cut = cut_along(cloud_of(points), zone.mid_plane.normal);
  cut.at_least = zone.at_least;
  cut.status = zone.status == ZoneStatus::kOptimal ? CutStatus::kLeast : CutStatus::kNotProved;
  return cut;
}

Cut least_cut_held(const FacePoints& points, const CutDatum& datum, Length allowance) {
  if (!(allowance.si() >= 0) || !std::isfinite(allowance.si())) throw InputError("allowance", "must be 0 or more");
  if (datum.kind == CutDatum::Kind::kNone) return least_cut(points);
  const Cloud cloud = cloud_of(points);
  const Frame frame = frame_on(datum, least_squares_frame(checked_moments(points)));
  if (!(frame.normal[2] > kSteepestCosine)) throw InputError("datum", "leans more than 45 degrees from the measuring plane");
  const Allowed extent = extent_of(cloud, frame);
  const bool is_line = datum.kind == CutDatum::Kind::kLine;
  const double allowed_mm = allowance.si() / kMillimetre;
  const Allowed allowed{allowed_mm / extent.a, is_line ? std::numeric_limits<double>::infinity() : allowed_mm / extent.b};
  if (allowed_mm > 0) {
    Cut free = least_cut(points);
    if (is_allowed(frame, free.plane.normal, allowed)) {
      free.out_of_parallel = from_mm(out_of_parallel_mm(frame, free.plane.normal, extent, is_line));
      return free;
    }
  }
  const Vector3 normal = is_line || allowed_mm > 0 ? best_on_rim(cloud, frame, datum, allowed) : frame.normal;
  Cut cut = cut_along(cloud, normal);
  cut.out_of_parallel = from_mm(out_of_parallel_mm(frame, normal, extent, is_line));
  if (is_line) {  // heights are square to the plane in a frame turned about the line: there the free slope is 0
    const Vector3 upright = unit(plus(normal, -dot(normal, frame.along), frame.along));
    const Frame turned{frame.origin, frame.along, cross(upright, frame.along), upright};
    prove(cloud, turned, {allowed.a, steepest_thin_slope(cut.depth.si() / kMillimetre, extent.b)}, cut);
  } else {
    prove(cloud, frame, allowed, cut);
  }
  return cut;
}

std::vector<double> over_cut_mm(const FacePoints& points, const std::array<double, 3>& normal, Length depth) {
  if (!(depth.si() >= 0) || !std::isfinite(depth.si())) throw InputError("depth", "must be 0 or more");
  const Cloud cloud = cloud_of(points);
  if (cloud.size() == 0) return {};
  const double plane = extremes(cloud, normal).range.high - depth.si() / kMillimetre;
  std::vector<double> over(cloud.size());
  for (std::size_t i = 0; i < over.size(); ++i) over[i] = dot(normal, cloud.at(i)) - plane;
  return over;
}

FacePoints turned_over(FacePoints points) {
  for (double& y : points.y_mm) y = -y;
  for (double& z : points.z_mm) z = -z;
  for (FacePoints::Unmeasured& place : points.unmeasured) place.y_mm = -place.y_mm;
  return points;
}

}  // namespace headjoint::faces
