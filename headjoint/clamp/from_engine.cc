#include <fmt/format.h>

#include <algorithm>

#include "headjoint/base/text.h"
#include "headjoint/clamp/bolt_stiffness.h"
#include "headjoint/clamp/clamp_model.h"
#include "headjoint/clamp/internal/workshop_units.h"
#include "headjoint/joint/places.h"

namespace headjoint::clamp {
namespace {

/// What a material's name stands for (usual figures of the trade, from memory).
struct UsualMetal {
  const char* name;
  double modulus_GPa, poisson, expansion_per_K;
};
constexpr UsualMetal kUsualMetals[] = {{"aluminium", 72, 0.33, 22e-6}, {"cast_iron", 110, 0.26, 10.5e-6}, {"steel", 205, 0.29, 11.5e-6}};

/// Reads an engine into a model and lists what is missing.
class ModelReader {
 public:
  ModelReader(const joint::Engine& engine, int head) : engine_(engine) { model_.head = head; }
  Result<ClampModel> read();

 private:
  void missing(const std::string& key, const std::string& example) {
    problems_.push_back({{}, key + " is missing", example, "the clamp calculation needs it", Problem::Severity::kError});
  }
  void assume(std::string sentence) { model_.assumptions.push_back(std::move(sentence)); }
  template <class T>
  bool need(const joint::OptionalFigure<T>& figure, T& into, const char* key, const char* example) {
    if (figure)
      into = figure->value;
    else
      missing(key, example);
    return figure.has_value();
  }
  void read_metal(const joint::Material& material, PlateMetal& metal, const std::string& part);
  std::optional<PressureCurve> read_curve(const joint::GasketRegion& region, const std::string& key);
  void read_head();
  void read_block();
  void read_bores();
  void read_gasket();
  void read_passages();
  void read_bolts();
  void read_bolt_stiffness();
  void read_tightening();

