#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "headjoint/base/text.h"
#include "headjoint/clamp/internal/joint_kernel.h"
#include "headjoint/clamp/internal/workshop_units.h"

/// What is read off a joint in equilibrium.
namespace headjoint::clamp {
namespace {

constexpr double kPlateTooSoftAgainstGasket = 0.1;  // area-mean stiffness x thickness / E

}  // namespace

double ClampedJoint::Kernel::closure_at(const PressureProbe& p, std::size_t i, std::span<const double> u) const {
  const auto nodes = grid.nodes_of(p.cell[i]);
  double closure = 0;
  for (std::size_t n = 0; n < 4; ++n) closure += p.weights[i][n] * (u[3 * nodes[n]] + gap_[nodes[n]]);
  return closure;
}

double ClampedJoint::Kernel::probe_pressure(const PressureProbe& p, std::size_t i, std::span<const double> u) const {
  return p.curve->at(closure_at(p, i, u), p.greatest[i]).pressure_MPa;
}

std::vector<double> ClampedJoint::Kernel::cell_pressures(std::span<const double> u) const {
  const GasketPoints& points = solver->points();
  std::vector<double> closure(points.size()), pressure(grid.cell_count(), 0.0);
  solver->closures(u, gap_, closure);
  for (std::size_t p = 0; p < points.size(); ++p)
    pressure[points.cell[p]] += points.area[p] * points.curve(p).at(closure[p], points.greatest[p]).pressure_MPa;
  for (std::size_t c = 0; c < pressure.size(); ++c)
    if (cell_area_mm2_[c] > 0) pressure[c] /= cell_area_mm2_[c];
  return pressure;
}

std::vector<RingResult> ClampedJoint::Kernel::ring_results(std::span<const double> u) const {
  std::vector<RingResult> rings;
  constexpr double kGaussWeights[kAcrossRing] = {5.0 / 18, 8.0 / 18, 5.0 / 18};
  for (std::size_t r = 0; r < ring_probes_.size(); ++r) {
    const PressureProbe& p = ring_probes_[r];
    const double inner = mm(model.ring->inner_radius), outer = mm(model.ring->outer_radius), middle = (inner + outer) / 2;
    RingResult ring;
    ring.bore = model.bores[r].number;
    ring.line_load_N_per_mm.assign(kAngles, 0.0);
    for (std::size_t i = 0; i < p.at.size(); ++i) {
      const double radius = std::hypot(p.at[i].x_mm - model.bores[r].centre.x_mm, p.at[i].y_mm - model.bores[r].centre.y_mm);
      ring.line_load_N_per_mm[i / kAcrossRing] +=
          kGaussWeights[i % kAcrossRing] * (outer - inner) * radius / middle * probe_pressure(p, i, u);
    }
    const auto& q = ring.line_load_N_per_mm;
    const auto [least, most] = std::minmax_element(q.begin(), q.end());
    double sum = 0;
    for (const double value : q) sum += value;
    const auto weakest = static_cast<std::size_t>(least - q.begin());
    ring.line_load_min = from_newton_per_mm(*least);
    ring.line_load_max = from_newton_per_mm(*most);
    ring.line_load_mean = from_newton_per_mm(sum / static_cast<double>(kAngles));
    ring.angle_of_min = Angle::from_degrees(360.0 * static_cast<double>(weakest) / static_cast<double>(kAngles));
    ring.weakest = p.at[kAcrossRing * weakest + 1];
    if (model.ring->least_line_load) ring.margin = ring.line_load_min / *model.ring->least_line_load;
    rings.push_back(std::move(ring));
  }
  return rings;
}

std::vector<PassageResult> ClampedJoint::Kernel::passage_results(std::span<const double> u) const {
  std::vector<PassageResult> passages;
  for (std::size_t k = 0; k < passage_probes_.size(); ++k) {
    const PressureProbe& p = passage_probes_[k];
    PassageResult passage{.number = model.passages[k].number, .pressure_min = {}, .pressure_mean = {}, .margin = {}, .weakest = {}};
    double least = std::numeric_limits<double>::infinity(), sum = 0;
    for (std::size_t i = 0; i < p.at.size(); ++i) {
      const double pressure = probe_pressure(p, i, u);
      sum += pressure;
      if (pressure >= least) continue;
      least = pressure;
      passage.weakest = p.at[i];
    }
    passage.pressure_min = from_mega_pascal(least);
    passage.pressure_mean = from_mega_pascal(sum / static_cast<double>(p.at.size()));
    if (model.bead && model.bead->least_pressure) passage.margin = passage.pressure_min / *model.bead->least_pressure;
    passages.push_back(passage);
  }
  return passages;
}

PressureField ClampedJoint::Kernel::field(std::span<const double> u) const {
  PressureField f{grid.columns, grid.rows, grid.x0, grid.y0, grid.dx, grid.dy, {}, {}, {}};
  const std::vector<double> now = cell_pressures(u);
  constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
  for (int iy = 0; iy < grid.rows; ++iy)
    for (int ix = 0; ix < grid.columns; ++ix) {
      const std::size_t cell = grid.cell(ix, iy);
      const bool carries = cell_area_mm2_[cell] > 0;
      f.pressure_MPa.push_back(carries ? now[cell] : kNone);
      f.greatest_MPa.push_back(carries ? std::max(now[cell], greatest_pressure_[cell]) : kNone);
      double movement = 0;
      for (const std::size_t node : grid.nodes_of(cell)) movement += u[3 * node] / 4;
      f.movement_mm.push_back(plate->bending(cell) > 0 ? movement : kNone);
    }
  return f;
}

ClampResult ClampedJoint::Kernel::result(std::span<const double> u, const OuterLoad& load, std::span<const BoltAction1> bolts) const {
  ClampResult result;
  result.summary = summary_;
  result.plate_validity = plate_validity_;
  ClampSummary& summary = result.summary;
  if (summary.status != ClampStatus::kConverged) return result;
  for (std::size_t b = 0; b < bolts.size(); ++b) {
    const double force = solver->bolt_force(b, bolts[b], u);
    summary.applied_N += force;
    BoltResult bolt{static_cast<int>(b) + 1, from_newton(force), from_mm(solver->bolt_movement(b, u)), {}};
    if (model.bolts.thread && model.bolts.yield && model.bolts.friction)
      bolt.utilisation =
          force / newton(preload_at_yield(*model.bolts.thread, *model.bolts.friction, *model.bolts.yield, 1, model.bolts.waist));
    result.bolts.push_back(bolt);
  }
  summary.applied_N -= load.gas_N;

  const GasketPoints& points = solver->points();
  std::vector<double> closure(points.size()), movement(points.size());
  solver->closures(u, gap_, closure);
  solver->closures(u, {}, movement);
  std::vector<double> ring_force(model.bores.size(), 0.0);
  double deepest = -std::numeric_limits<double>::infinity(), highest = std::numeric_limits<double>::infinity();
  for (std::size_t p = 0; p < points.size(); ++p) {
    const double pressure = points.curve(p).at(closure[p], points.greatest[p]).pressure_MPa;
    const SealRegion& region = points.regions[points.region[p]];
    summary.reaction_N += points.area[p] * pressure;
    if (pressure == 0) summary.open_area_mm2 += points.area[p];
    if (region.kind == SealKind::kRing) ring_force[static_cast<std::size_t>(region.owner)] += points.area[p] * pressure;
    deepest = std::max(deepest, movement[p]);
    highest = std::min(highest, movement[p]);
  }
  summary.open_area_fraction = summary.open_area_mm2 / summary.contact_area_mm2;
  result.deflection_max = from_mm(deepest);
  result.deflection_min = from_mm(highest);
  result.rings = ring_results(u);
  for (std::size_t r = 0; r < result.rings.size(); ++r) result.rings[r].force = from_newton(ring_force[r]);
  result.passages = passage_results(u);
  result.field = field(u);
  constexpr double kNothing = 1e-6;
  if (load.gas_N > 0 && summary.reaction_N <= kNothing * load.gas_N) {
    summary.status = ClampStatus::kFloats;
    summary.message = "Under this gas the head hangs on its bolts alone: the gasket carries nothing anywhere.";
  }
  add_warnings(result, u);
  return result;
}

void ClampedJoint::Kernel::add_warnings(ClampResult& result, std::span<const double> u) const {
  const ClampSummary& summary = result.summary;
  if (plate_validity_ > kPlateTooSoftAgainstGasket)
    result.warnings.push_back(
        fmt::format("This gasket is too stiff for a plate to stand for the head (stiffness x thickness / E is {}, should "
                    "stay below 0.1): the head's own squash counts. Read the figures as a comparison only.",
                    number_text(plate_validity_, 2)));
  constexpr double kAreaSlip = 1e-6, kForceSlip = 1e-5;
  if (std::abs(summary.contact_area_mm2 - summary.exact_area_mm2) > kAreaSlip * summary.exact_area_mm2)
    result.warnings.push_back(
        fmt::format("The gasket's area in the calculation is {} mm2, on the plan {} mm2: shapes overlap or leave the outline.",
                    number_text(summary.contact_area_mm2, 6), number_text(summary.exact_area_mm2, 6)));
  if (std::abs(summary.reaction_N - summary.applied_N) > kForceSlip * std::max(std::abs(summary.applied_N), 1.0))
    result.warnings.push_back(
        fmt::format("Reaction {} N and applied force {} N differ.", number_text(summary.reaction_N, 6), number_text(summary.applied_N, 6)));
  const GasketPoints& points = solver->points();
  std::vector<double> closure(points.size());
  solver->closures(u, gap_, closure);
  bool beyond = false;
  for (std::size_t p = 0; p < points.size() && !beyond; ++p) beyond = closure[p] > points.curve(p).last_closure_mm();
  if (beyond)
    result.warnings.emplace_back("In places the gasket closes further than its curve was given: the curve is drawn straight on there.");
}

}  // namespace headjoint::clamp
