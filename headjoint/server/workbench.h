#pragma once

#include <functional>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/assess/operation.h"
#include "headjoint/base/embedded.h"
#include "headjoint/jobs/document_store.h"
#include "headjoint/jobs/photo_store.h"
#include "headjoint/server/http.h"

namespace headjoint::server {

/// What a fresh job is asked for.
struct NewJob {
  int cylinders = 4;  ///< 1 to 16
  std::string layout = "inline";
  std::string fuel = "petrol";
  std::string title;
};

/// What a fresh engine is asked for.
struct NewEngine {
  int cylinders = 4;  ///< 1 to 16
  std::string layout = "inline";
  std::string fuel = "petrol";
  std::string name;
};

/// A document of the shop's own: text that the store keeps under a name, given to every operation that has a file option so called.
struct ShopDocument {
  std::string name;                                             ///< "prices"
  std::string title;                                            ///< "hours and prices"
  std::string example;                                          ///< a commented start
  std::function<Problems(const std::string& text)> check = {};  ///< of its own reader, beyond the syntax; empty: none
};

/// Makes a printable paper as a whole HTML page.
using PaperMaker = std::function<std::string(const assess::Assessment&)>;

/// Everything the workbench is made of; main wires it.
struct WorkbenchParts {
  jobs::DocumentStore* store = nullptr;           ///< must outlive the workbench
  jobs::PhotoStore* photos = nullptr;             ///< likewise
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
  PaperMaker repair_plan_html;   ///< order of work with its cautions
  PaperMaker measuring_html;     ///< blank sheets for the bay
  PaperMaker warranty_html;      ///< what was done and read, once it is repaired
  std::function<Result<Document>(const NewJob&)> new_job_document;
  std::function<Result<Document>(const NewEngine&)> new_engine_document;
  std::vector<Document> demo_jobs;     ///< put into a store that holds no job
  std::vector<Document> demo_engines;  ///< put into a store that holds no engine

  std::vector<ShopDocument> shop_documents;
  /// A picture as it is to be kept: checked, made small, nothing but pixels in it.
  std::function<Result<jobs::PhotoStore::Picture>(const std::string& bytes)> reencode_photo;

  std::function<void(const std::string& path)> copy_store;         ///< writes a copy of everything
  std::function<Document(const std::string& path)> restore_store;  ///< puts a copy in its place; what is there now, and what was kept
  std::function<Document()> store_health;                          ///< problems, contents, sizes
  std::function<std::string()> today = [] { return std::string("copy"); };  ///< for the name of a copy
  std::string work_folder;                                                  ///< for files in passing; "": the system's

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

  /// For HttpOptions: how large a file the body of such a request may be; 0 when it is none. A stranger's never is.
  [[nodiscard]] std::uint64_t file_bytes(const Request& head) const;

  /// The same as handle, in the calling thread and at once.
  [[nodiscard]] Response answer(const Request& request);

 private:
  class Routes;
  std::unique_ptr<Routes> routes_;
};

/// Headers for every answer: no foreign content, no framing, no guessing of types, no referrer, no keeping.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> security_headers();

}  // namespace headjoint::server
