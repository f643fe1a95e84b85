#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <vector>

#include "headjoint/server/answer_cache.h"
#include "headjoint/server/internal/document_routes.h"
#include "headjoint/server/internal/shop_routes.h"
#include "headjoint/server/page_files.h"
#include "headjoint/server/router.h"
#include "headjoint/server/runs.h"
#include "headjoint/server/uploads.h"
#include "headjoint/server/work_queue.h"
#include "headjoint/server/workbench.h"

namespace headjoint::server {

/// The routes and what they answer from.
class Workbench::Routes {
 public:
  explicit Routes(WorkbenchParts parts);

  void handle(Request request, const Respond& respond);
  [[nodiscard]] Response answer(const Request& request);
  [[nodiscard]] std::uint64_t file_bytes(const Request& head) const;

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
  void add_work(const std::shared_ptr<Dispatched>& dispatched, const Respond& respond);
  void work_once_for_all(const std::shared_ptr<Dispatched>& dispatched, const std::string& question, const Respond& respond);
  void ask_reader_first(const std::shared_ptr<Dispatched>& dispatched, const Respond& respond);
  [[nodiscard]] Response answer_or_refusal(const std::function<Response()>& answer);
  [[nodiscard]] Response run(const Route& route, const RoutedRequest& routed);
  [[nodiscard]] Response incident(std::string_view what);

  void add_page_routes();
  void add_operation_routes();
  void add_run_routes();
  void add_upload_routes();
  void add_finding_routes();
  void add_record_routes();

  [[nodiscard]] WorkQueue& queue_of(WorkedBy worked_by);
  [[nodiscard]] Response run_operation(const assess::Operation& operation, const RoutedRequest& routed);
  /// The file that a question is about: sent with it, or sent before and named. Empty when the question carries its input.
  [[nodiscard]] Uploads::Upload upload_of(const RoutedRequest& routed, const Document& body);
  [[nodiscard]] Response window_of(const RoutedRequest& routed);

  void bring_photos(const Document& body, assess::Request& request) const;

  [[nodiscard]] Response new_job(const RoutedRequest& routed) const;
  [[nodiscard]] Response new_engine(const RoutedRequest& routed) const;
  [[nodiscard]] Response job_assessment(const RoutedRequest& routed) const;
  [[nodiscard]] Response job_questions(const RoutedRequest& routed) const;
  [[nodiscard]] Response job_paper(const RoutedRequest& routed, const PaperMaker& make) const;

  [[nodiscard]] Array all_jobs() const;
  [[nodiscard]] Response shop_record(const RoutedRequest& routed) const;

  /// A stored job and an operation on it; the key names everything the answer depends on.
  struct Question {
    const assess::Operation* operation = nullptr;
    jobs::DocumentStore::Stored job;
    std::string key;
  };
  /// @throws Refusal
  [[nodiscard]] Question question_about(const RoutedRequest& routed, std::string_view operation) const;
  [[nodiscard]] assess::Reply reply_to(const Question& question) const;

  /// The kept answer to that question about the job as it is now.
  [[nodiscard]] Known kept_answer(const RoutedRequest& routed, std::string_view operation) const;
  /// The kept answer, or a fresh one that is kept from now on.
  [[nodiscard]] Response answer_about(const RoutedRequest& routed, std::string_view operation,
                                      const std::function<Document(assess::Reply&)>& document_of) const;

  WorkbenchParts parts_;
  PageFiles page_files_;
  internal::DocumentRoutes job_routes_;
  internal::DocumentRoutes engine_routes_;
  internal::ShopRoutes shop_routes_;
  Router router_;
  std::atomic<std::uint32_t> incidents_ = 0;
  Runs runs_;
  mutable AnswerCache answers_;
  std::mutex asking_;
  std::map<std::string, std::vector<Respond>> asking_for_;  ///< by question: who waits for its answer
  WorkQueue read_work_;
  WorkQueue store_work_;
  WorkQueue solver_work_;
  Uploads uploads_;
  WorkQueue long_work_;
};

}  // namespace headjoint::server
