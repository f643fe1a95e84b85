#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "headjoint/leakage/ambient.h"
#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

/// The engine turned by its starter: pressure in every cylinder against crank angle, with gas leaking out of it, into it and
/// across to its neighbours. The one forward model behind the compression test, the diagnosis, proof and practice.
///
/// Each closed cylinder is one well stirred volume of ideal gas with constant specific heats; constant speed. With p V = m R T
/// and Z = p V^g the balances of mass and energy are
///   dm/da = -sum(flow) / w,   dZ/da = -(g-1) V^(g-1) (h Aw (T - Tw) + sum(flow cp T_upstream)) / w
/// so that a tight cylinder without heat loss keeps Z exactly and gas that goes across is lost and gained by the same number.
/// While a valve is open the cylinder stands at its port's pressure: true at cranking speed.
///
/// Left out: pressure waves, valve flow losses, evaporating fuel, the specific heat's rise with temperature (a tight peak 2.5 %
/// lower), the swing of speed within a turn. Heat loss laws were fitted to running engines: take absolute peaks as good to 15 %,
/// ratios between cylinders of one engine as good to a few per cent.
namespace headjoint::leakage {

/// Heat from the gas to the walls. At 250 rpm Hohenberg's law takes 3.6 times as much as Woschni's.
/// @par Source  Woschni: as in J. B. Heywood, Internal Combustion Engine Fundamentals (1988) ch. 12; Hohenberg: SAE paper 790825
///              (both from memory)
enum class HeatLoss { kNone, kWoschni, kHohenberg };

/// What of the engine decides its cranking pressures.
struct CrankingEngine {
  Length bore;                                             ///< 20 to 500 mm
  Length stroke;                                           ///< 20 to 600 mm
  Length rod;                                              ///< between the eyes; above half the stroke
  double compression_ratio = 10;                           ///< 4 to 30, geometric
  Angle intake_closing = Angle::from_degrees(50);          ///< after bottom dead centre, 0 to 140 deg
  Angle exhaust_opening = Angle::from_degrees(50);         ///< before bottom dead centre, 0 to 140 deg
  std::vector<Angle> firing = {Angle::from_degrees(0.0)};  ///< crank angle of each cylinder's top dead centre of compression

  /// Dead centres spread evenly over two turns.
  /// @param order  cylinder numbers from 1, a permutation
  /// @returns one angle a cylinder, in the order of the numbers
  /// @throws InputError
  [[nodiscard]] static std::vector<Angle> evenly_firing(const std::vector<int>& order);

