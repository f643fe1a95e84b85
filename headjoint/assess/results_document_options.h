#pragma once

#include "headjoint/assess/results_options.h"
#include "headjoint/base/document.h"

namespace headjoint::assess {

/// {options[], chosen, check, turns[], weights[], unit ...}
[[nodiscard]] Document to_document(const OptionsAnswer& answer);

/// The same without the list.
[[nodiscard]] Document choice_document(const OptionsAnswer& answer);

/// The list alone.
[[nodiscard]] Document options_list(const OptionsAnswer& answer);

}  // namespace headjoint::assess
