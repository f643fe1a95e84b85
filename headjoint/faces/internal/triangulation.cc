#include "headjoint/faces/internal/triangulation.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace headjoint::faces::internal {
namespace {

constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();
constexpr double kInCircle = 1e-12;  // of places scaled to 1: four points of a grid cell count as on one circle
constexpr double kSliver = 1e-14;    // area of places scaled to 1

double turn(const Vector2& a, const Vector2& b, const Vector2& c) { return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]); }

/// Positive when d lies inside the circle through the counter-clockwise triangle a, b, c.
double in_circle(const Vector2& a, const Vector2& b, const Vector2& c, const Vector2& d) {
  const double ax = a[0] - d[0], ay = a[1] - d[1];
  const double bx = b[0] - d[0], by = b[1] - d[1];
  const double cx = c[0] - d[0], cy = c[1] - d[1];
  const double a2 = ax * ax + ay * ay, b2 = bx * bx + by * by, c2 = cx * cx + cy * cy;
  return ax * (by * c2 - b2 * cy) - ay * (bx * c2 - b2 * cx) + a2 * (bx * cy - by * cx);
}

/// Triangles as sides: side 3 t + k runs from corner k of triangle t to the next.
class Mesh {
 public:
  explicit Mesh(std::vector<Vector2> places)
      : places_(std::move(places)), next_(places_.size()), previous_(places_.size()), outer_(places_.size()) {}

  void sweep(const std::vector<std::size_t>& order) {
    std::size_t third = 2;
    while (third < order.size() && turn(place(order[0]), place(order[1]), place(order[third])) == 0) ++third;
    if (third >= order.size()) return;
    start(order, third);
    for (std::size_t i = third + 1; i < order.size(); ++i) add(order[i], order[i - 1]);
    turn_sides();
  }

  [[nodiscard]] std::vector<std::array<std::size_t, 3>> triangles() const {
    std::vector<std::array<std::size_t, 3>> found;
    for (std::size_t t = 0; t < corner_.size(); t += 3)
      if (turn(place(corner_[t]), place(corner_[t + 1]), place(corner_[t + 2])) > kSliver)
        found.push_back({corner_[t], corner_[t + 1], corner_[t + 2]});
    return found;
  }

 private:
  [[nodiscard]] const Vector2& place(std::size_t i) const { return places_[i]; }

  std::size_t add_triangle(std::size_t a, std::size_t b, std::size_t c) {
    const std::size_t side = corner_.size();
    corner_.insert(corner_.end(), {a, b, c});
    twin_.insert(twin_.end(), 3, kNone);
    return side;
  }

  void link(std::size_t a, std::size_t b) {
    twin_[a] = b;
    if (b != kNone) twin_[b] = a;
  }

