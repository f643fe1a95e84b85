#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/server/http.h"

namespace headjoint::server::internal {

/// The refusal of a request that is not meant for this machine (421: a foreign name in `Host`, as when a name on the internet is
/// pointed at this address), or that a page from elsewhere sends to change something (403). Empty when all is well.
///
/// Any port may stand in `Host`, since a tunnel may change it; `Origin` must be exactly what `Host` says.
/// @param further_hosts "name:port" in lower case, besides 127.0.0.1, localhost and [::1]
[[nodiscard]] std::optional<Response> refuse_stranger(const Request& request, const std::vector<std::string>& further_hosts);

}  // namespace headjoint::server::internal
