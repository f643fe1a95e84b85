#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "headjoint/clamp/clamp.h"

/// How likely the joint seals when friction, tool, faces and gas scatter.
namespace headjoint::clamp {

/// What scatters, and how widely.
struct Scatter {
  double friction_least = 0.10;  ///< thread and head alike in one job (one lubricant), uniform
  double friction_most = 0.14;
  double friction_each = 0.05;  ///< +- share from bolt to bolt, normal with this as one standard deviation
  double tool = 0.04;           ///< +- share of the wrench, uniform per bolt
  Length face;                  ///< standard uncertainty of the face's shape
  double face_waves = 2;        ///< half waves along the face that the uncertainty may take
  double gas = 0.05;            ///< standard deviation of peak pressure over its mean
  bool by_torque = true;        ///< preload follows friction; false: angle or yield tightening, only `tool` and `friction_each` count
};

/// The case judged: the loads with mean figures; each entry of `firing` is one bore under gas at a time.
struct SealCase {
  ClampLoads loads;                     ///< its gas is ignored when `firing` is not empty
  std::map<int, GaugePressure> firing;  ///< bore to mean peak pressure; every one must hold, one after the other
  Scatter scatter;
};

/// What one range of samples came to; ranges add up.
struct SealTally {
  std::int64_t samples = 0;
  std::int64_t sealed = 0;
  std::int64_t unsolved = 0;                ///< not converged: counted as not sealed
  std::vector<std::int64_t> weakest;        ///< per ring, how often it had the least margin
  std::vector<double> margins;              ///< least margin of each sample, by sample number in the range
  std::vector<std::vector<double>> inputs;  ///< per sample: friction, tool, bolt to bolt, gas, then the waves of the face; standardised
  void add(const SealTally& other);
};

/// Told after every few samples; may be asked to stop. Both may be used from several threads.
struct SealProgress {
  std::function<void(std::int64_t done)> report;
  const std::atomic<bool>* stop = nullptr;
};

/// Samples first .. last - 1 of the sequence of `seed`: sample number i is the same whoever computes it, so ranges can run on two threads.
///
/// @param joint  set up; its contact state is used again from sample to sample
/// @pre the model has a ring with a least line load
[[nodiscard]] SealTally sample_sealing(ClampedJoint& joint, const SealCase& seal_case, std::uint64_t seed, std::int64_t first,
                                       std::int64_t last, const SealProgress& progress = {});

/// One input's share of the spread in the margin.
struct InputShare {
  std::string input;
  double share = 0;  ///< of the variance explained, by rank correlation; 0 to 1
};
struct WeakRing {
  int bore = 0;
  double share = 0;  ///< of samples in which this ring was the weakest
};

struct SealChance {
  double chance = 0;
  double low = 0;  ///< 95 % interval of the estimate (Wilson)
  double high = 0;
  std::int64_t samples = 0;
  std::int64_t unsolved = 0;
  std::vector<WeakRing> weakest;   ///< most often first
  std::vector<InputShare> inputs;  ///< greatest first
  double margin_median = 0;
  double margin_5_percent = 0;
};
/// @par Source  interval: Wilson 1927 (from memory)
[[nodiscard]] SealChance seal_chance(const SealTally& tally, const ClampModel& model);

}  // namespace headjoint::clamp