  /// The first points lie on one line; `third` does not: a fan from it.
  void start(const std::vector<std::size_t>& order, std::size_t third) {
    const std::size_t apex = order[third];
    const bool is_left = turn(place(order[0]), place(order[1]), place(apex)) > 0;
    std::vector<std::size_t> line(order.begin(), order.begin() + static_cast<std::ptrdiff_t>(third));
    if (!is_left) std::reverse(line.begin(), line.end());
    std::size_t before = kNone;
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
      const std::size_t side = add_triangle(line[i], line[i + 1], apex);  // sides: line, to the apex, back
      outer_[line[i]] = side;
      if (before != kNone) link(before, side + 2);
      if (i == 0) outer_[apex] = side + 2;
      before = side + 1;
      join(line[i], line[i + 1]);
    }
    outer_[line.back()] = before;
    join(line.back(), apex);
    join(apex, line.front());
  }

  void join(std::size_t a, std::size_t b) {
    next_[a] = b;
    previous_[b] = a;
  }

  /// Joins a point right of all others to the sides of the hull that it sees, from the last point both ways.
  void add(std::size_t p, std::size_t last) {
    std::size_t first_side = kNone;  // from the hull to p
    std::size_t last_side = kNone;   // from p back to the hull
    std::size_t from = last;
    std::size_t to = last;
    const auto see = [&](std::size_t a, std::size_t b) { return turn(place(a), place(b), place(p)) < 0; };
    while (see(to, next_[to])) {
      const std::size_t b = next_[to];
      const std::size_t side = add_triangle(to, p, b);
      link(side + 2, outer_[to]);
      if (last_side != kNone) link(last_side, side);
      if (first_side == kNone) first_side = side;
      last_side = side + 1;
      to = b;
    }
    while (see(previous_[from], from)) {
      const std::size_t a = previous_[from];
      const std::size_t side = add_triangle(a, p, from);
      link(side + 2, outer_[a]);
      if (first_side != kNone) link(first_side, side + 1);
      first_side = side;
      if (last_side == kNone) last_side = side + 1;
      from = a;
    }
    if (first_side == kNone) return;  // within rounding on the hull: left out
    join(from, p);
    join(p, to);
    outer_[from] = first_side;
    outer_[p] = last_side;
  }

  void turn_sides() {
    std::vector<std::size_t> left(corner_.size());
    std::iota(left.begin(), left.end(), 0U);
    std::size_t turns = 200 * corner_.size() + 1000;  // far more than a sweep can need
    while (!left.empty() && turns-- > 0) {
      const std::size_t side = left.back();
      left.pop_back();
      if (twin_[side] != kNone && should_turn(side)) turn_side(side, left);
    }
  }

  static std::size_t next_of(std::size_t side) { return side % 3 == 2 ? side - 2 : side + 1; }
  static std::size_t before_of(std::size_t side) { return side % 3 == 0 ? side + 2 : side - 1; }

  [[nodiscard]] bool should_turn(std::size_t side) const {
    const std::size_t beyond = corner_[before_of(twin_[side])];
    return in_circle(place(corner_[side]), place(corner_[next_of(side)]), place(corner_[before_of(side)]), place(beyond)) > kInCircle;
  }

  /// Side a-b between apexes c and d becomes c-d.
  void turn_side(std::size_t side, std::vector<std::size_t>& left) {
    const std::size_t other = twin_[side];
    const std::size_t bc = next_of(side), ca = before_of(side);
    const std::size_t ad = next_of(other), db = before_of(other);
    const std::size_t c = corner_[ca];
    const std::size_t d = corner_[db];
    const std::size_t beyond_ca = twin_[ca];
    const std::size_t beyond_db = twin_[db];
    // triangle of side: a, b, c -> d, b, c; triangle of other: b, a, d -> c, a, d
    corner_[side] = d;
    corner_[other] = c;
    link(side, beyond_db);   // d-b
    link(other, beyond_ca);  // c-a
    link(ca, db);            // c-d
    for (const std::size_t s : {side, bc, other, ad}) left.push_back(s);
  }

  std::vector<Vector2> places_;
  std::vector<std::size_t> corner_;
  std::vector<std::size_t> twin_;
  std::vector<std::size_t> next_;  ///< on the hull, counter-clockwise
  std::vector<std::size_t> previous_;
  std::vector<std::size_t> outer_;  ///< side from a hull point to the next
};

}  // namespace

std::vector<std::array<std::size_t, 3>> delaunay(const std::vector<Vector2>& places) {
  if (places.size() < 3) return {};
  Vector2 low = places[0];
  Vector2 high = places[0];
  for (const Vector2& p : places)
    for (const std::size_t k : {0U, 1U}) {
      low[k] = std::min(low[k], p[k]);
      high[k] = std::max(high[k], p[k]);
    }
  const double length = std::max(high[0] - low[0], high[1] - low[1]);
  if (!(length > 0)) return {};
  std::vector<Vector2> scaled;
  for (const Vector2& p : places) scaled.push_back({(p[0] - low[0]) / length, (p[1] - low[1]) / length});
  std::vector<std::size_t> order(places.size());
  std::iota(order.begin(), order.end(), 0U);
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return scaled[a] < scaled[b]; });
  Mesh mesh(std::move(scaled));
  mesh.sweep(order);
  return mesh.triangles();
}

}  // namespace headjoint::faces::internal
