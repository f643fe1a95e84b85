#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "headjoint/assess/results_faces.h"
#include "headjoint/base/result.h"
#include "headjoint/faces/machine_checks.h"
#include "headjoint/joint/engine.h"

/// The cut that a measured face needs, whether the part has the metal for it, and what to check.
namespace headjoint::assess {

struct SkimQuestion {
  std::string_view table;  ///< points of the face
  std::string source;
  std::string_view datum_table;  ///< points of a datum face or line in the same frame; empty: the measuring plane
  std::string datum_source;
  faces::MachinedPart part = faces::MachinedPart::kHead;
  bool is_into_metal = false;            ///< z was measured into the metal: the face is turned over first
  Length allowance;                      ///< out of parallel with the datum, end to end; >= 0
  Length finish;                         ///< last pass; >= 0
  std::optional<Length> depth;           ///< a depth asked about: what would it leave uncut?
  std::optional<Length> uncertainty;     ///< expanded, k = 2
  std::optional<Length> height;          ///< of the part now, measured
  std::optional<Length> removed_before;  ///< by earlier cuts
  faces::CheckRecord record;
};

/// @returns the cut, with warnings of the table, or every problem
[[nodiscard]] Result<Skim> judge_skim(const SkimQuestion& question, const joint::Engine& engine);

}  // namespace headjoint::assess
