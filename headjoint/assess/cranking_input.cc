#include "headjoint/assess/cranking_input.h"

#include <fmt/format.h>

#include <numbers>

namespace headjoint::assess {
namespace {

constexpr double kUsualRodOverStroke = 1.75;              // common practice, no source
constexpr double kUsualClosing = 50, kUsualOpening = 50;  // deg, likewise

Problem missing(const joint::Engine& engine, const std::string& key, const std::string& example) {
  return {{{}, 0, 0, "/engine/" + key},
          fmt::format("the engine{} has no {}", engine.name.empty() ? "" : " \"" + engine.name + "\"", key),
          key + " = \"" + example + "\"",
          "put it under [engine] of the engine file"};
}

}  // namespace

std::optional<leakage::Cranking> cranking_of(const joint::Engine& engine) {
  const joint::General& general = engine.general;
  if (!general.bore || !general.stroke) return std::nullopt;
  leakage::Cranking cranking;
  cranking.bore = general.bore->value;
  cranking.displacement = std::numbers::pi / 4 * (general.bore->value * general.bore->value * general.stroke->value);
  if (general.rod_length) cranking.rod = general.rod_length->value;
  if (general.compression_ratio) cranking.compression_ratio = general.compression_ratio->value;
  if (general.intake_closes) cranking.intake_closing = general.intake_closes->value;
  if (general.cranking_speed) cranking.speed = general.cranking_speed->value;
  return cranking;
}

std::vector<Angle> firing_of(const joint::Engine& engine) {
  return engine.general.firing_order.empty() ? std::vector<Angle>{} : leakage::CrankingEngine::evenly_firing(engine.general.firing_order);
}

Result<CrankableEngine> crankable_engine(const joint::Engine& engine) {
  const joint::General& general = engine.general;
  Problems problems;
  if (!general.bore) problems.push_back(missing(engine, "bore", "80.0 mm"));
  if (!general.stroke) problems.push_back(missing(engine, "stroke", "80.0 mm"));
  if (!general.compression_ratio) problems.push_back(missing(engine, "compression_ratio", "10"));
  if (general.cylinders < 1) problems.push_back(missing(engine, "cylinders", "4"));
  if (!problems.empty()) return problems;

  CrankableEngine crankable;
  leakage::CrankingEngine& out = crankable.engine;
  out.bore = general.bore->value;
  out.stroke = general.stroke->value;
  out.compression_ratio = general.compression_ratio->value;
  out.rod = general.rod_length ? general.rod_length->value : kUsualRodOverStroke * out.stroke;
  if (!general.rod_length) crankable.notes.push_back("The rod's length is not in the file: 1.75 strokes assumed; it hardly matters.");
  out.intake_closing = general.intake_closes ? general.intake_closes->value : Angle::from_degrees(kUsualClosing);
  if (!general.intake_closes)
    crankable.notes.push_back(
        "The intake's closing is not in the file: 50 deg after bottom dead centre assumed; 20 deg move the peak by about 15 %.");
  out.exhaust_opening = general.exhaust_opens ? general.exhaust_opens->value : Angle::from_degrees(kUsualOpening);
  out.firing = firing_of(engine);
  if (out.firing.empty()) {
    std::vector<int> order;
    for (int i = 1; i <= general.cylinders; ++i) order.push_back(i);
    out.firing = leakage::CrankingEngine::evenly_firing(order);
    if (general.cylinders > 1)
      crankable.notes.push_back(
          "The firing order is not in the file: 1, 2, 3 ... assumed; it matters for a breach between cylinders with the plugs in.");
  }
  if (general.cranking_speed) crankable.speed = general.cranking_speed->value;
  return crankable;
}

}  // namespace headjoint::assess
