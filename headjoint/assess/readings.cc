#include "headjoint/assess/readings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <utility>

#include "headjoint/assess/internal/reading_words.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/joint/places.h"
#include "headjoint/leakage/leak_down.h"
#include "headjoint/leakage/leak_size.h"
#include "headjoint/leakage/sensitivity.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::assess {
namespace {

using leakage::LeakArea;

constexpr double kPsi = 6894.757293168;
constexpr const char* kAssumedOrifice = "0.040 in";
constexpr double kAssumedSupplyPsi = 80;
/// Loss of sound rings and valves when the engine's own level is not known. Common practice, no source.
constexpr double kTypicalHealthyLoss = 0.06;
constexpr double kAllOfIt = 0.999;  // share above which the rings' assumed air says nothing about the outlets

struct LeakDownSetting {
  leakage::LeakDownTest test;
  double orifice_mm = 0;
  std::vector<std::string> notes;
};

bool shows_loss_only(const jobs::Reading& reading) {
  return std::none_of(reading.values.begin(), reading.values.end(),
                      [](const auto& value) { return value.kind == jobs::ReadingValue::Kind::kPressure; });
}

Result<LeakDownSetting> leak_down_setting(const jobs::Reading& reading, const leakage::Ambient& ambient, const TesterDetails& details) {
  LeakDownSetting setting;
  setting.test.ambient = ambient;
  if (reading.supply) {
    setting.test.supply = reading.supply->value;
  } else if (shows_loss_only(reading)) {
    setting.test.supply = GaugePressure::from_pascal(kAssumedSupplyPsi * kPsi);
    setting.notes.push_back("The tester's supply pressure was not given: 80 psi assumed.");
  } else {
    return Problem{reading.place, "the leak-down has no supply pressure", "supply = \"80 psi\"",
                   "give the regulator pressure the tester was set to"};
  }
  if (details.effective_area) {
    setting.test.orifice = leakage::TesterOrifice::calibrated(*details.effective_area);
  } else {
    Length bore = parse<Length>(kAssumedOrifice).value();
    if (reading.orifice)
      bore = reading.orifice->value;
    else
      setting.notes.push_back(
          "The tester's orifice was not given: 0.040 in assumed. Per cent scales of different testers are not the same.");
    setting.orifice_mm = bore.si() * 1e3;
    setting.test.orifice =
        details.discharge ? leakage::TesterOrifice::drilled(bore, *details.discharge) : leakage::TesterOrifice::drilled(bore);
    setting.notes.push_back(
        fmt::format("The orifice's discharge coefficient is an assumption: all areas together may be {:.0f} % lower or {:.0f} % higher. "
                    "Calibrate with drilled jets: --jet.",
                    100 * (1 - setting.test.orifice.low_factor), 100 * (setting.test.orifice.high_factor - 1)));
  }
  if (reading.resolution)
    setting.test.gauge_step = reading.resolution->value;
  else if (reading.loss_resolution)
    setting.test.gauge_step = GaugePressure::from_pascal(reading.loss_resolution->value.fraction * setting.test.supply.pascal());
  return setting;
}

/// Cylinder-side pressure of a value, or empty when nothing was read.
std::optional<GaugePressure> cylinder_pressure(const jobs::ReadingValue& value, GaugePressure supply) {
  if (value.kind == jobs::ReadingValue::Kind::kPressure) return value.pressure;
  if (value.kind == jobs::ReadingValue::Kind::kLoss) return GaugePressure::from_pascal((1 - value.loss) * supply.pascal());
  return std::nullopt;
}

LeakDownCylinder leak_down_cylinder(const leakage::LeakDownTest& test, GaugePressure pressure) {
  const leakage::LeakDown result = leakage::leak_area_from_leak_down(test, pressure);
  LeakDownCylinder cylinder;
  cylinder.status = status_text(result.leak.status);
  cylinder.reading_bar = pressure.bar();
  cylinder.ratio = result.area_ratio;
  cylinder.loss = result.loss_fraction;
  cylinder.leak_area_mm2 = mm2(result.leak.area);
  cylinder.low_mm2 = mm2(result.leak.low);
  cylinder.high_mm2 = high_mm2(result.leak);
  cylinder.flow_L_per_min = result.flow.in(unit_of<VolumeFlow>("L/min"));
  cylinder.is_suspect = result.above_loss_rule;
  return cylinder;
}

/// Smallest leak that shows beyond a sound cylinder's own loss; 0 when the gauge step swallows everything.
double smallest_by_leak_down(const leakage::LeakDownTest& test, double healthy_loss) {
  const auto sound = GaugePressure::from_pascal((1 - healthy_loss) * test.supply.pascal());
  if (!(sound.pascal() > test.gauge_step.pascal())) return 0;
  return mm2(leakage::smallest_leak_by_leak_down(test, sound));
}

/// The push of the test air on piston and crank, for an engine of known bore and stroke.
void add_crank_push(const TesterDetails& details, GaugePressure supply, LeakDown& shown) {
  if (!details.engine || !details.engine->general.bore || !details.engine->general.stroke) {
    shown.notes.push_back(
        "The air turns the crank: 80 psi on an 80 mm bore push with 2.8 kN, 25 Nm at the crank 10 deg past top dead centre.");
    return;
  }
  const joint::General& general = details.engine->general;
  constexpr double kUsualRodOverStroke = 1.75;  // common practice, no source
  const Length rod = general.rod_length ? general.rod_length->value : kUsualRodOverStroke * general.stroke->value;
  const leakage::CrankPush push = leakage::crank_push(supply, general.bore->value, general.stroke->value, rod, Angle::from_degrees(10));
  shown.piston_force_kN = push.piston_force.si() / 1e3;
  shown.crank_torque_Nm = push.crank_torque.si();
  shown.notes.push_back(fmt::format(
      "The air turns the crank: {:.2f} bar push this piston with {:.1f} kN, {:.0f} Nm at the crank 10 deg past top dead centre.",
      supply.bar(), shown.piston_force_kN, shown.crank_torque_Nm));
}

/// Shares the reading of one cylinder out over the outlets that were looked at.
void add_outlets(const leakage::LeakDownTest& test, const TesterDetails& details, std::size_t index, GaugePressure pressure,
                 LeakDown& shown) {
  std::vector<leakage::OutletReading> outlets;
  for (const CylinderOutlet& outlet : details.outlets)
    if (outlet.cylinder == index) outlets.push_back(outlet.reading);
  if (outlets.empty() || !(pressure.pascal() > 0)) return;
  const leakage::OutletSplit split = leakage::split_by_outlet(test, leakage::leak_area_from_leak_down(test, pressure), pressure, outlets);
  for (const leakage::OutletLeak& outlet : split.outlets) {
    if (!(outlet.leak.area.si() > 0) || (outlet.is_assumed && outlet.share > kAllOfIt)) continue;
    shown.outlets.push_back({static_cast<int>(index) + 1, leakage::outlet_name(outlet.outlet),
                             outlet.is_metered   ? "by flow meter"
                             : outlet.is_assumed ? "as sound rings always pass some"
                                                 : "by ear",
                             outlet.share, mm2(outlet.leak.area), mm2(outlet.leak.low), high_mm2(outlet.leak), outlet.is_never_sound});
  }
  if (!split.note.empty()) shown.notes.push_back("Cylinder " + cylinder_name(index) + ": " + split.note + ".");
}

struct OutletSign {
  const char* sign;
  leakage::Outlet outlet;
  leakage::AirHeard seen, absent;
};
/// The network's signs of leak-down air. Some air at the oil filler is normal, so its sign stands for strong.
constexpr OutletSign kOutletSigns[] = {
    {"air_in_coolant", leakage::Outlet::kCoolant, leakage::AirHeard::kClear, leakage::AirHeard::kNone},
    {"air_at_neighbour", leakage::Outlet::kNeighbourPlug, leakage::AirHeard::kClear, leakage::AirHeard::kNone},
    {"air_at_oil_filler", leakage::Outlet::kOilFiller, leakage::AirHeard::kStrong, leakage::AirHeard::kFaint},
    {"air_at_valve", leakage::Outlet::kValve, leakage::AirHeard::kClear, leakage::AirHeard::kNone},
    {"air_at_edge", leakage::Outlet::kOutside, leakage::AirHeard::kClear, leakage::AirHeard::kNone},
};

/// Indexes of the cylinders that a place names: "3", or both of "2-3".
std::vector<std::size_t> cylinders_at(const std::string& where) {
  std::vector<std::size_t> indexes;
  for (const std::string_view part : split(where, '-'))
    if (const auto number = parse_number(part); number && *number >= 1 && *number <= 64)
      indexes.push_back(static_cast<std::size_t>(*number) - 1);
  return indexes;
}

void add_sign(const jobs::Sign& sign, std::vector<CylinderOutlet>& outlets) {
  for (const OutletSign& known : kOutletSigns) {
    if (sign.name != known.sign || sign.is_void()) continue;
    const leakage::AirHeard heard = sign.state == "seen" ? known.seen : known.absent;
    for (const std::size_t cylinder : cylinders_at(sign.where)) {
      const auto same = std::find_if(outlets.begin(), outlets.end(), [&](const CylinderOutlet& other) {
        return other.cylinder == cylinder && other.reading.outlet == known.outlet;
      });
      if (same == outlets.end())
        outlets.push_back({cylinder, {known.outlet, std::nullopt, heard}});
      else
        same->reading.heard = std::max(*same->reading.heard, heard);  // a cylinder has two neighbours
    }
  }
}

}  // namespace

