#pragma once

#include <atomic>
#include <cstdint>

#include "headjoint/server/internal/document_routes.h"
#include "headjoint/server/internal/shop_routes.h"
#include "headjoint/server/page_files.h"
#include "headjoint/server/router.h"
#include "headjoint/server/runs.h"
#include "headjoint/server/work_queue.h"
#include "headjoint/server/workbench.h"

namespace headjoint::server {

/// The routes and what they answer from.
class Workbench::Routes {
 public:
  explicit Routes(WorkbenchParts parts);

  void handle(Request request, const Respond& respond);
  [[nodiscard]] Response answer(const Request& request);

 private:
  /// A request on its way: refused already, or with its route.
  struct Dispatched {
    Response refusal;
    const Route* route = nullptr;
    RoutedRequest routed;
  };
  [[nodiscard]] Dispatched dispatch(Request request) const;
  /// A calculation is known by the name its page gave it from here on, while it waits too.
  void name_run(Dispatched& dispatched);
  [[nodiscard]] Response run(const Route& route, const RoutedRequest& routed);
  [[nodiscard]] Response incident(std::string_view what);

  void add_page_routes();
  void add_operation_routes();
  void add_run_routes();
  void add_finding_routes();
  void add_record_routes();

  [[nodiscard]] WorkQueue& queue_of(WorkedBy worked_by);
  [[nodiscard]] Response run_operation(const assess::Operation& operation, const RoutedRequest& routed);

  void bring_photos(const Document& body, assess::Request& request) const;

  [[nodiscard]] Response new_job(const RoutedRequest& routed) const;
  [[nodiscard]] Response new_engine(const RoutedRequest& routed) const;
  [[nodiscard]] Response job_assessment(const RoutedRequest& routed) const;
  [[nodiscard]] Response job_questions(const RoutedRequest& routed) const;
  [[nodiscard]] Response job_paper(const RoutedRequest& routed, const PaperMaker& make) const;

  [[nodiscard]] Array all_jobs() const;
  [[nodiscard]] Response shop_record(const RoutedRequest& routed) const;

  /// The operation of that name on a stored job. @throws Refusal
  [[nodiscard]] assess::Reply reply_about(const RoutedRequest& routed, std::string_view operation) const;

  WorkbenchParts parts_;
  PageFiles page_files_;
  internal::DocumentRoutes job_routes_;
  internal::DocumentRoutes engine_routes_;
  internal::ShopRoutes shop_routes_;
  Router router_;
  std::atomic<std::uint32_t> incidents_ = 0;
  Runs runs_;
  WorkQueue read_work_;
  WorkQueue store_work_;
  WorkQueue solver_work_;
  WorkQueue long_work_;
};

}  // namespace headjoint::server
