#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/base/result.h"
#include "headjoint/joint/engine.h"
#include "headjoint/leakage/cylinder_cycle.h"
#include "headjoint/leakage/leak_number.h"

/// What an engine file says about cranking, for the compression models.
namespace headjoint::assess {

/// As far as readings need it; empty without bore and stroke.
[[nodiscard]] std::optional<leakage::Cranking> cranking_of(const joint::Engine& engine);

/// Top dead centre of compression of every cylinder, spread evenly by the firing order; empty without one.
[[nodiscard]] std::vector<Angle> firing_of(const joint::Engine& engine);

/// The engine for a forward run. What the file leaves out is taken at its usual value and said in the notes.
struct CrankableEngine {
  leakage::CrankingEngine engine;
  std::optional<Speed> speed;  ///< of the file
  std::vector<std::string> notes;
};
/// @returns problems when bore, stroke, compression ratio or the number of cylinders are missing
[[nodiscard]] Result<CrankableEngine> crankable_engine(const joint::Engine& engine);

}  // namespace headjoint::assess
