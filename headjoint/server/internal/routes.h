#pragma once

#include <atomic>
#include <cstdint>

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
  [[nodiscard]] Response run(const Route& route, const RoutedRequest& routed);
  [[nodiscard]] Response incident(std::string_view what);

  void add_page_routes();
  void add_operation_routes();
  void add_run_routes();
  void add_job_routes();
  void add_finding_routes();
  void add_record_routes();

  [[nodiscard]] WorkQueue& queue_of(WorkedBy worked_by);
  [[nodiscard]] Response run_operation(const assess::Operation& operation, const RoutedRequest& routed);

  [[nodiscard]] Response new_job(const RoutedRequest& routed) const;
  [[nodiscard]] Response list_jobs() const;
  [[nodiscard]] Response create_job(const RoutedRequest& routed) const;
  [[nodiscard]] Response get_job(const RoutedRequest& routed) const;
  [[nodiscard]] Response put_job(const RoutedRequest& routed) const;
  [[nodiscard]] Response job_history(const RoutedRequest& routed) const;
  [[nodiscard]] Response revert_job(const RoutedRequest& routed) const;
  [[nodiscard]] Response job_assessment(const RoutedRequest& routed) const;
  [[nodiscard]] Response job_questions(const RoutedRequest& routed) const;
  [[nodiscard]] Response job_paper(const RoutedRequest& routed, const PaperMaker& make) const;

  [[nodiscard]] Response shop_record(const RoutedRequest& routed) const;

  /// The operation of that name on a stored job. @throws Refusal
  [[nodiscard]] assess::Reply reply_about(const RoutedRequest& routed, std::string_view operation) const;

  WorkbenchParts parts_;
  PageFiles page_files_;
  Router router_;
  std::atomic<std::uint32_t> incidents_ = 0;
  WorkQueue store_work_;
  WorkQueue solver_work_;
  Runs runs_;
  WorkQueue long_work_;
};

}  // namespace headjoint::server
