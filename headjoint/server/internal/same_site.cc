#include "headjoint/server/internal/same_site.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "headjoint/base/text.h"
#include "headjoint/server/internal/replies.h"

namespace headjoint::server::internal {
namespace {

constexpr std::array<std::string_view, 3> kThisMachine{"127.0.0.1", "localhost", "[::1]"};

bool is_port(std::string_view text) {
  return !text.empty() && text.size() <= 5 && std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

bool is_known_host(std::string_view host, const std::vector<std::string>& further_hosts) {
  if (std::find(further_hosts.begin(), further_hosts.end(), host) != further_hosts.end()) return true;
  return std::any_of(kThisMachine.begin(), kThisMachine.end(), [&](std::string_view name) {
    if (!host.starts_with(name)) return false;
    const std::string_view rest = host.substr(name.size());
    return rest.empty() || (rest.front() == ':' && is_port(rest.substr(1)));
  });
}

}  // namespace

std::optional<Response> refuse_stranger(const Request& request, const std::vector<std::string>& further_hosts) {
  const std::string host = lower_case(request.header("host"));
  if (!is_known_host(host, further_hosts)) return problem_reply(421, "this server does not answer for the name in Host");
  if (request.method == "GET" || request.method == "HEAD") return std::nullopt;
  const auto origin = request.headers.find("origin");
  const bool is_foreign = (origin != request.headers.end() && lower_case(origin->second) != "http://" + host) ||
                          request.header("sec-fetch-site") == "cross-site";
  if (is_foreign) return problem_reply(403, "only the workbench's own page may change anything");
  return std::nullopt;
}

}  // namespace headjoint::server::internal
