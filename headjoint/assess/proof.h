#pragma once

#include "headjoint/assess/results.h"
#include "headjoint/assess/results_repair.h"
#include "headjoint/base/result.h"

/// What the repaired engine should read, what it read, and how likely it is that a fault remains.
namespace headjoint::assess {

/// The engine with the ratio, and the maker's compression with it, as they are after what was taken off.
struct RepairedEngine {
  joint::Engine engine;
  std::optional<double> ratio_before, ratio_after;
  std::vector<std::string> missing;  ///< keys that the ratio after would need
  std::string note;                  ///< what was taken for the cut
};
[[nodiscard]] RepairedEngine repaired_engine(const jobs::Job& job);

/// Expected readings with their limits, and those that were taken judged by them.
[[nodiscard]] std::vector<ProofCheck> proof_checks(const Assessment& all, const RepairedEngine& repaired, Proof& into);
/// The cooling system's part of them.
void add_cooling_checks(const Assessment& all, const joint::Engine& engine, std::vector<ProofCheck>& checks, Proof& into);

/// The job as if it had only now come in: the engine after the repair, signs and readings of the proof and no others.
[[nodiscard]] jobs::Job job_after_repair(const jobs::Job& job, const RepairedEngine& repaired);

/// Expected readings, readings taken, and the chance that a fault remains.
/// @returns problems of signs and readings after the repair that cannot be
[[nodiscard]] Result<Proof> proof_of(const Assessment& all);

/// A check filled in from its reading.
void judge(ProofCheck& check, double value, const std::string& typed);

}  // namespace headjoint::assess
