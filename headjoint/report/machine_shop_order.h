#pragma once

#include <string>

#include "headjoint/assess/results.h"
#include "headjoint/report/paper.h"

namespace headjoint::report {

/// One page for the machine shop: what to take off which face from which datum, how parallel and how rough, what to check before
/// and after and in which order, heights before and after, limits, and what the cut changes that must be put right.
///
/// A depth that the job does not order is left to be written in, beside the least that any cut can be: the flatness deviation.
[[nodiscard]] std::string machine_shop_order_html(const assess::Assessment& all, const PaperStamp& stamp);

}  // namespace headjoint::report
