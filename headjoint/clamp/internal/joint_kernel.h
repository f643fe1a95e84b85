#pragma once

#include <memory>
#include <vector>

#include "headjoint/clamp/clamp.h"
#include "headjoint/clamp/internal/contact_solver.h"

namespace headjoint::clamp {

/// Places where pressure is read off, with the gasket's memory there.
struct PressureProbe {
  const PressureCurve* curve = nullptr;
  std::vector<PlanPoint> at;
  std::vector<std::size_t> cell;
  std::vector<std::array<double, 4>> weights;
  std::vector<double> greatest;
};

/// What outer loads come to.
struct OuterLoad {
  std::vector<double> nodal;  ///< gas and heat; bolts apart
  double gas_N = 0;
  double gas_x = 0, gas_y = 0;  ///< moments N mm about the plan's origin
};

/// The joint on its grid: everything that solve(), tighten() and sample_sealing() share.
class ClampedJoint::Kernel {
 public:
  Kernel(const ClampModel& model, const ClampOptions& options);
  Kernel(const Kernel&) = delete;
  Kernel& operator=(const Kernel&) = delete;

  static constexpr std::size_t kAngles = 120;    ///< places round a ring
  static constexpr std::size_t kAcrossRing = 3;  ///< Gauss points over its width
  static constexpr std::size_t kAroundPassage = 32;

  /// A fresh gasket between measured faces; nothing tightened.
  void begin(const std::optional<FaceShape>& head_face, const std::optional<FaceShape>& block_face);
  /// Height of both faces over every node, mm.
  [[nodiscard]] std::vector<double> gap_of(const FaceShape& face) const;
  void set_gap(std::vector<double> gap) { gap_ = std::move(gap); }

  [[nodiscard]] OuterLoad outer_load(const std::map<int, GaugePressure>& gas, const std::optional<HeatLoad>& heat) const;
  /// Growth of the bolts' springs by heat, mm: positive tightens.
  [[nodiscard]] double heat_stretch_mm(const HeatLoad& heat) const;

  /// Equilibrium; `u` is where the search starts. Does not remember.
  void settle(std::vector<double>& u, const OuterLoad& load, std::span<const BoltAction1> bolts);
  /// Keeps the gasket's greatest closures and the greatest pressures of the field.
  void remember(std::span<const double> u);

  [[nodiscard]] ClampResult result(std::span<const double> u, const OuterLoad& load, std::span<const BoltAction1> bolts) const;
  [[nodiscard]] std::vector<RingResult> ring_results(std::span<const double> u) const;
  [[nodiscard]] const ClampSummary& summary() const { return summary_; }

  ClampModel model;
  ClampOptions options;
  PlanGrid grid;
  std::vector<double> u_clamped;  ///< start of the next search: tightened
  std::vector<double> u_loaded;   ///< and under gas and heat
  std::unique_ptr<Plate> plate;
  std::unique_ptr<ContactSolver> solver;

 private:
  void make_plate(const DeckLayout& layout);
  void make_probes();
  [[nodiscard]] PressureProbe probe(const PressureCurve& curve, std::vector<PlanPoint> at) const;
  [[nodiscard]] double probe_pressure(const PressureProbe& p, std::size_t i, std::span<const double> u) const;
  [[nodiscard]] double closure_at(const PressureProbe& p, std::size_t i, std::span<const double> u) const;
  [[nodiscard]] bool rests(const OuterLoad& load, std::span<const BoltAction1> bolts);
  [[nodiscard]] std::vector<double> cell_pressures(std::span<const double> u) const;
  [[nodiscard]] std::vector<PassageResult> passage_results(std::span<const double> u) const;
  [[nodiscard]] PressureField field(std::span<const double> u) const;
  void add_warnings(ClampResult& result, std::span<const double> u) const;

  std::vector<double> cell_thickness_mm_;  ///< mean bending thickness of the head
  std::vector<double> cell_area_mm2_;      ///< gasketed
  std::vector<SpreadLoad> gas_discs_;
  std::vector<PressureProbe> ring_probes_;
  std::vector<PressureProbe> passage_probes_;
  Polygon support_;  ///< hull of what can carry
  std::vector<double> gap_;
  std::vector<double> greatest_pressure_;  ///< per cell
  ClampSummary summary_;
  double plate_validity_ = 0;
};

}  // namespace headjoint::clamp
