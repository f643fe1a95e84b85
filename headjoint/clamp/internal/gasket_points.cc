#include "headjoint/clamp/internal/gasket_points.h"

#include <algorithm>
#include <cmath>

#include "headjoint/clamp/internal/workshop_units.h"

namespace headjoint::clamp {
namespace {

Rectangle box_of(std::span<const PlanPoint> polygon) {
  Rectangle box{polygon[0].x_mm, polygon[0].y_mm, polygon[0].x_mm, polygon[0].y_mm};
  for (const PlanPoint& p : polygon) {
    box.x0 = std::min(box.x0, p.x_mm), box.x1 = std::max(box.x1, p.x_mm);
    box.y0 = std::min(box.y0, p.y_mm), box.y1 = std::max(box.y1, p.y_mm);
  }
  return box;
}

double disc_area(double radius) { return kPi * radius * radius; }

}  // namespace

double SpreadLoad::mean(std::span<const double> u) const {
  double sum = 0;
  for (const auto& [node, share] : shares) sum += share * u[3 * node];
  return sum;
}
void SpreadLoad::add(double force, std::span<double> load) const {
  for (const auto& [node, share] : shares) load[3 * node] += force * share;
}

double GasketPoints::total_area() const {
  double sum = 0;
  for (const double a : area) sum += a;
  return sum;
}

DeckLayout::DeckLayout(const ClampModel& model, const PlanGrid& grid)
    : model_(model), grid_(grid), outline_(counter_clockwise(model.outline)), cut_cells_(grid.cell_count()), cells_(grid.cell_count()) {
  for (std::size_t cell = 0; cell < grid_.cell_count(); ++cell) {
    const Rectangle r = grid_.rectangle(cell);
    Polygon inside = clipped(outline_, r);
    cells_[cell] = polygon_moments(inside);
    const double full = grid_.dx * grid_.dy;
    constexpr double kSliver = 1e-9;
    if (cells_[cell].area < kSliver * full)
      cells_[cell] = {};
    else if (cells_[cell].area > (1 - kSliver) * full)
      cells_[cell] = rectangle_moments(r);
    else
      cut_cells_[cell] = std::move(inside);
  }
}

template <class Visit>
void DeckLayout::over_box(const Rectangle& box, Visit visit) const {
  const auto bound = [](double value, int most) { return std::clamp(static_cast<int>(std::floor(value)), 0, most - 1); };
  const int ix0 = bound((box.x0 - grid_.x0) / grid_.dx, grid_.columns), ix1 = bound((box.x1 - grid_.x0) / grid_.dx, grid_.columns);
  const int iy0 = bound((box.y0 - grid_.y0) / grid_.dy, grid_.rows), iy1 = bound((box.y1 - grid_.y0) / grid_.dy, grid_.rows);
  for (int ix = ix0; ix <= ix1; ++ix)
    for (int iy = iy0; iy <= iy1; ++iy)
      if (const std::size_t cell = grid_.cell(ix, iy); cells_[cell].area > 0) visit(cell);
}

template <class Visit>
void DeckLayout::over_disc(const PlanPoint& centre, double radius, Visit visit) const {
  const Rectangle box{centre.x_mm - radius, centre.y_mm - radius, centre.x_mm + radius, centre.y_mm + radius};
  over_box(box, [&](std::size_t cell) {
    const AreaMoments common = cut_cells_[cell].empty() ? disc_in_rectangle_moments(centre, radius, grid_.rectangle(cell))
                                                        : disc_in_polygon_moments(centre, radius, cut_cells_[cell]);
    if (common.area > 0) visit(cell, common);
  });
}

template <class Visit>
void DeckLayout::over_polygon(const Polygon& polygon, Visit visit) const {
  over_box(box_of(polygon), [&](std::size_t cell) {
    const AreaMoments common = polygon_moments(clipped(polygon, grid_.rectangle(cell)));
    if (common.area > 0) visit(cell, common);
  });
}

GasketPoints DeckLayout::gasket_points() const {
  GasketPoints points;
  std::vector<AreaMoments> body = cells_;
  std::vector<Piece> pieces;
  double body_area = polygon_moments(outline_).area;
  const auto away = [&](std::size_t cell, const AreaMoments& m) { body[cell] = body[cell] - m; };
  const auto open_region = [&](SealKind kind, int owner, const PressureCurve& curve, double exact) {
    points.regions.push_back({kind, owner, &curve, exact});
    return static_cast<std::uint16_t>(points.regions.size() - 1);
  };
  // A band between an inner and an outer shape: outer pieces less inner ones, cell by cell.
  std::vector<AreaMoments> band(grid_.cell_count());
  const auto collect = [&](std::uint16_t region, auto&& over_outer, auto&& over_inner) {
    std::vector<std::size_t> touched;
    over_outer([&](std::size_t cell, const AreaMoments& m) {
      band[cell] = m;
      touched.push_back(cell);
      away(cell, m);
    });
    over_inner([&](std::size_t cell, const AreaMoments& m) { band[cell] = band[cell] - m; });
    for (const std::size_t cell : touched) {
      pieces.push_back({static_cast<std::uint32_t>(cell), region, band[cell]});
      band[cell] = {};
    }
  };
  for (std::size_t i = 0; i < model_.bores.size(); ++i) {
    const PlanPoint centre = model_.bores[i].centre;
    if (!model_.ring) {
      const double radius = mm(model_.gas_bore) / 2;
      over_disc(centre, radius, away);
      body_area -= disc_area(radius);
      continue;
    }
    const double inner = mm(model_.ring->inner_radius), outer = mm(model_.ring->outer_radius);
    body_area -= disc_area(outer);
    collect(
        open_region(SealKind::kRing, static_cast<int>(i), model_.ring->curve, disc_area(outer) - disc_area(inner)),
        [&](auto visit) { over_disc(centre, outer, visit); }, [&](auto visit) { over_disc(centre, inner, visit); });
  }
  for (std::size_t i = 0; i < model_.passages.size(); ++i) {
    const PassageHole& hole = model_.passages[i];
    const double width = model_.bead ? mm(model_.bead->width) : 0;
    const bool round = hole.outline.empty();
    const double radius = mm(hole.diameter) / 2;
    const Polygon inner = counter_clockwise(hole.outline), outer = round ? Polygon{} : widened(inner, width);
    const auto over_outer = [&](auto visit) { round ? over_disc(hole.centre, radius + width, visit) : over_polygon(outer, visit); };
    const auto over_inner = [&](auto visit) { round ? over_disc(hole.centre, radius, visit) : over_polygon(inner, visit); };
    const double outer_area = round ? disc_area(radius + width) : polygon_moments(outer).area;
    const double inner_area = round ? disc_area(radius) : polygon_moments(inner).area;
    body_area -= outer_area;
    if (model_.bead)
      collect(open_region(SealKind::kBead, static_cast<int>(i), model_.bead->curve, outer_area - inner_area), over_outer, over_inner);
    else
      over_outer(away);
  }
  if (const double radius = mm(model_.bolts.hole_diameter) / 2; radius > 0)
    for (const PlanPoint& bolt : model_.bolts.at) {
      over_disc(bolt, radius, away);
      double inside = 0;
      over_disc(bolt, radius, [&](std::size_t, const AreaMoments& m) { inside += m.area; });
      body_area -= inside;
    }
  if (model_.body) {
    const std::uint16_t region = open_region(SealKind::kBody, 0, *model_.body, body_area);
    for (std::size_t cell = 0; cell < body.size(); ++cell) pieces.push_back({static_cast<std::uint32_t>(cell), region, body[cell]});
  }
  std::stable_sort(pieces.begin(), pieces.end(), [](const Piece& a, const Piece& b) { return a.cell < b.cell; });
  const double least = 1e-9 * grid_.dx * grid_.dy;
  for (const Piece& piece : pieces) {
    if (!(piece.moments.area > least)) continue;
    const FourPoints four = four_points(piece.moments);
    for (const PlanPoint& at : four.at) {
      points.cell.push_back(piece.cell);
      points.region.push_back(piece.region);
      points.area.push_back(four.area_each);
      points.weights.push_back(grid_.weights(piece.cell, at));
    }
  }
  points.greatest.assign(points.size(), 0.0);
  return points;
}

std::vector<DeckLayout::CellMetal> DeckLayout::metal(double outside_zones_mm, bool with_zones) const {
  const double cell_area = grid_.dx * grid_.dy;
  std::vector<CellMetal> metal(grid_.cell_count());
  std::vector<double> left(grid_.cell_count());
  for (std::size_t cell = 0; cell < metal.size(); ++cell) {
    metal[cell].share = cells_[cell].area / cell_area;
    left[cell] = metal[cell].share;
  }
  const auto put = [&](std::size_t cell, double share, double t) {
    metal[cell].cubed += share * t * t * t;
    metal[cell].plain += share * t;
    left[cell] -= share;
  };
  if (with_zones)
    for (auto zone = model_.zones.rbegin(); zone != model_.zones.rend(); ++zone)
      over_polygon(counter_clockwise(zone->outline), [&](std::size_t cell, const AreaMoments& m) {
        if (const double share = std::min(m.area / cell_area, left[cell]); share > 0) put(cell, share, mm(zone->thickness));
      });
  for (std::size_t cell = 0; cell < metal.size(); ++cell)
    if (left[cell] > 0) put(cell, left[cell], outside_zones_mm);
  return metal;
}

SpreadLoad DeckLayout::disc(const PlanPoint& centre, double radius) const {
  std::vector<std::pair<std::size_t, double>> raw;
  over_disc(centre, radius, [&](std::size_t cell, const AreaMoments& m) {
    const auto nodes = grid_.nodes_of(cell);
    const auto shares = grid_.weight_integrals(cell, m);
    for (std::size_t i = 0; i < 4; ++i) raw.emplace_back(nodes[i], shares[i]);
  });
  std::sort(raw.begin(), raw.end());
  SpreadLoad load;
  for (const auto& [node, share] : raw) {
    if (load.shares.empty() || load.shares.back().first != node) load.shares.emplace_back(node, 0.0);
    load.shares.back().second += share;
  }
  return load;
}

SpreadLoad DeckLayout::washer(const PlanPoint& bolt) const {
  SpreadLoad load = disc(bolt, mm(model_.bolts.washer_diameter) / 2);
  if (mm(model_.bolts.hole_diameter) > 0) {
    const SpreadLoad hole = disc(bolt, mm(model_.bolts.hole_diameter) / 2);
    for (const auto& [node, share] : hole.shares)
      std::find_if(load.shares.begin(), load.shares.end(), [n = node](const auto& s) { return s.first == n; })->second -= share;
  }
  double area = 0;
  for (const auto& [node, share] : load.shares) area += share;
  for (auto& [node, share] : load.shares) share /= area;
  return load;
}

double DeckLayout::exact_area() const { return polygon_moments(outline_).area; }

}  // namespace headjoint::clamp
