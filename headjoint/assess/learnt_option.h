#pragma once

#include <optional>
#include <string>

#include "headjoint/assess/operation.h"
#include "headjoint/diagnosis/learning.h"

/// The option --learnt: strengths counted from the shop's own closed jobs.
namespace headjoint::assess {

/// Its row, for every operation that weighs evidence.
[[nodiscard]] OptionSpec learnt_option_spec();

/// The strengths of the file that --learnt names; empty without the option, and when the file holds no figure.
[[nodiscard]] Result<std::optional<diagnosis::Learnt>> learnt_of(const Request& request);

/// "31 of the strengths are this shop's own, counted from 18 verified jobs; the others are common practice."; empty without any.
[[nodiscard]] std::string learnt_words(const diagnosis::Learnt& learnt);

}  // namespace headjoint::assess
