#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/results.h"

/// Plan and proof in the words that terminal and papers share.
namespace headjoint::report {

/// "11.6 to 14.2 bar", "at most 12 %", "at least 85 %", "absent"
[[nodiscard]] std::string accepted_text(const assess::ProofCheck& check);

/// "within", "BELOW", "ABOVE", "SEEN", "absent", "not taken"
[[nodiscard]] std::string proof_verdict(const assess::ProofCheck& check);

/// Cautions of a step that were not yet shown in its section; `shown` remembers.
[[nodiscard]] std::vector<assess::Caution> new_cautions(const std::vector<std::string>& ids, std::vector<std::string>& shown);

/// Words of repair_work(), seen_kinds() as people say them: "head_skimmed" -> "head skimmed".
[[nodiscard]] std::string spoken(std::string word);

/// "burnt track on the gasket at bridge 2-3: all the way across"
[[nodiscard]] std::string seen_text(const jobs::Seen& seen);

/// "cylinder 2", "between cylinders 2 and 3", "passage 4"; "" for nothing.
[[nodiscard]] std::string seen_where(const std::string& where);

}  // namespace headjoint::report
