#pragma once

#include "headjoint/assess/operation.h"
#include "headjoint/assess/results_traces.h"
#include "headjoint/base/document.h"

namespace headjoint::assess {

[[nodiscard]] Document to_document(const TracePlot& plot);
[[nodiscard]] Document to_document(const TraceReply& reply);
[[nodiscard]] Document to_document(const CoolantLogReply& reply);

}  // namespace headjoint::assess
