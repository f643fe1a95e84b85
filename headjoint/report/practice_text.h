#pragma once

#include <cstddef>
#include <string>

#include "headjoint/assess/results_practice.h"

/// The game of practice in a terminal, piece by piece.
namespace headjoint::report {

[[nodiscard]] std::string practice_story(const assess::PracticeAnswer& answer, std::size_t width = 100);
[[nodiscard]] std::string practice_offers(const assess::PracticeAnswer& answer, std::size_t width = 100);
[[nodiscard]] std::string practice_names(const assess::PracticeAnswer& answer, std::size_t width = 100);
/// The last move, and what was spent in all.
[[nodiscard]] std::string practice_last_move(const assess::PracticeAnswer& answer, std::size_t width = 100);
/// What was bought so far.
[[nodiscard]] std::string practice_bought(const assess::PracticeAnswer& answer, std::size_t width = 100);
[[nodiscard]] std::string practice_reckoning(const assess::PracticeAnswer& answer, std::size_t width = 100);

}  // namespace headjoint::report
