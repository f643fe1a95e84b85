#include "headjoint/assess/completeness.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "headjoint/assess/cranking_input.h"
#include "headjoint/clamp/clamp_model.h"
#include "headjoint/machining/consequences.h"

namespace headjoint::assess {
namespace {

using Key = CalculationNeeds::Key;
using Keys = std::vector<Key>;

void add(Keys& keys, std::string key, std::string example) {
  const auto is_same = [&](const Key& one) { return one.key == key; };
  if (std::none_of(keys.begin(), keys.end(), is_same)) keys.push_back({std::move(key), std::move(example)});
}

/// "bore is missing" -> "bore"; "the engine ... has no stroke" -> "stroke in [engine]".
std::string key_of(const Problem& problem) {
  constexpr std::string_view kHasNo = " has no ";
  if (const auto at = problem.what.find(" is missing"); at != std::string::npos) return problem.what.substr(0, at);
  if (const auto at = problem.what.find(kHasNo); at != std::string::npos) return problem.what.substr(at + kHasNo.size()) + " in [engine]";
  return problem.what;
}

Keys keys_of(const Problems& problems) {
  Keys keys;
  for (const Problem& problem : problems) add(keys, key_of(problem), problem.allowed);
  return keys;
}

CalculationNeeds finished(CalculationNeeds needs) {
  needs.can_run = needs.missing.empty();
  return needs;
}

CalculationNeeds finding_needs(const joint::Engine& engine) {
  CalculationNeeds needs{"finding", "which seal leaks, and the next check", false, {}, {}};
  if (engine.general.cylinders < 1) add(needs.missing, "cylinders in [engine]", "cylinders = 4");
  if (!engine.general.fuel) add(needs.better_with, "fuel in [engine]", "fuel = \"petrol\"");
  if (engine.general.firing_order.empty() && engine.general.cylinders > 1)
    add(needs.better_with, "firing_order in [engine]", "firing_order = [1, 3, 4, 2]");
  return finished(std::move(needs));
}

CalculationNeeds compression_needs(const joint::Engine& engine) {
  CalculationNeeds needs{"compression", "pressure while cranking, and leak areas from gauge readings", false, {}, {}};
  const auto crankable = crankable_engine(engine);
  if (!crankable) needs.missing = keys_of(crankable.problems());
  const joint::General& general = engine.general;
  if (!general.rod_length) add(needs.better_with, "rod_length in [engine]", "rod_length = \"140.0 mm\"");
  if (!general.intake_closes) add(needs.better_with, "intake_closes in [engine]", "intake_closes = \"50 deg\"");
  if (!general.cranking_speed) add(needs.better_with, "cranking_speed in [engine]", "cranking_speed = \"250 rpm\"");
  if (!general.expected_compression) add(needs.better_with, "expected_compression in [engine]", "expected_compression = \"12 bar\"");
  return finished(std::move(needs));
}

CalculationNeeds flatness_needs(const joint::Engine& engine) {
  CalculationNeeds needs{"flatness", "the face against its limit", false, {}, {}};
  if (!engine.head || !engine.head->flatness_limit) add(needs.better_with, "flatness_limit in [head]", "flatness_limit = \"0.05 mm\"");
  if (!engine.head || engine.head->outline.empty())
    add(needs.better_with, "outline in [head]", "outline = [[0, 0], [430, 0], [430, 170], [0, 170]]");
  return finished(std::move(needs));
}

CalculationNeeds skim_needs(const joint::Engine& engine) {
  CalculationNeeds needs{"skim", "the least cut that makes the face flat", false, {}, {}};
  if (!engine.head || !engine.head->height) add(needs.better_with, "height in [head]", "height = \"120.0 mm\"");
  if (!engine.head || !engine.head->least_height) add(needs.better_with, "least_height in [head]", "least_height = \"119.6 mm\"");
  if (engine.bores.empty()) add(needs.better_with, "[[bore]]", "[[bore]] with number and at");
  return finished(std::move(needs));
}

/// Asked with a cut of a tenth: which figures are missing does not depend on the depth.
CalculationNeeds after_skim_needs(const joint::Engine& engine) {
  CalculationNeeds needs{"after-skim", "what a cut does to compression, valves and timing", false, {}, {}};
  machining::Cut cut;
  cut.head = Length::from_si(1e-4);
  const auto changes = machining::consequences_of(engine, cut);
  std::size_t said = 0;
  for (const auto& line : changes.lines) {
    said += line.verdict == machining::Verdict::kCannotSay ? 0 : 1;
    for (const std::string& key : line.missing) add(needs.better_with, key, {});
  }
  if (said == 0) needs.missing = std::exchange(needs.better_with, {});
  return finished(std::move(needs));
}

CalculationNeeds clamp_needs(const joint::Engine& engine) {
  CalculationNeeds needs{"clamp", "pressure on every fire ring and passage", false, {}, {}};
  const auto model = clamp::from_engine(engine);
  if (!model) needs.missing = keys_of(model.problems());
  if (engine.gasket && engine.gasket->fire_ring && !engine.gasket->fire_ring->least_line_load)
    add(needs.better_with, "least_line_load in [gasket.fire_ring]", "least_line_load = \"60 N/mm\"");
  if (!engine.general.peak_pressure) add(needs.better_with, "peak_pressure in [engine]", "peak_pressure = \"80 bar\"");
  if (!engine.gasket || !engine.gasket->bead) add(needs.better_with, "[gasket.bead]", "[gasket.bead] with width and stiffness");
  if (!engine.gasket || !engine.gasket->body) add(needs.better_with, "[gasket.body]", "[gasket.body] with stiffness");
  if (engine.passages.empty()) add(needs.better_with, "[[passage]]", "[[passage]] with kind, at and diameter");
  if (!engine.bolts || !engine.bolts->friction) add(needs.better_with, "friction in [bolts]", "friction = [0.10, 0.14]");
  return finished(std::move(needs));
}

/// Whether the passages can be pressed at all: each needs its place and its size.
void add_open_passages(const joint::Engine& engine, Keys& keys) {
  for (const joint::Passage& passage : engine.passages) {
    if (passage.outline.empty() && !(passage.at && passage.diameter))
      add(keys, fmt::format("at and diameter of passage {}", passage.number), "at = [32, 33]   diameter = \"9 mm\"");
  }
}

CalculationNeeds like_clamp(const CalculationNeeds& clamp, std::string name, std::string what) {
  CalculationNeeds needs = clamp;
  needs.calculation = std::move(name);
  needs.what = std::move(what);
  return needs;
}

/// Tightening can follow the maker's stages; the loaded joint starts from the preload.
void add_preload(const joint::Engine& engine, CalculationNeeds& needs, bool stages_will_do) {
  const bool has_stages = engine.tightening && !engine.tightening->stages.empty();
  const bool has_preload = engine.bolts && engine.bolts->preload;
  if (!has_preload && !(stages_will_do && has_stages))
    add(needs.missing, stages_will_do ? "preload in [bolts], or stages in [tightening]" : "preload in [bolts]", "preload = \"45 kN\"");
  needs.can_run = needs.missing.empty();
}

CalculationNeeds boiling_needs(const joint::Engine& engine) {
  CalculationNeeds needs{"boiling", "where the coolant boils, and how far it is from it", false, {}, {}};
  const joint::Cooling cooling = engine.cooling.value_or(joint::Cooling{});
  if (!cooling.cap) add(needs.better_with, "cap in [cooling]", "cap = \"1.1 bar\"");
  if (!cooling.glycol) add(needs.better_with, "glycol in [cooling]", "glycol = \"ethylene 50 %\"");
  if (!cooling.volume) add(needs.better_with, "volume in [cooling]", "volume = \"6.0 L\"");
  return finished(std::move(needs));
}

}  // namespace

Completeness completeness_of(const joint::Engine& engine) {
  Completeness all;
  all.name = engine.name;
  CalculationNeeds clamp = clamp_needs(engine);
  add_open_passages(engine, clamp.better_with);
  CalculationNeeds seal = like_clamp(clamp, "seal-chance", "the chance that the joint seals");
  CalculationNeeds tighten = like_clamp(clamp, "tighten", "forces bolt by bolt, and the order");
  add_preload(engine, clamp, false);
  add_preload(engine, seal, false);
  add_preload(engine, tighten, true);
  if (!engine.tightening || engine.tightening->order.empty())
    add(tighten.better_with, "order in [tightening]", "order = [3, 8, 7, 2, 4, 9, 10, 5, 1, 6]");
  all.calculations = {finding_needs(engine),
                      compression_needs(engine),
                      flatness_needs(engine),
                      skim_needs(engine),
                      after_skim_needs(engine),
                      clamp,
                      seal,
                      tighten,
                      boiling_needs(engine)};
  const auto ready = std::count_if(all.calculations.begin(), all.calculations.end(), [](const auto& one) { return one.can_run; });
  all.sentence = fmt::format("{} of {} calculations can run on this engine file.", ready, all.calculations.size());
  return all;
}

}  // namespace headjoint::assess