  const joint::Engine& engine_;
  ClampModel model_;
  Problems problems_;
};

void ModelReader::read_metal(const joint::Material& material, PlateMetal& metal, const std::string& part) {
  const auto usual =
      std::find_if(std::begin(kUsualMetals), std::end(kUsualMetals), [&](const UsualMetal& row) { return material.name == row.name; });
  const bool known = usual != std::end(kUsualMetals);
  if (material.youngs_modulus)
    metal.youngs_modulus = material.youngs_modulus->value;
  else if (known)
    metal.youngs_modulus = Stress::from_si(usual->modulus_GPa * 1e9);
  else
    missing(part + " youngs_modulus", "material = \"aluminium\", or youngs_modulus = \"72 GPa\"");
  metal.poisson_ratio = material.poisson_ratio ? material.poisson_ratio->value : known ? usual->poisson : 0.3;
  metal.expansion = material.expansion ? material.expansion->value : Expansion::from_si(known ? usual->expansion_per_K : 0);
  if (known && !material.youngs_modulus)
    assume(fmt::format("{}: {} stands for {} GPa.", part, material.name, number_text(usual->modulus_GPa, 3)));
}

std::optional<PressureCurve> ModelReader::read_curve(const joint::GasketRegion& region, const std::string& key) {
  if (!region.curve.empty()) {
    std::vector<std::vector<CurvePoint>> unloading;
    if (!region.unloading.empty()) unloading.push_back(region.unloading);
    auto curve = PressureCurve::from_tables(region.curve, std::move(unloading));
    if (curve) return *curve;
    for (Problem problem : curve.problems()) {
      problem.what = key + ": " + problem.what;
      problems_.push_back(std::move(problem));
    }
    return std::nullopt;
  }
  if (!region.stiffness) {
    missing(key + " stiffness", "stiffness = \"300 N/mm3\", or curve = [[0.0, 0.0], [0.05, 30.0]]");
    return std::nullopt;
  }
  if (!(region.stiffness->value.si() > 0)) {
    problems_.push_back({region.stiffness->place, key + " has no stiffness", "larger than 0 N/mm3", {}, Problem::Severity::kError});
    return std::nullopt;
  }
  return PressureCurve::linear(region.stiffness->value);
}

void ModelReader::read_head() {
  if (!engine_.head) {
    missing("[head]", "[head] with material, outline and bending_thickness");
    return;
  }
  const joint::Head& head = *engine_.head;
  model_.outline = head.outline;
  if (head.outline.empty()) missing("outline in [head]", "outline = [[0, 0], [430, 0], [430, 170], [0, 170]]");
  read_metal(head.material, model_.plate, "[head]");
  need(head.bending_thickness, model_.plate.thickness, "bending_thickness in [head]", "bending_thickness = \"25 mm\"");
  const Length cut = head.removed_before ? head.removed_before->value : Length{};
  model_.plate.thickness -= cut;
  for (const joint::Zone& zone : head.zones)
    if (zone.bending_thickness) model_.zones.push_back({zone.outline, zone.bending_thickness->value - cut});
  if (cut.si() > 0) assume(fmt::format("Earlier cuts take {} mm off the head's bending thickness.", number_text(mm(cut), 3)));
}

void ModelReader::read_block() {
  const joint::Block block = engine_.block.value_or(joint::Block{});
  const bool bends = block.rigid.has_value() ? !*block.rigid : block.bending_thickness.has_value();
  model_.block = bends ? BlockModel::kPlate : BlockModel::kRigid;
  if (bends) {
    read_metal(block.material, model_.block_plate, "[block]");
    need(block.bending_thickness, model_.block_plate.thickness, "bending_thickness in [block]",
         "bending_thickness = \"60 mm\", or rigid = true");
    if (block.deck_removed_before) model_.block_plate.thickness -= block.deck_removed_before->value;
    return;
  }
  if (!block.rigid) assume("The block is taken as rigid.");
  joint::Material material = block.material;
  if (material.name.empty() && !material.youngs_modulus) material.name = "cast_iron";
  if (!material.youngs_modulus && material.name != "aluminium") material.name = "cast_iron";
  read_metal(material, model_.block_plate, "[block]");
}

void ModelReader::read_bores() {
  const int head = model_.head;
  for (const joint::Bore& bore : engine_.bores) {
    if (bore.number < 1 || bore.number > engine_.general.cylinders || joint::head_of(engine_, bore.number) != head) continue;
    if (bore.at)
      model_.bores.push_back({bore.number, *bore.at});
    else
      missing(fmt::format("at of bore {}", bore.number), "at = [65, 85]");
  }
  if (engine_.bores.empty()) missing("[[bore]]", "[[bore]] with number and at, one for each cylinder");
}

void ModelReader::read_gasket() {
  if (!engine_.gasket) {
    missing("[gasket]", "[gasket] with bore, [gasket.fire_ring] and [gasket.body]");
    return;
  }
  const joint::Gasket& gasket = *engine_.gasket;
  if (gasket.fire_ring) {
    RingSeal ring;
    const bool sized =
        need(gasket.fire_ring->inner_radius, ring.inner_radius, "inner_radius in [gasket.fire_ring]", "inner_radius = \"41 mm\"") &
        need(gasket.fire_ring->outer_radius, ring.outer_radius, "outer_radius in [gasket.fire_ring]", "outer_radius = \"44 mm\"");
    if (gasket.fire_ring->least_line_load) ring.least_line_load = gasket.fire_ring->least_line_load->value;
    const auto curve = read_curve(gasket.fire_ring->region, "[gasket.fire_ring]");
    if (curve) ring.curve = *curve;
    if (sized) model_.gas_bore = 2 * ring.inner_radius;
    model_.ring = std::move(ring);
  } else {
    missing("[gasket.fire_ring]", "[gasket.fire_ring] with inner_radius, outer_radius and stiffness");
  }
  if (gasket.bore) model_.gas_bore = gasket.bore->value;
  if (gasket.body) model_.body = read_curve(*gasket.body, "[gasket.body]");
  if (gasket.bead) {
    BeadSeal bead;
    need(gasket.bead->width, bead.width, "width in [gasket.bead]", "width = \"2 mm\"");
    if (gasket.bead->least_pressure) bead.least_pressure = gasket.bead->least_pressure->value;
    if (const auto curve = read_curve(gasket.bead->region, "[gasket.bead]")) bead.curve = *curve;
    model_.bead = std::move(bead);
  }
}

void ModelReader::read_passages() {
  constexpr const char* kKinds[] = {"coolant", "oil_pressure", "oil_drain", "pushrod", "vent"};
  int number = 0;
  for (const joint::Passage& passage : engine_.passages) {
    ++number;
    if (passage.head && *passage.head != model_.head) continue;
    PassageHole hole;
    hole.number = passage.number != 0 ? passage.number : number;
    hole.kind = kKinds[static_cast<std::size_t>(passage.kind)];
    hole.outline = passage.outline;
    if (passage.at) hole.centre = *passage.at;
    if (passage.diameter) hole.diameter = passage.diameter->value;
    if (hole.outline.empty() && !(passage.at && passage.diameter)) continue;
    for (const PlanPoint& p : hole.outline) {
      hole.centre.x_mm += p.x_mm / static_cast<double>(hole.outline.size());
      hole.centre.y_mm += p.y_mm / static_cast<double>(hole.outline.size());
    }
    model_.passages.push_back(std::move(hole));
  }
}

void ModelReader::read_bolts() {
  if (!engine_.bolts) {
    missing("[bolts]", "[bolts] with size, class, grip, washer_diameter, friction and at");
    return;
  }
  const joint::Bolts& bolts = *engine_.bolts;
  BoltRow& row = model_.bolts;
  row.at = bolts.at;
  if (bolts.at.empty()) missing("at in [bolts]", "at = [[15, 15], [115, 15]], one place for each bolt");
  need(bolts.washer_diameter, row.washer_diameter, "washer_diameter in [bolts]", "washer_diameter = \"20 mm\"");
  if (bolts.hole_diameter) row.hole_diameter = bolts.hole_diameter->value;
  if (bolts.grip) row.grip = bolts.grip->value;
  if (bolts.shank_diameter) row.waist = bolts.shank_diameter->value;
  if (bolts.size) {
    const std::optional<Length> pitch = bolts.size->pitch ? bolts.size->pitch : coarse_pitch(bolts.size->diameter);
    if (pitch && *pitch <= 0.3 * bolts.size->diameter)
      row.thread = Thread{bolts.size->diameter, *pitch};
    else
      missing("the pitch in [bolts] size", "size = \"M11x1.5\"");
    if (const auto strength = strength_class(bolts.strength_class, bolts.size->diameter)) row.yield = strength->yield;
  }
  if (bolts.friction) {
    row.friction_least = bolts.friction->least;
    row.friction_most = bolts.friction->most;
  } else {
    assume("Friction is taken as 0.10 to 0.14, oiled steel.");
  }
  const double middle = (row.friction_least + row.friction_most) / 2;
  row.friction = Friction{middle, middle};
  read_bolt_stiffness();
  if (bolts.preload) model_.preload = bolts.preload->value;
}

void ModelReader::read_bolt_stiffness() {
  const joint::Bolts& bolts = *engine_.bolts;
  BoltRow& row = model_.bolts;
  if (bolts.stiffness) {
    row.stiffness = bolts.stiffness->value;
    row.stiffness_origin = "given";
    return;
  }
  if (!row.thread || !(row.grip.si() > 0)) {
    missing("stiffness in [bolts]", "stiffness = \"250 kN/mm\", or size and grip to reckon it from");
    return;
  }
  BoltBody body{.thread = *row.thread, .grip = row.grip, .shank = row.waist, .shank_length = {}};
  if (model_.block_plate.youngs_modulus.si() > 0) body.block_modulus = model_.block_plate.youngs_modulus;
  row.stiffness = bolt_compliance(body).stiffness();
  row.stiffness_origin = "reckoned from size and grip";
  assume(fmt::format("Bolt stiffness {} kN/mm from size and grip, with three diameters of free thread.",
                     number_text(newton_per_mm(row.stiffness) * 1e-3, 4)));
}

void ModelReader::read_tightening() {
  if (!engine_.tightening) return;
  model_.order = engine_.tightening->order;
  model_.stages = engine_.tightening->stages;
}

Result<ClampModel> ModelReader::read() {
  model_.name = engine_.name;
  if (model_.head < 1 || model_.head > joint::head_count(engine_))
    return Problem{{}, fmt::format("there is no head {}", model_.head), fmt::format("1 to {}", joint::head_count(engine_)), {}};
  read_head();
  read_block();
  read_bores();
  read_gasket();
  read_passages();
  read_bolts();
  read_tightening();
  if (has_errors(problems_)) return problems_;
  for (const Problem& problem : check_model(model_)) problems_.push_back(problem);
  if (has_errors(problems_)) return problems_;
  return {std::move(model_), std::move(problems_)};
}

}  // namespace

Result<ClampModel> from_engine(const joint::Engine& engine, int head) { return ModelReader(engine, head).read(); }

}  // namespace headjoint::clamp