leakage::Ambient ambient_of(const jobs::History& history) {
  leakage::Ambient ambient;
  if (history.ambient_pressure) ambient.pressure = history.ambient_pressure->value;
  if (history.outside_temperature) ambient.temperature = history.outside_temperature->value;
  return ambient;
}

TesterDetails details_of(const jobs::Job& job) {
  TesterDetails details;
  details.engine = job.engine;
  for (const jobs::Sign& sign : job.signs) add_sign(sign, details.outlets);
  return details;
}

Result<ReadTest<LeakDown>> judge_leak_down(const jobs::Reading& reading, const leakage::Ambient& ambient, const TesterDetails& details) {
  const auto setting = leak_down_setting(reading, ambient, details);
  if (!setting) return setting.problems();
  const leakage::LeakDownTest& test = setting->test;
  ReadTest<LeakDown> read;
  read.shown.supply_bar = test.supply.bar();
  read.shown.orifice_mm = setting->orifice_mm;
  read.shown.orifice_area_mm2 = mm2(test.orifice.effective_area);
  read.shown.notes = setting->notes;
  read.shown.cautions = cautions_of_check("leak_down");
  Problems problems;
  std::vector<double> losses;
  for (std::size_t i = 0; i < reading.values.size(); ++i) {
    LeakDownCylinder cylinder;
    cylinder.status = reading.values[i].kind == jobs::ReadingValue::Kind::kInaccessible ? "not accessible" : "not taken";
    if (const auto pressure = cylinder_pressure(reading.values[i], test.supply)) {
      try {
        cylinder = leak_down_cylinder(test, *pressure);
        losses.push_back(cylinder.loss);
      } catch (const InputError& error) {
        problems.push_back(problem_at(reading.values[i].place, "leak-down of cylinder " + cylinder_name(i) + ": " + error.what()));
      }
    }
    cylinder.cylinder = static_cast<int>(i) + 1;
    read.shown.cylinders.push_back(cylinder);
  }
  if (has_errors(problems)) return problems;
  add_crank_push(details, test.supply, read.shown);
  constexpr double kAllAir = 0.95;
  if (losses.size() > 1 && std::all_of(losses.begin(), losses.end(), [](double loss) { return loss >= kAllAir; })) {
    read.not_counted.emplace_back(
        "leak-down: every cylinder lost all its air: piston not at the top, valves open or the hose off; take it again");
    read.shown.notes.push_back(read.not_counted.back());
    return read;
  }
  const std::optional<double> healthy = leakage::healthy_leak_down_loss(losses);
  read.shown.smallest_leak_mm2 = smallest_by_leak_down(test, healthy.value_or(kTypicalHealthyLoss));
  for (std::size_t i = 0; i < reading.values.size(); ++i) {
    const auto pressure = cylinder_pressure(reading.values[i], test.supply);
    if (!pressure) continue;
    const auto areas = leakage::leak_area_likelihood_of_leak_down(test, *pressure, healthy);
    add_outlets(test, details, i, *pressure, read.shown);
    const LeakDownCylinder& shown = read.shown.cylinders[i];
    read.areas.push_back({read.observations.size(), areas});
    read.observations.push_back({"leak_down", cylinder_name(i), states_of(areas.classes()),
                                 fmt::format("leak-down {}: {:.0f} % lost", cylinder_name(i), 100 * shown.loss), true});
  }
  return read;
}

}  // namespace headjoint::assess
