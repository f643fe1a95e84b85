#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/diagnosis/simulator.h"
#include "headjoint/jobs/job.h"

/// Engines to practise on: one of the shipped inventions with a fault drawn from the network, the same for the same seed everywhere.
namespace headjoint::assess {

enum class PracticeLevel {
  kOne,         ///< one fault, and the owner's story fits it
  kMisleading,  ///< one fault of the joint; the story points elsewhere, and some checks fail to show it
  kTwo,         ///< the joint and something else
  kFalseAlarm   ///< the story points to the joint; the joint is sound
};

inline constexpr std::array kPracticeLevels = {PracticeLevel::kOne, PracticeLevel::kMisleading, PracticeLevel::kTwo,
                                               PracticeLevel::kFalseAlarm};

/// "one", "misleading", "two", "false-alarm".
[[nodiscard]] std::string_view name_of(PracticeLevel level);
/// What the level means, for the learner.
[[nodiscard]] std::string_view text_of(PracticeLevel level);
[[nodiscard]] std::optional<PracticeLevel> practice_level(std::string_view name);

struct PracticeEngine {
  std::uint64_t seed = 0;
  PracticeLevel level = PracticeLevel::kOne;
  joint::Engine engine;
  jobs::History history;  ///< facts only
  diagnosis::InstanceNetwork network;
  diagnosis::DrawnEngine truth;
  std::vector<std::size_t> faults;  ///< paths and rivals that are there and call for a repair

  [[nodiscard]] bool is_there(std::size_t instance) const { return truth.state[instance] > 0; }
};

/// Draws until an engine fits the level: at most some thousand draws, some milliseconds.
[[nodiscard]] PracticeEngine practice_engine(std::uint64_t seed, PracticeLevel level);

/// What the owner tells for nothing: symptoms and history of the whole engine that cost no minute to ask.
[[nodiscard]] bool is_told_by_owner(const diagnosis::Finding& finding);

/// A stream of random numbers that belongs to one thing of one engine, whatever was drawn before.
[[nodiscard]] std::mt19937 practice_stream(std::uint64_t seed, std::string_view what);
/// 0 to 1, the same on every platform.
[[nodiscard]] double uniform(std::mt19937& random);
/// Standard normal, the same on every platform.
[[nodiscard]] double normal(std::mt19937& random);

}  // namespace headjoint::assess
