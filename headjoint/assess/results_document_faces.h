#pragma once

#include "headjoint/assess/results_faces.h"
#include "headjoint/base/document.h"

namespace headjoint::assess {

[[nodiscard]] Document to_document(const Straightedge& straightedge);
[[nodiscard]] Document to_document(const Skim& skim);

/// What stands beside the fixed keys of a face: local figure, outliers, sections, what would settle it.
[[nodiscard]] Document details_of(const Flatness& flatness);

}  // namespace headjoint::assess