  [[nodiscard]] Volume displacement() const;  ///< of one cylinder
  [[nodiscard]] Volume dead_volume() const;   ///< above the piston at top dead centre
};

/// How the engine is turned.
struct CrankingConditions {
  Speed speed = Speed::from_rpm(250);                           ///< 20 to 2000 rpm. Default: a healthy starter, common practice
  Ambient ambient = {kStandardPressure, kStandardTemperature};  ///< also crankcase and exhaust
  std::optional<AbsolutePressure> intake = {};                  ///< in the intake; empty: as the ambient, throttle open
  std::optional<Temperature> charge = {};                       ///< at intake closing; empty: as the ambient
  std::optional<Temperature> wall = {};                         ///< empty: as the ambient
  std::optional<AbsolutePressure> coolant = {};                 ///< in the water jacket; empty: cap off, as the ambient
  HeatLoss heat_loss = HeatLoss::kWoschni;
  double heat_multiplier = 1;  ///< on the law's heat transfer; 0 to 10
  Gas gas = {};
};

/// Effective areas of one cylinder's ways out; each 0 to 1000 mm2.
struct CylinderLeaks {
  Area rings = {};           ///< to the crankcase
  Area intake_valve = {};    ///< to the intake
  Area exhaust_valve = {};   ///< to the exhaust
  Area coolant = {};         ///< into the water jacket; gas only goes out: what comes back is liquid and of no volume
  Area outside = {};         ///< over the joint's edge
  Volume liquid = {};        ///< oil, fuel or coolant on the piston; less than the dead volume
  bool is_plug_out = false;  ///< the cylinder stands open to the air
};

/// A breach of the bridge between two cylinders (indexes from 0).
struct BridgeLeak {
  std::size_t first = 0;
  std::size_t second = 0;
  Area area;
};

/// A compression gauge screwed into one plug hole: hose, check valve, and the room beyond the valve that keeps the pressure.
struct FittedGauge {
  std::size_t cylinder = 0;
  Volume hose = {};                             ///< before the check valve: adds to the dead volume. 0 to 200 cm3
  Volume beyond_valve = Volume::from_si(5e-6);  ///< 0.1 to 200 cm3; stays at ambient temperature
  Area valve = Area::from_si(2e-6);             ///< effective, 0.01 to 100 mm2
  int strokes = 6;                              ///< compression strokes cranked, 1 to 50
};

struct CyclePrecision {
  /// Error of one step over the value at intake closing; 1e-12 to 1e-2. The peak is good to 1e-4 at 1e-6, 1e-5 at 1e-8, 1e-6 at
  /// 1e-10: where a flow chokes or turns round its rate has a kink, and steps across it are worse than they look.
  double tolerance = 1e-6;
  std::optional<Angle> trace_step = {};  ///< 0.1 to 30 deg; empty: no trace
};

/// What one cylinder did in its last cycle.
struct CylinderRun {
  AbsolutePressure peak;                ///< highest pressure while closed; of a cylinder with its plug out: the ambient
  Angle peak_angle;                     ///< after top dead centre of compression; negative: before
  double mass_left = 1;                 ///< share of the gas at intake closing that is there at the peak
  std::vector<AbsolutePressure> trace;  ///< from -360 deg to +360 deg after its top dead centre in steps of trace_step
};

struct CrankingRun {
  enum class Status {
    kNotRun,
    kDone,
    kStepLimit,  ///< the march was given up: the numbers mean nothing
  };
  Status status = Status::kNotRun;
  std::vector<CylinderRun> cylinders;
  std::vector<GaugePressure> gauge_readings;  ///< after each stroke; empty without a gauge
  int steps = 0;                              ///< of the march, refused ones included
};

/// Cranks the engine until every cylinder has gone through its cycle as the cycles before have left it.
///
/// Dormand-Prince 5(4) with step control from valve event to valve event; cylinders that no breach joins run alone. One cycle
/// of run-in where cylinders are joined.
///
/// @param leaks    one per cylinder of engine.firing, at most 16
/// @param bridges  between different cylinders
/// @throws InputError naming the argument: impossible geometry, intake closing that leaves no compression, liquid that fills the
///         chamber; ContractError for an index out of range or a wrong number of leaks
/// @par Source  J. R. Dormand, P. J. Prince, J. Comp. Appl. Math. 6 (1980) 19-26
/// @par Checked published.cylinder_cycle
[[nodiscard]] CrankingRun simulate_cranking(const CrankingEngine& engine, const CrankingConditions& conditions,
                                            const std::vector<CylinderLeaks>& leaks, const std::vector<BridgeLeak>& bridges = {},
                                            const std::optional<FittedGauge>& gauge = {}, const CyclePrecision& precision = {});

/// One cylinder on its own, as far as its peak. The same march, and the way to ask for many areas.
/// @returns empty when the march was given up
[[nodiscard]] std::optional<CylinderRun> simulate_cylinder(const CrankingEngine& engine, const CrankingConditions& conditions,
                                                           const CylinderLeaks& leaks, const CyclePrecision& precision = {});

/// Peak of a tight cylinder without heat loss: p (V_closing / V_dead)^g. Closed form.
[[nodiscard]] AbsolutePressure tight_adiabatic_peak(const CrankingEngine& engine, const CrankingConditions& conditions);

/// Compression ratio counted from intake closing.
[[nodiscard]] double effective_compression_ratio(const CrankingEngine& engine);

/// Pressure in the intake when air comes in through `open_area` alone: what a shut throttle leaves. The cylinders together draw
/// their displacement every two turns; steady flow, isothermal.
/// @param open_area  effective, > 0. A shut throttle passes about the air of idling: 10 mm2, an assumption
/// @throws InputError naming the argument
[[nodiscard]] AbsolutePressure intake_behind_throttle(const CrankingEngine& engine, const CrankingConditions& conditions,
                                                      Area open_area = Area::from_si(10e-6));

}  // namespace headjoint::leakage
