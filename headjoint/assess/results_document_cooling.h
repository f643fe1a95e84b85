#pragma once

#include "headjoint/assess/results_cooling.h"
#include "headjoint/base/document.h"

/// The cooling results as fixed output keys.
namespace headjoint::assess {

[[nodiscard]] Document to_document(const BoilingReply& reply);
[[nodiscard]] Document to_document(const PressureHoldReply& reply);
[[nodiscard]] Document to_document(const ColdRiseReply& reply);
[[nodiscard]] Document to_document(const GasTestReply& reply);
[[nodiscard]] Document to_document(const OilWaterReply& reply);
[[nodiscard]] Document to_document(const WhiteVapourReply& reply);

}  // namespace headjoint::assess
