#pragma once

#include <functional>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/assess/operation.h"
#include "headjoint/base/embedded.h"
#include "headjoint/jobs/job_store.h"
#include "headjoint/server/http.h"

namespace headjoint::server {

/// What a fresh job is asked for.
struct NewJob {
  int cylinders = 4;  ///< 1 to 16
  std::string layout = "inline";
  std::string fuel = "petrol";
  std::string title;
};

/// Makes a printable paper as a whole HTML page.
using PaperMaker = std::function<std::string(const assess::Assessment&)>;

/// Everything the workbench is made of; main wires it.
struct WorkbenchParts {
  jobs::JobStore* store = nullptr;                ///< must outlive the workbench
  std::span<const assess::Operation> operations;  ///< must outlive it too; "assess" and "questions" also serve the routes of a job
  std::string version;

  /// The joint plan as SVG; layer is "breach" or "face".
  std::function<std::string(const assess::Assessment&, std::string_view layer)> plan_svg;
  /// The drawings of any answer as a list of {name, title, svg, table}.
  std::function<Document(const assess::Reply&)> pictures;
  PaperMaker record_html;        ///< everything, for the workshop
  PaperMaker owner_sheet_html;   ///< one page in plain words
  PaperMaker machine_shop_html;  ///< one page for the machine shop
  PaperMaker tightening_html;    ///< bolts, stages and boxes to tick
  std::function<Result<Document>(const NewJob&)> new_job_document;
  std::vector<Document> demo_jobs;  ///< put into a store that holds nothing

  std::span<const EmbeddedFile> page;
  std::string page_folder;  ///< instead of `page`, while the page is being worked on

  std::vector<std::string> further_hosts;                               ///< "name:port" besides the names of this machine itself
  std::function<void(std::string_view)> log = [](std::string_view) {};  ///< faults of the program with their incident id; any thread
};

/// The routes of the workbench. Translates between HTTP and the operations, computes nothing.
///
/// Only requests that name this machine in `Host` are answered, and only pages it served itself may change anything: a page from
/// elsewhere that is open in the same browser gets nothing.
/// Store work and calculations run on one thread each, behind queues that answer 503 when they are full.
class Workbench {
 public:
  /// Fills an empty store with the demo jobs.
  /// @throws EnvironmentError from the store
  explicit Workbench(WorkbenchParts parts);
  ~Workbench();
  Workbench(const Workbench&) = delete;
  Workbench& operator=(const Workbench&) = delete;

  /// For HttpServer: answers at once or later, never throws.
  void handle(Request request, Respond respond);

  /// For HttpOptions: whether the body of such a request is a file. A stranger's never is.
  [[nodiscard]] bool takes_file(const Request& head) const;

  /// The same as handle, in the calling thread and at once.
  [[nodiscard]] Response answer(const Request& request);

 private:
  class Routes;
  std::unique_ptr<Routes> routes_;
};

/// Headers for every answer: no foreign content, no framing, no guessing of types, no referrer, no keeping.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> security_headers();

}  // namespace headjoint::server
