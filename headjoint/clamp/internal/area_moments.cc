#include "headjoint/clamp/internal/area_moments.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "headjoint/clamp/internal/workshop_units.h"

namespace headjoint::clamp {
namespace {

double cross(PlanPoint a, PlanPoint b) { return a.x_mm * b.y_mm - a.y_mm * b.x_mm; }
double dot(PlanPoint a, PlanPoint b) { return a.x_mm * b.x_mm + a.y_mm * b.y_mm; }
PlanPoint minus(PlanPoint a, PlanPoint b) { return {a.x_mm - b.x_mm, a.y_mm - b.y_mm}; }
PlanPoint between(PlanPoint a, PlanPoint b, double t) { return {a.x_mm + t * (b.x_mm - a.x_mm), a.y_mm + t * (b.y_mm - a.y_mm)}; }

/// Triangle of the origin, p and q; clockwise counts negative.
AreaMoments triangle(PlanPoint p, PlanPoint q) {
  const double c = cross(p, q);
  return {c / 2,
          c / 6 * (p.x_mm + q.x_mm),
          c / 6 * (p.y_mm + q.y_mm),
          c / 12 * (p.x_mm * p.x_mm + p.x_mm * q.x_mm + q.x_mm * q.x_mm),
          c / 24 * (2 * p.x_mm * p.y_mm + p.x_mm * q.y_mm + q.x_mm * p.y_mm + 2 * q.x_mm * q.y_mm),
          c / 12 * (p.y_mm * p.y_mm + p.y_mm * q.y_mm + q.y_mm * q.y_mm)};
}

/// Sector of a disc about the origin between the directions of p and q, the short way round.
AreaMoments sector(PlanPoint p, PlanPoint q, double radius) {
  const double turn = std::atan2(cross(p, q), dot(p, q));
  const double np = std::hypot(p.x_mm, p.y_mm), nq = std::hypot(q.x_mm, q.y_mm);
  const double cp = p.x_mm / np, sp = p.y_mm / np, cq = q.x_mm / nq, sq = q.y_mm / nq;
  const double r2 = radius * radius, r3 = r2 * radius, r4 = r2 * r2;
  const double wave = sq * cq - sp * cp;
  return {r2 / 2 * turn,          r3 / 3 * (sq - sp),           r3 / 3 * (cp - cq),
          r4 / 8 * (turn + wave), r4 / 8 * (sq * sq - sp * sp), r4 / 8 * (turn - wave)};
}

/// Share of a disc about the origin that lies in the triangle of the origin, a and b.
AreaMoments disc_in_triangle(PlanPoint a, PlanPoint b, double radius) {
  const PlanPoint along = minus(b, a);
  const double length2 = dot(along, along), half = -dot(a, along), inside = half * half - length2 * (dot(a, a) - radius * radius);
  if (!(length2 > 0)) return {};
  if (!(inside > 0)) return sector(a, b, radius);
  const double root = std::sqrt(inside);
  const double enter = std::clamp((half - root) / length2, 0.0, 1.0), leave = std::clamp((half + root) / length2, 0.0, 1.0);
  if (!(leave > enter)) return sector(a, b, radius);
  const PlanPoint p = between(a, b, enter), q = between(a, b, leave);
  AreaMoments sum = triangle(p, q);
  if (enter > 0) sum += sector(a, p, radius);
  if (leave < 1) sum += sector(q, b, radius);
  return sum;
}

/// Keeps what lies on the inner side of one line parallel to an axis.
template <class Depth>
void cut(Polygon& polygon, Polygon& work, Depth depth) {
  work.clear();
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const PlanPoint &a = polygon[i], &b = polygon[(i + 1) % polygon.size()];
    const double da = depth(a), db = depth(b);
    if (da >= 0) work.push_back(a);
    if ((da > 0 && db < 0) || (da < 0 && db > 0)) work.push_back(between(a, b, da / (da - db)));
  }
  polygon.swap(work);
}

std::array<PlanPoint, 4> corners(const Rectangle& r) { return {{{r.x0, r.y0}, {r.x1, r.y0}, {r.x1, r.y1}, {r.x0, r.y1}}}; }

}  // namespace

