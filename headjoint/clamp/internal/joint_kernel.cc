#include "headjoint/clamp/internal/joint_kernel.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "headjoint/base/text.h"
#include "headjoint/clamp/internal/workshop_units.h"

namespace headjoint::clamp {
namespace {

constexpr double kShearFactor = 5.0 / 6;

double series(double a, double b) { return a > 0 && b > 0 ? a * b / (a + b) : 0; }

}  // namespace

ClampedJoint::Kernel::Kernel(const ClampModel& m, const ClampOptions& o) : model(m), options(o) {
  require(!has_errors(check_model(model)), "a model to be clamped has no errors");
  ask(mm(options.grid) >= 0.5 && mm(options.grid) <= 100, "grid", "0.5 mm to 100 mm");
  grid = grid_over(model.outline, mm(options.grid));
  constexpr std::size_t kMostNodes = 200'000;
  ask(grid.node_count() <= kMostNodes, "grid", "too fine for this outline: more than 200 000 nodes");
  const DeckLayout layout(model, grid);
  make_plate(layout);
  std::vector<SpreadLoad> washers;
  for (const PlanPoint& bolt : model.bolts.at) washers.push_back(layout.washer(bolt));
  solver = std::make_unique<ContactSolver>(*plate, layout.gasket_points(), std::move(washers), newton_per_mm(model.bolts.stiffness));
  for (const BoreSeal& bore : model.bores) gas_discs_.push_back(layout.disc(bore.centre, mm(model.gas_bore) / 2));
  make_probes();

  const GasketPoints& points = solver->points();
  cell_area_mm2_.assign(grid.cell_count(), 0.0);
  std::vector<PlanPoint> carrying;
  double stiffness_area = 0;
  for (std::size_t p = 0; p < points.size(); ++p) {
    cell_area_mm2_[points.cell[p]] += points.area[p];
    stiffness_area += points.area[p] * points.curve(p).typical_stiffness();
    const Rectangle r = grid.rectangle(points.cell[p]);
    const auto& w = points.weights[p];
    carrying.push_back({r.x0 + (w[1] + w[2]) * grid.dx, r.y0 + (w[2] + w[3]) * grid.dy});
  }
  support_ = convex_hull(std::move(carrying));
  plate_validity_ = stiffness_area / points.total_area() * mm(model.plate.thickness) / mega_pascal(model.plate.youngs_modulus);
  greatest_pressure_.assign(grid.cell_count(), 0.0);
  gap_.assign(grid.node_count(), 0.0);
  u_clamped.assign(grid.unknown_count(), 0.0);
  u_loaded = u_clamped;
  summary_.unknowns = static_cast<int>(grid.unknown_count());
  summary_.contact_area_mm2 = points.total_area();
  for (const SealRegion& region : points.regions) summary_.exact_area_mm2 += region.exact_area;
}

/// Bending and shear of every cell; with a block plate the two plates' compliances add, cell by cell.
void ClampedJoint::Kernel::make_plate(const DeckLayout& layout) {
  const auto stiffness = [](const PlateMetal& metal, const DeckLayout::CellMetal& cell) {
    const double e = mega_pascal(metal.youngs_modulus), nu = metal.poisson_ratio;
    return std::pair{e * cell.cubed / (12 * (1 - nu * nu)), kShearFactor * e / (2 * (1 + nu)) * cell.plain};
  };
  const auto head = layout.metal(mm(model.plate.thickness), true);
  std::vector<double> bending(grid.cell_count()), shear(grid.cell_count());
  cell_thickness_mm_.assign(grid.cell_count(), 0.0);
  for (std::size_t c = 0; c < head.size(); ++c) {
    std::tie(bending[c], shear[c]) = stiffness(model.plate, head[c]);
    if (head[c].share > 0) cell_thickness_mm_[c] = head[c].plain / head[c].share;
  }
  if (model.block == BlockModel::kPlate) {
    const auto block = layout.metal(mm(model.block_plate.thickness), false);
    for (std::size_t c = 0; c < block.size(); ++c) {
      const auto [block_bending, block_shear] = stiffness(model.block_plate, block[c]);
      bending[c] = series(bending[c], block_bending);
      shear[c] = series(shear[c], block_shear);
    }
  }
  plate = std::make_unique<Plate>(grid, model.plate.poisson_ratio, std::move(bending), std::move(shear));
}

PressureProbe ClampedJoint::Kernel::probe(const PressureCurve& curve, std::vector<PlanPoint> at) const {
  PressureProbe p{&curve, std::move(at), {}, {}, {}};
  for (const PlanPoint& place : p.at) {
    p.cell.push_back(grid.cell_at(place));
    p.weights.push_back(grid.weights(p.cell.back(), place));
  }
  p.greatest.assign(p.at.size(), 0.0);
  return p;
}

void ClampedJoint::Kernel::make_probes() {
  const auto around = [](const PlanPoint& centre, double radius, std::size_t i, std::size_t count) {
    const double angle = 2 * kPi * static_cast<double>(i) / static_cast<double>(count);
    return PlanPoint{centre.x_mm + radius * std::cos(angle), centre.y_mm + radius * std::sin(angle)};
  };
  if (model.ring)
    for (const BoreSeal& bore : model.bores) {
      const double inner = mm(model.ring->inner_radius), outer = mm(model.ring->outer_radius);
      const double middle = (inner + outer) / 2, gauss = std::sqrt(0.6) * (outer - inner) / 2;
      std::vector<PlanPoint> at;
      for (std::size_t i = 0; i < kAngles; ++i)
        for (const double radius : {middle - gauss, middle, middle + gauss}) at.push_back(around(bore.centre, radius, i, kAngles));
      ring_probes_.push_back(probe(model.ring->curve, std::move(at)));
    }
  const PressureCurve* sealing = model.bead ? &model.bead->curve : model.body ? &*model.body : nullptr;
  if (sealing == nullptr) return;
  for (const PassageHole& hole : model.passages) {
    const double width = model.bead ? mm(model.bead->width) : 0;
    std::vector<PlanPoint> at;
    if (hole.outline.empty()) {
      for (std::size_t i = 0; i < kAroundPassage; ++i)
        at.push_back(around(hole.centre, mm(hole.diameter) / 2 + width / 2, i, kAroundPassage));
    } else {
      const Polygon line = widened(counter_clockwise(hole.outline), width / 2);
      const std::size_t each = std::max<std::size_t>(1, kAroundPassage / line.size());
      for (std::size_t i = 0; i < line.size(); ++i)
        for (std::size_t k = 0; k < each; ++k) {
          const PlanPoint &a = line[i], &b = line[(i + 1) % line.size()];
          const double t = static_cast<double>(k) / static_cast<double>(each);
          at.push_back({a.x_mm + t * (b.x_mm - a.x_mm), a.y_mm + t * (b.y_mm - a.y_mm)});
        }
    }
    passage_probes_.push_back(probe(*sealing, std::move(at)));
  }
}

std::vector<double> ClampedJoint::Kernel::gap_of(const FaceShape& face) const {
  std::vector<double> gap(grid.node_count());
  for (int ix = 0; ix <= grid.columns; ++ix)
    for (int iy = 0; iy <= grid.rows; ++iy) gap[grid.node(ix, iy)] = face.height_mm(grid.x0 + ix * grid.dx, grid.y0 + iy * grid.dy);
  return gap;
}

void ClampedJoint::Kernel::begin(const std::optional<FaceShape>& head_face, const std::optional<FaceShape>& block_face) {
  std::fill(gap_.begin(), gap_.end(), 0.0);
  for (const auto* face : {&head_face, &block_face}) {
    if (!*face) continue;
    const std::vector<double> heights = gap_of(**face);
    for (std::size_t i = 0; i < gap_.size(); ++i) gap_[i] += heights[i];
  }
  solver->forget();
  std::fill(greatest_pressure_.begin(), greatest_pressure_.end(), 0.0);
  for (auto* probes : {&ring_probes_, &passage_probes_})
    for (PressureProbe& p : *probes) std::fill(p.greatest.begin(), p.greatest.end(), 0.0);
  summary_.status = ClampStatus::kNotRun;
  summary_.message.clear();
  summary_.steps = summary_.factorisations = 0;
}

OuterLoad ClampedJoint::Kernel::outer_load(const std::map<int, GaugePressure>& gas, const std::optional<HeatLoad>& heat) const {
  OuterLoad load;
  load.nodal.assign(grid.unknown_count(), 0.0);
  for (const auto& [number, pressure] : gas) {
    const auto bore = std::find_if(model.bores.begin(), model.bores.end(), [n = number](const BoreSeal& b) { return b.number == n; });
    ask(bore != model.bores.end(), "gas", fmt::format("there is no bore {} under this head", number).c_str());
    ask(pressure.pascal() >= 0 && pressure.bar() <= 1000, "gas", "0 bar to 1000 bar");
    const SpreadLoad& disc = gas_discs_[static_cast<std::size_t>(bore - model.bores.begin())];
    disc.add(-mega_pascal(pressure), load.nodal);
    double area = 0;
    for (const auto& [node, share] : disc.shares) area += share;
    const double force = mega_pascal(pressure) * area;
    load.gas_N += force;
    load.gas_x += force * bore->centre.x_mm;
    load.gas_y += force * bore->centre.y_mm;
  }
  if (heat && heat->face_over_top.si() != 0) {
    std::vector<double> curvature(grid.cell_count(), 0.0);
    for (std::size_t c = 0; c < curvature.size(); ++c)
      if (cell_thickness_mm_[c] > 0) curvature[c] = model.plate.expansion.si() * heat->face_over_top.si() / cell_thickness_mm_[c];
    plate->add_heat_load(curvature, load.nodal);
  }
  return load;
}

double ClampedJoint::Kernel::heat_stretch_mm(const HeatLoad& heat) const {
  return mm(model.bolts.grip) * (model.plate.expansion.si() * heat.head_rise.si() - model.bolts.expansion.si() * heat.bolt_rise.si());
}

/// Constant forces alone hold the head only if their resultant pushes down inside the hull of what carries. Fills status and message if
/// not.
bool ClampedJoint::Kernel::rests(const OuterLoad& load, std::span<const BoltAction1> bolts) {
  double force = -load.gas_N, x = -load.gas_x, y = -load.gas_y;
  for (std::size_t b = 0; b < bolts.size(); ++b) {
    if (bolts[b].kind == BoltAction1::Kind::kSpring) return true;
    const double pull = bolts[b].kind == BoltAction1::Kind::kForce ? bolts[b].force_N : 0;
    force += pull, x += pull * model.bolts.at[b].x_mm, y += pull * model.bolts.at[b].y_mm;
  }
  if (force == 0 && load.gas_N == 0) return true;  // nothing acts
  if (!(force > 0)) {
    summary_.status = ClampStatus::kFloats;
    summary_.message = fmt::format("The gas pushes with {} kN, the bolts hold {} kN: the head floats.", number_text(load.gas_N * 1e-3, 4),
                                   number_text((force + load.gas_N) * 1e-3, 4));
    return false;
  }
  const PlanPoint at{x / force, y / force};
  if (contains(support_, at)) return true;
  summary_.status = ClampStatus::kTips;
  summary_.message = fmt::format("Bolts and gas together act at x {} mm, y {} mm, outside what carries: the head tips over that edge.",
                                 number_text(at.x_mm, 4), number_text(at.y_mm, 4));
  return false;
}

void ClampedJoint::Kernel::settle(std::vector<double>& u, const OuterLoad& load, std::span<const BoltAction1> bolts) {
  if (!rests(load, bolts)) return;
  double scale = load.gas_N;
  for (const BoltAction1& bolt : bolts) scale += bolt.kind == BoltAction1::Kind::kNone ? 0 : std::max(bolt.force_N, 0.0);
  const ContactReport report = solver->solve(u, load.nodal, bolts, gap_, std::max(scale, 1.0), options.tolerance, options.step_limit);
  summary_.steps += report.steps;
  summary_.factorisations += report.factorisations;
  summary_.residual = report.residual_N / std::max(scale, 1.0);
  switch (report.end) {
    case ContactReport::End::kConverged:
      summary_.status = ClampStatus::kConverged;
      break;
    case ContactReport::End::kRunsAway:
      summary_.status = ClampStatus::kTips;
      summary_.message = "No place of rest was found: the head rocks off what carries it.";
      break;
    default:
      summary_.status = ClampStatus::kStepLimit;
      summary_.message = fmt::format("Not in balance after {} steps: these figures are not to be used.", report.steps);
  }
}

void ClampedJoint::Kernel::remember(std::span<const double> u) {
  solver->remember(u, gap_);
  const std::vector<double> now = cell_pressures(u);
  for (std::size_t c = 0; c < now.size(); ++c) greatest_pressure_[c] = std::max(greatest_pressure_[c], now[c]);
  for (auto* probes : {&ring_probes_, &passage_probes_})
    for (PressureProbe& p : *probes)
      if (p.curve->remembers())
        for (std::size_t i = 0; i < p.at.size(); ++i) p.greatest[i] = std::max(p.greatest[i], closure_at(p, i, u));
}

}  // namespace headjoint::clamp
