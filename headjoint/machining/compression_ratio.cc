#include "headjoint/machining/compression_ratio.h"

#include <cmath>
#include <numbers>

#include "headjoint/base/error.h"

namespace headjoint::machining {
namespace {

Area circle(Length diameter) { return diameter * diameter * (std::numbers::pi / 4); }

}  // namespace

Volume swept_volume(Length bore, Length stroke) { return circle(bore) * stroke; }

Volume clearance_volume(const CylinderVolumes& v) {
  return v.chamber + circle(v.gasket_bore) * v.gasket_thickness + circle(v.bore) * v.deck_clearance + v.piston_dish + v.crevice;
}

double compression_ratio(Volume swept, Volume clearance) {
  if (!(clearance.si() > 0)) throw InputError("clearance", "no room is left above the piston");
  return (swept + clearance) / clearance;
}

double compression_ratio(const CylinderVolumes& v) { return compression_ratio(swept_volume(v.bore, v.stroke), clearance_volume(v)); }

CylinderVolumes after_removal(CylinderVolumes volumes, Area chamber_opening, const Removal& removal) {
  if (!(removal.head.si() >= 0)) throw InputError("head", "a cut takes metal away: zero or more");
  if (!(removal.deck.si() >= 0)) throw InputError("deck", "a cut takes metal away: zero or more");
  volumes.chamber -= chamber_opening * removal.head;
  volumes.deck_clearance -= removal.deck;
  volumes.gasket_thickness = removal.gasket_thickness;
  return volumes;
}

Length squish_height(const CylinderVolumes& volumes) { return volumes.deck_clearance + volumes.gasket_thickness; }

Length gasket_for_ratio(const CylinderVolumes& volumes, double ratio) {
  if (!(ratio > 1)) throw InputError("ratio", "must be greater than 1");
  const Volume wanted = swept_volume(volumes.bore, volumes.stroke) / (ratio - 1);
  return volumes.gasket_thickness + (wanted - clearance_volume(volumes)) / circle(volumes.gasket_bore);
}

double intake_closing_ratio(Volume clearance, Length bore, const CrankTrain& train, Angle intake_closes) {
  const Length left = piston_drop(train, Angle::from_radians(std::numbers::pi + intake_closes.radians()));
  return compression_ratio(circle(bore) * left, clearance);
}

Temperature compression_end_temperature(Temperature start, double ratio, double exponent) {
  if (!(ratio > 0)) throw InputError("ratio", "must be greater than zero");
  return Temperature::from_kelvin(start.kelvin() * std::pow(ratio, exponent - 1));
}

}  // namespace headjoint::machining
