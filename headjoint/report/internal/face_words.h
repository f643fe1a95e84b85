#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/operation.h"

/// Faces, lines and cuts in the words that terminal and papers share.
namespace headjoint::report {

/// "0.02 to 0.05", or "0.02 or more" when nothing limits it.
[[nodiscard]] std::string band_text(double low_mm, double high_mm);
/// "2, 5 and 9"; "-" for none.
[[nodiscard]] std::string joined_names(const std::vector<std::string>& names);
[[nodiscard]] std::string local_words(const assess::LocalFigure& local);
[[nodiscard]] std::string straightedge_verdict(const assess::Straightedge& lines);
[[nodiscard]] std::string straightedge_how(const assess::Straightedge& lines);
/// One check of the machine shop with its state, why, limit and what was recorded.
[[nodiscard]] std::string check_words(const assess::CheckEntry& check);

}  // namespace headjoint::report