AreaMoments& AreaMoments::operator+=(const AreaMoments& o) {
  area += o.area, x += o.x, y += o.y, xx += o.xx, xy += o.xy, yy += o.yy;
  return *this;
}
AreaMoments operator*(double f, const AreaMoments& a) { return {f * a.area, f * a.x, f * a.y, f * a.xx, f * a.xy, f * a.yy}; }
AreaMoments operator-(const AreaMoments& a, const AreaMoments& b) {
  AreaMoments difference = a;
  return difference += -1.0 * b;
}
AreaMoments AreaMoments::moved(double dx, double dy) const {
  return {area,
          x + area * dx,
          y + area * dy,
          xx + 2 * x * dx + area * dx * dx,
          xy + x * dy + y * dx + area * dx * dy,
          yy + 2 * y * dy + area * dy * dy};
}

AreaMoments polygon_moments(std::span<const PlanPoint> polygon) {
  AreaMoments sum;
  if (polygon.size() < 3) return sum;
  const PlanPoint origin = polygon[0];  // close by: small cells far out keep their digits
  for (std::size_t i = 1; i + 1 < polygon.size(); ++i) sum += triangle(minus(polygon[i], origin), minus(polygon[i + 1], origin));
  return sum.moved(origin.x_mm, origin.y_mm);
}

AreaMoments rectangle_moments(const Rectangle& r) { return polygon_moments(corners(r)); }

AreaMoments disc_in_polygon_moments(PlanPoint centre, double radius, std::span<const PlanPoint> polygon) {
  AreaMoments sum;
  for (std::size_t i = 0; i < polygon.size(); ++i)
    sum += disc_in_triangle(minus(polygon[i], centre), minus(polygon[(i + 1) % polygon.size()], centre), radius);
  return sum.moved(centre.x_mm, centre.y_mm);
}

AreaMoments disc_in_rectangle_moments(PlanPoint centre, double radius, const Rectangle& r) {
  const double nearest = std::hypot(centre.x_mm - std::clamp(centre.x_mm, r.x0, r.x1), centre.y_mm - std::clamp(centre.y_mm, r.y0, r.y1));
  if (nearest >= radius) return {};
  const double farthest = std::hypot(std::max(centre.x_mm - r.x0, r.x1 - centre.x_mm), std::max(centre.y_mm - r.y0, r.y1 - centre.y_mm));
  if (farthest <= radius) return rectangle_moments(r);
  return disc_in_polygon_moments(centre, radius, corners(r));
}

Polygon clipped(std::span<const PlanPoint> polygon, const Rectangle& r) {
  Polygon kept(polygon.begin(), polygon.end()), work;
  cut(kept, work, [&](const PlanPoint& p) { return p.x_mm - r.x0; });
  cut(kept, work, [&](const PlanPoint& p) { return r.x1 - p.x_mm; });
  cut(kept, work, [&](const PlanPoint& p) { return p.y_mm - r.y0; });
  cut(kept, work, [&](const PlanPoint& p) { return r.y1 - p.y_mm; });
  return kept;
}

Polygon counter_clockwise(std::vector<PlanPoint> polygon) {
  if (polygon_moments(polygon).area < 0) std::reverse(polygon.begin(), polygon.end());
  return polygon;
}

