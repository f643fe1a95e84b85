#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/diagnosis/pattern.h"

namespace headjoint::assess {

/// A file of data/ as it was linked into the program: "networks/head_joint/links.csv".
/// @throws ContractError when there is no such file
[[nodiscard]] std::string_view shipped_file(std::string_view path);

/// Names of all shipped files under a folder of data/: "examples/" gives "examples/marlow-breach.toml", ...
[[nodiscard]] std::vector<std::string> shipped_files(std::string_view folder);

/// The network of the head joint, read once.
/// @throws ContractError when the shipped files are faulty (a test reads them)
[[nodiscard]] const diagnosis::Pattern& head_joint_pattern();

/// Every caution, read once from data/cautions.
[[nodiscard]] const std::vector<Caution>& cautions();

/// The cautions of these ids, in the order given.
/// @throws ContractError for an unknown id
[[nodiscard]] std::vector<Caution> cautions_of(const std::vector<std::string>& ids);

/// What a decision of the network means in words: "take the head off and renew the joint"; the name with blanks when it has none.
[[nodiscard]] std::string decision_text(const std::string& decision);
[[nodiscard]] bool has_decision_text(const std::string& decision);
/// The part that brings this right when it is exchanged: "head", "engine" (with its head), or "".
[[nodiscard]] std::string exchanged_with(const std::string& decision);
/// Every decision that has a text.
[[nodiscard]] std::vector<std::string> decision_names();

/// "engine maker's procedure, local law and licensed practice come first", from data/cautions.
[[nodiscard]] const std::string& defer_line();

}  // namespace headjoint::assess
