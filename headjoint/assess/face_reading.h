#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/base/result.h"
#include "headjoint/diagnosis/finding.h"
#include "headjoint/faces/decision.h"
#include "headjoint/faces/face_points.h"

/// A measured face evaluated, and what it says about the face being out of flat.
namespace headjoint::assess {

struct FaceQuestion {
  std::string_view table;  ///< CSV with units in its header
  std::string source;      ///< file name for messages
  std::string part = "head";
  std::string head = "1";
  std::optional<Length> limit;  ///< > 0
  std::string limit_source;
  std::optional<Length> uncertainty;      ///< expanded, k = 2; a usual budget for a dial gauge on a plate when not given
  std::vector<joint::PlanPoint> outline;  ///< of the face, when known
  std::optional<Length> window;           ///< side of a square that a local limit holds in
  std::optional<Length> local_limit;      ///< > 0
  std::string local_limit_source;
};

/// @returns the evaluated face, with warnings, or every problem of the table
[[nodiscard]] Result<Flatness> judge_face(const FaceQuestion& question);

/// The same for points that were read already.
[[nodiscard]] Flatness judge_points(const FaceQuestion& question, const faces::FacePoints& points);

/// "pass", "undecided", "fail".
[[nodiscard]] std::string verdict_text(faces::Verdict verdict);

/// Likelihood {flat, out} of a face, from how its value and uncertainty stand to the limit; empty without a limit.
[[nodiscard]] std::vector<double> face_likelihood(const Flatness& flatness);

}  // namespace headjoint::assess
