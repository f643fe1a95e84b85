#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/server/http.h"
#include "headjoint/server/runs.h"

namespace headjoint::server {

/// A request that found its route.
struct RoutedRequest {
  Request request;
  std::map<std::string, std::string> parts;  ///< of the pattern: {"id": "0F3K2QA"}
  std::multimap<std::string, std::string> query;
  std::shared_ptr<Runs::Run> run = nullptr;  ///< when the request names its calculation

  /// The first value of that name, or `otherwise`.
  [[nodiscard]] std::string query_value(const std::string& name, const std::string& otherwise = {}) const;
};

/// Where the work of a route is done: the server's thread answers from memory only, what takes long waits for nobody else's answer.
enum class WorkedBy { kServer, kReader, kStore, kSolver, kLongSolver };

/// What is known of an answer before anything is worked out.
struct Known {
  std::optional<Response> answer;  ///< there already: it need not wait for calculations
  std::string question;            ///< the same for all who ask for the same: it is worked out once
};

struct Route {
  std::string method;   ///< "GET" also serves HEAD
  std::string pattern;  ///< "/api/v1/jobs/{id}"; "{rest...}" takes all further parts
  std::function<Response(const RoutedRequest&)> answer;
  WorkedBy worked_by = WorkedBy::kServer;
  std::string takes;                      ///< content type of the body, or "" for none
  bool takes_files = false;               ///< a body of any other type is a file: it comes in Request::file
  std::uint64_t file_bytes = UINT64_MAX;  ///< most of such a file, when that is less than the server's own limit
  /// Asked first, by a reader. Empty: the work has to be done in any case.
  std::function<Known(const RoutedRequest&)> at_once = nullptr;
};

/// Finds the route of a request.
class Router {
 public:
  /// @throws ContractError when method and pattern are there already
  void add(Route route);

  struct Match {
    const Route* route = nullptr;
    std::map<std::string, std::string> parts;
    int status = 404;      ///< 200, 404, 405 or 415
    std::string allowed;   ///< methods for 405: "GET, HEAD, PUT"
    bool is_file = false;  ///< the body is taken as a file
  };
  /// @param content_type header as sent
  [[nodiscard]] Match match(std::string_view method, std::string_view path, std::string_view content_type) const;

  [[nodiscard]] const std::vector<Route>& routes() const { return routes_; }

 private:
  std::vector<Route> routes_;
};

}  // namespace headjoint::server
