#include "headjoint/joint/internal/engine_description.h"

#include "headjoint/joint/internal/special_values.h"

namespace headjoint::joint {
namespace {

using Words = std::vector<std::string>;

const Words kHeadWords = {"one", "per_bank", "per_cylinder"};
const Words kFuelWords = {"petrol", "diesel", "gas"};
const Words kCoolingWords = {"liquid", "air"};
const Words kPassageWords = {"coolant", "oil_pressure", "oil_drain", "pushrod", "vent"};
const Words kDriveWords = {"overhead_cam", "pushrod"};
const Words kLawWords = {"harmonic", "cycloidal", "3-4-5", "4-5-6-7"};
const Words kCamDriveWords = {"chain", "belt", "gear"};

}  // namespace

const std::vector<std::string>& layout_words() {
  static const Words kWords = {"inline", "vee", "flat", "single"};
  return kWords;
}

std::span<const std::string> fitted_words() {
  static const Words kWords = {"egr_cooler", "water_oil_cooler", "turbo",     "wet_liners",
                               "wet_intake", "pushrods",         "raw_water", "internal_pump"};
  return kWords;
}

std::span<const std::string> materials() {
  static const Words kWords = {"aluminium", "cast_iron", "compacted_iron", "steel"};
  return kWords;
}

std::span<const std::string> gasket_kinds() {
  static const Words kWords = {"multi_layer_steel", "composite", "graphite", "copper", "steel_ring", "rubber_coated_steel", "none"};
  return kWords;
}

template <class Io, class T>
void EngineDescription::general(Io& io, T& g) const {
  io.integer("cylinders", g.cylinders, 1, 16);
  io.choice("layout", g.layout, layout_words());
  figure(io, "vee_angle", g.vee_angle, "1 deg", "180 deg");
  io.choice("heads", g.heads, kHeadWords);
  io.choice("fuel", g.fuel, kFuelWords);
  io.choice("cooling", g.cooling, kCoolingWords);
  io.integers("firing_order", g.firing_order, 1, 16);
  figure(io, "bore", g.bore, "5 mm", "1000 mm");
  figure(io, "stroke", g.stroke, "5 mm", "3000 mm");
  figure(io, "rod_length", g.rod_length, "5 mm", "6000 mm");
  figure(io, "compression_ratio", g.compression_ratio, 3, 35);
  figure(io, "intake_closes", g.intake_closes, "-30 deg", "120 deg");
  figure(io, "exhaust_opens", g.exhaust_opens, "-30 deg", "120 deg");
  figure(io, "cranking_speed", g.cranking_speed, "30 rpm", "1000 rpm");
  figure(io, "peak_pressure", g.peak_pressure, "5 bar", "400 bar");
  figure(io, "expected_compression", g.expected_compression, "1 bar", "60 bar");
  words(io, "fitted", g.fitted, fitted_words());
}

template <class Io, class T>
void EngineDescription::chamber(Io& io, T& c) const {
  figure(io, "volume", c.volume, "0 cm3", "20 L");
  figure(io, "face_area", c.face_area, "0 mm2", "1 m2");
  figure(io, "piston_dish", c.piston_dish, "-5 L", "20 L");
  figure(io, "deck_clearance", c.deck_clearance, "-10 mm", "20 mm");
  figure(io, "crevice", c.crevice, "0 cm3", "1 L");
}

template <class Io, class T>
void EngineDescription::material(Io& io, T& m) const {
  word(io, "material", m.name, materials());
  figure(io, "youngs_modulus", m.youngs_modulus, "0.1 GPa", "10000 GPa");
  figure(io, "poisson_ratio", m.poisson_ratio, 0, 0.5);
  figure(io, "expansion", m.expansion, "1 um/m.K", "40 um/m.K");
  figure(io, "yield", m.yield, "20 MPa", "2000 MPa");
}

template <class Io, class T>
void EngineDescription::head(Io& io, T& h) const {
  material(io, h.material);
  outline(io, "outline", h.outline, read_beside);
  figure(io, "bending_thickness", h.bending_thickness, "1 mm", "5000 mm");
  figure(io, "height", h.height, "5 mm", "1000 mm");
  figure(io, "least_height", h.least_height, "5 mm", "1000 mm");
  figure(io, "flatness_limit", h.flatness_limit, "0.001 mm", "1 mm");
  figure(io, "local_flatness_limit", h.local_flatness_limit, "0.001 mm", "1 mm");
  figure(io, "local_window", h.local_window, "5 mm", "1000 mm");
  figure(io, "roughness_limit", h.roughness_limit, "0.05 um", "50 um");
  figure(io, "removed_before", h.removed_before, "0 mm", "10 mm");
  figure(io, "intake_face_lean", h.intake_face_lean, "-60 deg", "60 deg");
  figure(io, "insert_protrusion", h.insert_protrusion, "-50 mm", "50 mm");
  figure(io, "dowel_hole_depth", h.dowel_hole_depth, "0.5 mm", "200 mm");
  io.tables("zone", h.zones, [this](auto& inner, auto& zone) {
    outline(inner, "outline", zone.outline, read_beside);
    figure(inner, "bending_thickness", zone.bending_thickness, "1 mm", "5000 mm");
  });
}

template <class Io, class T>
void EngineDescription::block(Io& io, T& b) const {
  io.truth("rigid", b.rigid);
  material(io, b.material);
  figure(io, "bending_thickness", b.bending_thickness, "1 mm", "5000 mm");
  figure(io, "deck_removed_before", b.deck_removed_before, "0 mm", "10 mm");
  figure(io, "flatness_limit", b.flatness_limit, "0.001 mm", "1 mm");
  figure(io, "roughness_limit", b.roughness_limit, "0.05 um", "50 um");
  figure(io, "liner_protrusion", b.liner_protrusion, "-1 mm", "2 mm");
  figure(io, "dowel_height", b.dowel_height, "0.5 mm", "200 mm");
}

template <class Io, class T>
void EngineDescription::bore(Io& io, T& b) const {
  if constexpr (Io::kReads) (void)io.required("number");
  io.integer("number", b.number, 1, 16);
  point(io, "at", b.at);
  io.integer("head", b.head, 1, 16);
}

template <class Io, class T>
void EngineDescription::passage(Io& io, T& p) const {
  if constexpr (Io::kReads) {
    (void)io.required("number");
    (void)io.required("kind");
  }
  io.integer("number", p.number, 1, 9999);
  io.choice("kind", p.kind, kPassageWords);
  point(io, "at", p.at);
  figure(io, "diameter", p.diameter, "0.5 mm", "300 mm");
  outline(io, "outline", p.outline, read_beside);
  io.integer("head", p.head, 1, 16);
}

template <class Io, class T>
void EngineDescription::region(Io& io, T& r) const {
  figure(io, "stiffness", r.stiffness, "0.01 N/mm3", "1000000 N/mm3");
  curve(io, "curve", r.curve, read_beside);
  curve(io, "unloading", r.unloading, read_beside);
}

template <class Io, class T>
void EngineDescription::gasket(Io& io, T& g) const {
  word(io, "kind", g.kind, gasket_kinds());
  figure(io, "thickness", g.thickness, "0.05 mm", "10 mm");
  figure(io, "bore", g.bore, "5 mm", "1000 mm");
  io.table("fire_ring", g.fire_ring, [this](auto& inner, auto& ring) {
    figure(inner, "inner_radius", ring.inner_radius, "2 mm", "600 mm");
    figure(inner, "outer_radius", ring.outer_radius, "2 mm", "600 mm");
    this->region(inner, ring.region);
    figure(inner, "least_line_load", ring.least_line_load, "0 N/mm", "10000 N/mm");
  });
  io.table("body", g.body, [this](auto& inner, auto& body) { this->region(inner, body); });
  io.table("bead", g.bead, [this](auto& inner, auto& bead) {
    figure(inner, "width", bead.width, "0.1 mm", "50 mm");
    this->region(inner, bead.region);
    figure(inner, "least_pressure", bead.least_pressure, "0 MPa", "500 MPa");
  });
  io.tables("grade", g.grades, [](auto& inner, auto& grade) {
    inner.text("mark", grade.mark);
    figure(inner, "thickness", grade.thickness, "0.05 mm", "10 mm");
    figure(inner, "protrusion_least", grade.protrusion_least, "-5 mm", "5 mm");
    figure(inner, "protrusion_most", grade.protrusion_most, "-5 mm", "5 mm");
  });
}

template <class Io, class T>
void EngineDescription::bolts(Io& io, T& b) const {
  thread(io, "size", b.size);
  strength_class(io, "class", b.strength_class);
  figure(io, "grip", b.grip, "5 mm", "2000 mm");
  figure(io, "washer_diameter", b.washer_diameter, "4 mm", "200 mm");
  figure(io, "hole_diameter", b.hole_diameter, "3 mm", "150 mm");
  figure(io, "shank_diameter", b.shank_diameter, "2 mm", "100 mm");
  figure(io, "engaged_length", b.engaged_length, "2 mm", "300 mm");
  figure(io, "length", b.length, "5 mm", "3000 mm");
  figure(io, "hole_depth", b.hole_depth, "2 mm", "1000 mm");
  figure(io, "stiffness", b.stiffness, "1 kN/mm", "100000 kN/mm");
  friction(io, "friction", b.friction);
  outline(io, "at", b.at, read_beside);
  figure(io, "preload", b.preload, "0 kN", "5000 kN");
  io.truth("single_use", b.single_use);
  io.truth("wet_holes", b.wet_holes);
}

template <class Io, class T>
void EngineDescription::tightening(Io& io, T& t) const {
  io.integers("order", t.order, 1, 9999);
  io.tables("stages", t.stages, [](auto& inner, auto& stage) {
    figure(inner, "torque", stage.torque, "0.1 N.m", "20000 N.m");
    figure(inner, "angle", stage.angle, "-720 deg", "720 deg");
    inner.text("note", stage.note);
  });
  io.truth("retighten", t.retighten);
}

template <class Io, class T>
void EngineDescription::cooling(Io& io, T& c) const {
  figure(io, "volume", c.volume, "0.1 L", "2000 L");
  figure(io, "cap", c.cap, "0 bar", "4 bar");
  glycol(io, "glycol", c.glycol);
  figure(io, "thermostat_opens", c.thermostat_opens, "30 degC", "120 degC");
  figure(io, "fan_starts", c.fan_starts, "30 degC", "130 degC");
  figure(io, "gauge_red", c.gauge_red, "60 degC", "150 degC");
}

template <class Io, class T>
void EngineDescription::valve_row(Io& io, T& v) const {
  io.integer("per_cylinder", v.per_cylinder, 1, 4);
  figure(io, "head_diameter", v.head_diameter, "8 mm", "400 mm");
  figure(io, "angle", v.angle, "0 deg", "60 deg");
  figure(io, "recession", v.recession, "-20 mm", "20 mm");
  figure(io, "gap_at_dead_centre", v.gap_at_dead_centre, "0 mm", "100 mm");
  io.choice("law", v.law, kLawWords);
  figure(io, "max_lift", v.max_lift, "0.5 mm", "100 mm");
  figure(io, "duration", v.duration, "90 deg", "400 deg");
  figure(io, "centre_angle", v.centre_angle, "60 deg", "160 deg");
  lift_table(io, "lift", v.lift, read_beside);
  figure(io, "lash", v.lash, "0 mm", "3 mm");
  figure(io, "lash_least", v.lash_least, "0 mm", "3 mm");
  figure(io, "lash_most", v.lash_most, "0 mm", "3 mm");
}

template <class Io, class T>
void EngineDescription::valves(Io& io, T& v) const {
  io.choice("drive", v.drive, kDriveWords);
  figure(io, "rocker_ratio", v.rocker_ratio, 0.5, 3);
  io.truth("hydraulic", v.hydraulic);
  figure(io, "pushrod_angle", v.pushrod_angle, "0 deg", "45 deg");
  figure(io, "lifter_preload", v.lifter_preload, "0 mm", "10 mm");
  io.table("intake", v.intake, [this](auto& inner, auto& row) { this->valve_row(inner, row); });
  io.table("exhaust", v.exhaust, [this](auto& inner, auto& row) { this->valve_row(inner, row); });
}

template <class Io, class T>
void EngineDescription::cam_drive(Io& io, T& d) const {
  io.choice("kind", d.kind, kCamDriveWords);
  figure(io, "pitch", d.pitch, "2 mm", "50 mm");
  io.integer("crank_teeth", d.crank_teeth, 8, 200);
  io.integer("cam_teeth", d.cam_teeth, 8, 400);
  figure(io, "crank_radius", d.crank_radius, "5 mm", "500 mm");
  figure(io, "cam_radius", d.cam_radius, "5 mm", "1000 mm");
  figure(io, "centre_distance", d.centre_distance, "20 mm", "3000 mm");
  figure(io, "strand_angle", d.strand_angle, "0 deg", "80 deg");
  figure(io, "tensioner_reserve", d.tensioner_reserve, "0 mm", "100 mm");
}

template <class Io, class T>
void EngineDescription::limits(Io& io, T& l) const {
  figure(io, "compression_least", l.compression_least, "1 bar", "60 bar");
  figure(io, "compression_spread_most", l.compression_spread_most, "0 bar", "20 bar");
  figure(io, "leak_down_most", l.leak_down_most, "0 %", "100 %");
  figure(io, "compression_ratio_most", l.compression_ratio_most, 3, 35);
  figure(io, "squish_least", l.squish_least, "0 mm", "20 mm");
  figure(io, "squish_most", l.squish_most, "0 mm", "20 mm");
  figure(io, "valve_gap_least", l.valve_gap_least, "0 mm", "20 mm");
  figure(io, "intake_gap_least", l.intake_gap_least, "0 mm", "20 mm");
  figure(io, "exhaust_gap_least", l.exhaust_gap_least, "0 mm", "20 mm");
  figure(io, "valve_recession_most", l.valve_recession_most, "-20 mm", "20 mm");
  figure(io, "valve_recession_least", l.valve_recession_least, "-20 mm", "20 mm");
  figure(io, "insert_protrusion_most", l.insert_protrusion_most, "-50 mm", "50 mm");
  figure(io, "manifold_shift_most", l.manifold_shift_most, "0 mm", "10 mm");
  figure(io, "cam_timing_most", l.cam_timing_most, "0 deg", "30 deg");
  figure(io, "lifter_preload_least", l.lifter_preload_least, "0 mm", "10 mm");
  figure(io, "lifter_preload_most", l.lifter_preload_most, "0 mm", "10 mm");
  figure(io, "head_removed_most", l.head_removed_most, "0 mm", "10 mm");
  figure(io, "deck_removed_most", l.deck_removed_most, "0 mm", "10 mm");
  figure(io, "liner_protrusion_least", l.liner_protrusion_least, "-1 mm", "2 mm");
  figure(io, "liner_protrusion_most", l.liner_protrusion_most, "-1 mm", "2 mm");
  figure(io, "liner_protrusion_spread_most", l.liner_protrusion_spread_most, "0 mm", "1 mm");
}

template <class Io, class E>
void EngineDescription::engine(Io& io, E& e) const {
  if constexpr (Io::kReads) {
    (void)io.required("format");
    (void)io.required("name");
    (void)io.required("engine");
  }
  io.integer("format", e.format, 1, 1);
  io.text("name", e.name);
  io.text("note", e.note);
  io.table("engine", e.general, [this](auto& inner, auto& t) { this->general(inner, t); });
  io.table("chamber", e.chamber, [this](auto& inner, auto& t) { this->chamber(inner, t); });
  io.table("head", e.head, [this](auto& inner, auto& t) { this->head(inner, t); });
  io.table("block", e.block, [this](auto& inner, auto& t) { this->block(inner, t); });
  io.tables("bore", e.bores, [this](auto& inner, auto& t) { this->bore(inner, t); });
  io.tables("passage", e.passages, [this](auto& inner, auto& t) { this->passage(inner, t); });
  io.table("gasket", e.gasket, [this](auto& inner, auto& t) { this->gasket(inner, t); });
  io.table("bolts", e.bolts, [this](auto& inner, auto& t) { this->bolts(inner, t); });
  io.table("tightening", e.tightening, [this](auto& inner, auto& t) { this->tightening(inner, t); });
  io.table("cooling", e.cooling, [this](auto& inner, auto& t) { this->cooling(inner, t); });
  io.table("valves", e.valves, [this](auto& inner, auto& t) { this->valves(inner, t); });
  io.table("cam_drive", e.cam_drive, [this](auto& inner, auto& t) { this->cam_drive(inner, t); });
  io.table("limits", e.limits, [this](auto& inner, auto& t) { this->limits(inner, t); });
}

template void EngineDescription::engine(TableReader&, Engine&) const;
template void EngineDescription::engine(TableWriter&, const Engine&) const;

}  // namespace headjoint::joint
