#pragma once

#include <vector>

#include "headjoint/traces/signal.h"
#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

/// An engine turned by its starter: what current, voltage and speed do when each cylinder leaks as given.
///
/// Starter: E - R I = K w, torque K eta I through a one-way clutch (I >= 0). Crank: J dw/dt = starter + gas - friction - drag w. Every
/// cylinder is closed from inlet closing to exhaust opening and holds an ideal gas that leaks through its own area to the ambient and
/// through bridges to its neighbours, and loses heat to the walls after Woschni; with a valve open it has ambient pressure. Even firing.
/// Not in the model: valve flow losses, oil film, uneven battery, ring gear.
/// @par Source  Heywood, Internal Combustion Engine Fundamentals (1988) ch. 12 for Woschni (from memory); the rest is mechanics
namespace headjoint::traces {

/// Geometry that all cylinders share.
struct CylinderShape {
  Length bore = Length::from_si(0.080);
  Length stroke = Length::from_si(0.080);
  Length rod = Length::from_si(0.140);
  double compression_ratio = 10;
  Angle intake_closes = Angle::from_degrees(50);  ///< after bottom dead centre
  Angle exhaust_opens = Angle::from_degrees(50);  ///< before bottom dead centre
};

/// Battery, starter and crank. Figures of a usual 1.6 litre petrol engine; no source: assumed.
struct Starter {
  double battery_V = 12.4;
  double battery_ohm = 0.006;
  double circuit_ohm = 0.014;  ///< battery, leads and starter together
  double back_emf_Vs = 0.36;   ///< volts per rad/s of the crank; also Nm per ampere
  double efficiency = 0.9;
  double inertia_kgm2 = 0.4;
  double friction_Nm = 25;
  double drag_Nms = 0.2;
};

/// An opening between two cylinders.
struct Bridge {
  std::size_t first = 0;  ///< index of a cylinder, from 0
  std::size_t second = 0;
  Area area;
};

struct CrankedEngine {
  CylinderShape shape;
  Starter starter;
  std::vector<int> firing_order = {1, 3, 4, 2};  ///< 1 to 16 cylinders, each once
  std::vector<Area> leaks;                       ///< effective, by cylinder; empty = `usual_leak` each
  std::vector<Bridge> bridges;
  AbsolutePressure ambient;
  Temperature air;  ///< charge and walls

  /// What a sound cylinder loses, as an effective area: assumed.
  static constexpr Area usual_leak = Area::from_si(0.5e-6);
};

/// What three instruments would have recorded, sample by sample.
struct CrankingTrace {
  Signal current_A;
  Signal voltage_V;
  Signal speed_rpm;
  std::vector<double> first_cylinder_s;  ///< times of the firing dead centre of cylinder 1
};

/// How long and how finely a trace is made.
struct TraceLength {
  double rest_s = 0.5;  ///< before the starter is switched on
  double cranking_s = 5;
  double rest_after_s = 0.3;
  double rate_Hz = 2000;
  double battery_sag_V_per_s = 0;  ///< how fast the battery gives in
  double start_deg = 0;            ///< crank angle before the firing dead centre of cylinder 1 at which the engine stood
};

/// Turns the engine from rest.
/// @throws InputError when the engine cannot be: firing order not a permutation of 1 to 16, leaks or bridges that do not fit it, geometry
/// out of range
[[nodiscard]] CrankingTrace crank_engine(const CrankedEngine& engine, const TraceLength& length);

/// One cycle of steady cranking, from the firing dead centre of cylinder 1, in equal steps of time.
struct SteadyCycle {
  Signal current_A;
  Signal voltage_V;
  Signal speed_rpm;
  Speed mean;
  bool is_steady = false;  ///< the last two cycles took the same time within 0.1 %
};

/// Turns the engine until cycles repeat; three more cycles follow each other in the answer, so that events at the ends are whole.
/// @throws InputError as crank_engine
[[nodiscard]] SteadyCycle steady_cranking(const CrankedEngine& engine);

}  // namespace headjoint::traces
