#pragma once

#include <string>
#include <string_view>

#include "headjoint/base/document.h"
#include "headjoint/server/http.h"

/// How answers and refusals look on the wire.
namespace headjoint::server::internal {

[[nodiscard]] Response json_reply(const Document& document, int status = 200);

/// application/problem+json (RFC 9457) with every problem, up to 200: where, what, what is allowed, how to mend.
[[nodiscard]] Response problem_reply(int status, const std::string& detail, const Problems& problems = {});

/// As one member "problems" holds them.
[[nodiscard]] Document problems_document(const Problems& problems);

/// A problem reply with one member more.
[[nodiscard]] Response problem_reply_with(int status, const std::string& detail, const std::string& key, Document value);

}  // namespace headjoint::server::internal
