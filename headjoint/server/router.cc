#include "headjoint/server/router.h"

#include <algorithm>
#include <optional>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"

namespace headjoint::server {
namespace {

using Parts = std::map<std::string, std::string>;

std::optional<Parts> fit(std::string_view pattern, std::string_view path) {
  Parts parts;
  const std::vector<std::string_view> wanted = split(pattern, '/');
  const std::vector<std::string_view> given = split(path, '/');
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    const std::string_view part = wanted[i];
    if (i >= given.size()) return std::nullopt;
    if (part.ends_with("...}")) {
      const auto start = static_cast<std::size_t>(given[i].data() - path.data());
      parts[std::string(part.substr(1, part.size() - 5))] = path.substr(start);
      return parts;
    }
    if (part.starts_with('{')) {
      if (given[i].empty()) return std::nullopt;
      parts[std::string(part.substr(1, part.size() - 2))] = given[i];
    } else if (part != given[i]) {
      return std::nullopt;
    }
  }
  return given.size() == wanted.size() ? std::optional(parts) : std::nullopt;
}

bool serves(const Route& route, std::string_view method) { return route.method == method || (method == "HEAD" && route.method == "GET"); }

/// "Application/JSON; charset=utf-8" is of type "application/json".
bool is_of_type(std::string_view content_type, std::string_view wanted) {
  return lower_case(trimmed(content_type.substr(0, content_type.find(';')))) == wanted;
}

void add_method(std::string& list, std::string_view method) {
  if (list.find(method) != std::string::npos) return;
  if (!list.empty()) list += ", ";
  list += method;
}

}  // namespace

std::string RoutedRequest::query_value(const std::string& name, const std::string& otherwise) const {
  const auto found = query.find(name);
  return found == query.end() ? otherwise : found->second;
}

void Router::add(Route route) {
  const bool is_new = std::none_of(routes_.begin(), routes_.end(),
                                   [&](const Route& other) { return other.method == route.method && other.pattern == route.pattern; });
  require(is_new, "a route was added twice");
  routes_.push_back(std::move(route));
}

Router::Match Router::match(std::string_view method, std::string_view path, std::string_view content_type) const {
  Match match;
  for (const Route& route : routes_) {
    std::optional<Parts> parts = fit(route.pattern, path);
    if (!parts) continue;
    if (serves(route, method)) {
      const bool is_taken = !route.takes.empty() && is_of_type(content_type, route.takes);
      const bool is_file = route.takes_files && !is_taken && !trimmed(content_type).empty();
      if (!route.takes.empty() && !is_taken && !is_file) return {nullptr, {}, 415, {}, false};
      return {&route, std::move(*parts), 200, {}, is_file};
    }
    match.status = 405;
    add_method(match.allowed, route.method);
    if (route.method == "GET") add_method(match.allowed, "HEAD");
  }
  return match;
}

}  // namespace headjoint::server
