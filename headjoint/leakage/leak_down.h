#pragma once

#include <vector>

#include "headjoint/leakage/ambient.h"
#include "headjoint/leakage/leak_area.h"
#include "headjoint/leakage/orifice_flow.h"

/// Static cylinder leakage test: air through the tester's orifice into the cylinder at TDC, out through the leak.
///
/// Two orifices in series with the same gas and temperature, steady: k = A_leak / A_tester = ps psi(pc/ps) / (pc psi(pa/pc)).
/// Not valid while the gauge still moves. What the gauge sees is the sum of all paths; only the outlet tells which one.
namespace headjoint::leakage {

/// The orifice inside the tester.
struct TesterOrifice {
  Area effective_area;    ///< CdA; > 0
  double low_factor = 1;  ///< the true area lies between low_factor and high_factor times effective_area
  double high_factor = 1;

  /// From the drill's diameter and an assumed discharge coefficient.
  /// @param diameter   > 0
  /// @param discharge  0 < discharge <= 1, an assumption unless measured
  /// @param spread     how far the true coefficient may lie on both sides; 0 <= spread < discharge
  /// @throws InputError naming the argument
  [[nodiscard]] static TesterOrifice drilled(Length diameter, double discharge = kDrilledOrificeDischarge,
                                             double spread = kDrilledOrificeDischargeSpread);
  /// From a calibration.
  /// @param area             > 0
  /// @param relative_spread  0 <= relative_spread < 1
  /// @throws InputError naming the argument
  [[nodiscard]] static TesterOrifice calibrated(Area area, double relative_spread = 0);
};

/// How the test was done, the same for all cylinders.
struct LeakDownTest {
  GaugePressure supply;  ///< regulator pressure; > 0 and at most 20 bar
  TesterOrifice orifice;
  GaugePressure gauge_step =
      GaugePressure::from_pascal(6894.757);  ///< smallest trusted difference of a reading; > 0, < supply. Default 1 psi
  Ambient ambient = {};
  Gas gas = {};
};

/// Share of the supply pressure that is lost: 1 - reading/supply.
/// @throws InputError naming the argument
[[nodiscard]] double loss_fraction(GaugePressure supply, GaugePressure reading);

/// k = leak area / tester area for a reading.
/// @param reading  gauge; 0 < reading <= supply (0 has no finite answer)
/// @throws InputError naming the argument
/// @par Source  isentropic flow, NACA Report 1135; orifice sizes FAA AC 43.13-1B ch. 8
/// @par Checked published.leak_down
[[nodiscard]] double leak_area_ratio(GaugePressure supply, GaugePressure reading, const Ambient& ambient = {}, const Gas& gas = {});

/// What the cylinder gauge shows for a leak.
/// @param area_ratio  leak area / tester area; >= 0
/// @throws InputError naming the argument
[[nodiscard]] GaugePressure leak_down_reading(GaugePressure supply, double area_ratio, const Ambient& ambient = {}, const Gas& gas = {});

/// What the cylinder gauge shows for a leak of a given effective area.
[[nodiscard]] GaugePressure leak_down_reading(const LeakDownTest& test, Area leak);

/// One cylinder's result.
struct LeakDown {
  double loss_fraction = 0;
  double area_ratio = 0;         ///< k; at the limit of the scale when too large to measure
  LeakArea leak;                 ///< band: the reading one gauge step up and down
  Area orifice_low;              ///< `leak.area` if the tester's orifice is as small as it may be: a common factor for all cylinders
  Area orifice_high;             ///< and as large as it may be
  VolumeFlow flow;               ///< into the cylinder, as volume at 20 degC and 101325 Pa
  bool above_loss_rule = false;  ///< see exceeds_loss_rule
};

/// Effective leak area of one cylinder from its reading.
///
/// A reading equal to the supply gives area 0 with the smallest leak the gauge could have shown as `high`. A reading of 0 gives
/// kTooLargeToMeasure with what is known as `low`.
///
/// @param reading  cylinder side, gauge; 0 <= reading <= supply
/// @throws InputError naming the argument, with the likely slip in words
/// @par Source  isentropic flow, NACA Report 1135; orifice sizes FAA AC 43.13-1B ch. 8
/// @par Checked published.leak_down
[[nodiscard]] LeakDown leak_area_from_leak_down(const LeakDownTest& test, GaugePressure reading);

/// Effective area from air metered or caught at one outlet while the cylinder is held at `cylinder`.
/// @param flow  as volume at 20 degC and 101325 Pa; >= 0
/// @param cylinder  gauge; > 0
/// @throws InputError naming the argument
/// @par Checked published.leak_down
[[nodiscard]] Area leak_area_from_outlet_flow(VolumeFlow flow, GaugePressure cylinder, const Ambient& ambient = {}, const Gas& gas = {});

/// True when more than 25 % of the supply is lost: suspect; run the engine for at least 3 minutes and test again.
/// It holds for the tester's own orifice at its own supply, and only where the engine's maker gives no limit.
/// @par Source  FAA AC 43.13-1B (1998), para 8-14
[[nodiscard]] bool exceeds_loss_rule(double loss_fraction);

/// Orifice drill of the public aviation standard: 0.040 in below 5.00 in bore, 0.060 in from there on.
/// @param bore  > 0
/// @throws InputError naming the argument
/// @par Source  FAA AC 43.13-1B Change 1 (2001), ch. 8
[[nodiscard]] Length standard_tester_orifice(Length bore);

/// What the test air does to the crank.
struct CrankPush {
  Force piston_force;
  Torque crank_torque;  ///< positive drives the crank on, away from TDC
};

/// Push of the air on piston and crank: the reason to keep hands and bars away before the pressure goes on.
///
/// Friction is left out, so the true torque at the crank is a little lower.
///
/// @param pressure  gauge in the cylinder; >= 0
/// @param bore, stroke, rod  > 0; rod longer than half the stroke
/// @param past_tdc  crank angle past TDC; any
/// @throws InputError naming the argument
[[nodiscard]] CrankPush crank_push(GaugePressure pressure, Length bore, Length stroke, Length rod, Angle past_tdc);

/// A reading with a jet of known size screwed into the hose end in place of the cylinder.
struct JetReading {
  Area jet_effective_area;  ///< > 0
  GaugePressure supply;
  GaugePressure reading;  ///< 0 < reading < supply
};

/// The tester's orifice as the jets show it.
struct OrificeCalibration {
  TesterOrifice orifice;                ///< spread taken from the readings' scatter, two standard errors, at least 1 %
  std::vector<GaugePressure> residual;  ///< reading minus what the fitted orifice predicts, per jet
};

/// Effective area of the tester's orifice: least squares over the readings' errors, linearised at each reading.
///
/// @param readings  at least one
/// @throws InputError naming the argument
/// @par Checked leakage round trip
[[nodiscard]] OrificeCalibration calibrate_orifice(const std::vector<JetReading>& readings, const Ambient& ambient = {},
                                                   const Gas& gas = {});

}  // namespace headjoint::leakage