Polygon widened(const Polygon& polygon, double distance) {
  Polygon moved;
  const std::size_t n = polygon.size();
  for (std::size_t i = 0; i < n; ++i) {
    const PlanPoint before = minus(polygon[i], polygon[(i + n - 1) % n]), after = minus(polygon[(i + 1) % n], polygon[i]);
    const double lb = std::hypot(before.x_mm, before.y_mm), la = std::hypot(after.x_mm, after.y_mm);
    if (!(lb > 0) || !(la > 0)) continue;
    const PlanPoint nb{before.y_mm / lb, -before.x_mm / lb}, na{after.y_mm / la, -after.x_mm / la};
    constexpr double kMitreLimit = 1.0 / 8;  // 1 + cos: corners reach out four times the distance at most
    const double reach = distance / std::max(1 + dot(na, nb), kMitreLimit);
    moved.push_back({polygon[i].x_mm + reach * (na.x_mm + nb.x_mm), polygon[i].y_mm + reach * (na.y_mm + nb.y_mm)});
  }
  return moved;
}

bool contains(std::span<const PlanPoint> polygon, PlanPoint point) {
  bool inside = false;
  for (std::size_t i = 0, j = polygon.size() - 1; i < polygon.size(); j = i++) {
    const PlanPoint &a = polygon[i], &b = polygon[j];
    if ((a.y_mm > point.y_mm) == (b.y_mm > point.y_mm)) continue;
    if (point.x_mm < a.x_mm + (point.y_mm - a.y_mm) / (b.y_mm - a.y_mm) * (b.x_mm - a.x_mm)) inside = !inside;
  }
  return inside;
}

double distance_to_edge(std::span<const PlanPoint> polygon, PlanPoint point) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const PlanPoint a = polygon[i], along = minus(polygon[(i + 1) % polygon.size()], a), to = minus(point, a);
    const double length2 = dot(along, along), t = length2 > 0 ? std::clamp(dot(to, along) / length2, 0.0, 1.0) : 0;
    least = std::min(least, std::hypot(to.x_mm - t * along.x_mm, to.y_mm - t * along.y_mm));
  }
  return least;
}

Polygon convex_hull(std::vector<PlanPoint> points) {
  std::sort(points.begin(), points.end(),
            [](const PlanPoint& a, const PlanPoint& b) { return a.x_mm < b.x_mm || (a.x_mm == b.x_mm && a.y_mm < b.y_mm); });
  if (points.size() < 3) return points;
  Polygon hull;
  for (const int pass : {0, 1}) {
    const std::size_t start = hull.size();
    for (const PlanPoint& p : points) {
      while (hull.size() >= start + 2 && cross(minus(hull.back(), hull[hull.size() - 2]), minus(p, hull.back())) <= 0) hull.pop_back();
      hull.push_back(p);
    }
    hull.pop_back();
    if (pass == 0) std::reverse(points.begin(), points.end());
  }
  return hull;
}

FourPoints four_points(const AreaMoments& m) {
  const double cx = m.x / m.area, cy = m.y / m.area;
  const double vx = std::max(0.0, m.xx / m.area - cx * cx), vy = std::max(0.0, m.yy / m.area - cy * cy), vxy = m.xy / m.area - cx * cy;
  const double spread = vx + vy;
  const double angle = std::abs(vxy) > 1e-9 * spread ? 0.5 * std::atan2(2 * vxy, vx - vy) : (vx >= vy ? 0 : kPi / 2);
  const double half = std::hypot((vx - vy) / 2, vxy);
  const double s1 = std::sqrt(spread / 2 + half), s2 = std::sqrt(std::max(0.0, spread / 2 - half));
  const PlanPoint a{s1 * std::cos(angle), s1 * std::sin(angle)}, b{-s2 * std::sin(angle), s2 * std::cos(angle)};
  return {{{cx + a.x_mm + b.x_mm, cy + a.y_mm + b.y_mm},
           {cx + a.x_mm - b.x_mm, cy + a.y_mm - b.y_mm},
           {cx - a.x_mm + b.x_mm, cy - a.y_mm + b.y_mm},
           {cx - a.x_mm - b.x_mm, cy - a.y_mm - b.y_mm}},
          m.area / 4};
}

}  // namespace headjoint::clamp
