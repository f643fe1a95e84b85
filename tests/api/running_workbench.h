#pragma once

#include <filesystem>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "headjoint/base/error.h"
#include "headjoint/server/http.h"
#include "headjoint/server/workbench.h"
#include "headjoint/store/sqlite_store.h"
#include "raw_client.h"

namespace headjoint::server {

/// A folder that goes away with the test.
class TemporaryFolder {
 public:
  TemporaryFolder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "headjoint-api-XXXXXX").string();
    path_ = ::mkdtemp(pattern.data());
  }
  ~TemporaryFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

/// Operations that answer what the test can foresee.
inline Result<assess::Reply> stub_assess(const assess::Request& request) {
  const Document* title = request.input.find("title");
  if (title == nullptr || !title->is_text()) {
    return Problem{{request.source, 0, 0, "/title"}, "the title is missing", "text", "give the job a title"};
  }
  if (title->text() == "broken contract") throw ContractError("secret detail of the program");
  if (title->text() == "input error") throw InputError("reading", "reading must be above 0");
  if (title->text() == "reads a file") (void)request.read_beside("face.csv");
  assess::Assessment assessment;
  if (title->text() == "with a face") assessment.faces.emplace_back();
  return assess::Reply{Table{{"schema_version", 1}, {"finding", Table{{"sentence", "stub for " + title->text()}}}}, assessment, false, {}};
}
inline Result<assess::Reply> stub_questions(const assess::Request&) {
  return assess::Reply{Table{{"questions", Array{Table{{"name", "milky_oil"}}}}}, assess::QuestionsReply{}, false, {}};
}
inline Result<assess::Reply> stub_leak_down(const assess::Request& request) {
  Document options;
  for (const auto& [name, value] : request.options) options.set(name, value);
  return assess::Reply{
      Table{{"options", std::move(options)}, {"source", request.source}, {"input", request.input}}, assess::LeakDownReply{}, false, {}};
}
inline Result<assess::Reply> stub_slow(const assess::Request&) {
  std::this_thread::sleep_for(std::chrono::milliseconds(300));
  return assess::Reply{Table{{"slow", true}}, assess::CheckReply{}, false, {}};
}

/// Answers what the shop document "prices" holds that it was given.
inline Result<assess::Reply> stub_options(const assess::Request& request) {
  const auto file = request.files.find("prices");
  return assess::Reply{Table{{"prices", file == request.files.end() ? Document() : Document(file->second.text)},
                             {"source", file == request.files.end() ? Document() : Document(file->second.source)}},
                       assess::CheckReply{},
                       false,
                       {}};
}

/// Says of every file that it has one doubtful figure.
inline Result<assess::Reply> stub_check(const assess::Request& request) {
  return Problem{{request.source, 2, 1, {}}, "a doubtful figure", "another", {}};
}

inline Problems check_prices(const std::string& text) {
  if (text.find("hour") != std::string::npos) return {};
  return {{{"prices", 1, 1, "/hour"}, "the price of an hour is missing", "a number", {}}};
}

/// Runs until it is told to stop.
inline Result<assess::Reply> stub_watched(const assess::Request& request) {
  for (int i = 0; i < 500 && request.progress(i / 500.0); ++i) std::this_thread::sleep_for(std::chrono::milliseconds(10));
  return assess::Reply{Table{{"watched", true}}, assess::CheckReply{}, false, {}};
}

/// Counts the bytes of a recording, slowly enough to be watched when it is asked to wait.
inline Result<assess::Reply> stub_recording(const assess::Request& request) {
  std::vector<char> piece(64U << 10U);
  double bytes = 0;
  const double whole = static_cast<double>(request.stream->size().value_or(0));
  for (std::size_t count = request.stream->read(piece); count > 0; count = request.stream->read(piece)) {
    bytes += static_cast<double>(count);
    if (request.option("kind") == "slow") std::this_thread::sleep_for(std::chrono::milliseconds(100));
    if (!request.progress(bytes / whole)) return Problem{{request.source, 0, 0, {}}, "reading was stopped", "the whole file", {}};
  }
  assess::Reply reply{
      Table{{"bytes", bytes}, {"source", request.source}, {"kind", request.option("kind")}}, assess::CheckReply{}, false, {}};
  reply.window = [](double from_s, double to_s, int columns) {
    return Document(Table{{"from_s", from_s}, {"to_s", to_s}, {"columns", columns}});
  };
  return reply;
}

inline const std::vector<assess::Operation>& stub_operations() {
  static const std::vector<assess::Operation> kAll{
      {"assess", "what is wrong", "JOB", assess::InputKind::kDocument, {}, "finding", stub_assess},
      {"questions", "what may be asked", "JOB", assess::InputKind::kDocument, {}, "questions", stub_questions},
      {"leak-down",
       "areas",
       "JOB",
       assess::InputKind::kDocumentOrOptions,
       {{"supply", "PRESSURE", "regulator"}, {"reading", "LIST", "gauge"}},
       "cylinders",
       stub_leak_down},
      {"flatness", "of points", "FILE", assess::InputKind::kText, {}, "points", stub_leak_down},
      {"recording", "counts bytes", "FILE", assess::InputKind::kStream, {{"kind", "WORD", "what"}}, "bytes", stub_recording, {}, true},
      {"slow", "takes its time", "", assess::InputKind::kNone, {}, "", stub_slow},
      {"watched", "takes its time and tells", "", assess::InputKind::kNone, {}, "", stub_watched, {}, true},
      {"options",
       "what it would cost",
       "",
       assess::InputKind::kNone,
       {{"prices", "FILE", "prices", assess::OptionKind::kFile}},
       "",
       stub_options},
      {"check", "of a file", "FILE", assess::InputKind::kText, {}, "problems", stub_check}};
  return kAll;
}

constexpr char kPage[] = "<!doctype html><title>headjoint</title><script type=\"module\" src=\"/assets/page-abc.js\"></script>";
constexpr char kScript[] = "console.log(1)";
constexpr char kPackedScript[] = "\x1f\x8b packed";

inline std::span<const EmbeddedFile> stub_page() {
  static const EmbeddedFile kAll[] = {{"index.html", kPage, kPage + sizeof kPage - 1},
                                      {"assets/page-abc.js", kScript, kScript + sizeof kScript - 1},
                                      {"assets/page-abc.js.gz", kPackedScript, kPackedScript + sizeof kPackedScript - 1}};
  return kAll;
}

/// The workbench on a free port with a store in a temporary folder.
class RunningWorkbench {
 public:
  explicit RunningWorkbench(const Limits& limits = {})
      : store_((folder_.path() / "jobs.db").string()),
        workbench_(parts()),
        server_(options(limits, workbench_, folder_.path() / "uploads"),
                [this](Request request, Respond respond) { workbench_.handle(std::move(request), std::move(respond)); }),
        thread_([this] { server_.run(); }) {}
  ~RunningWorkbench() {
    server_.stop();
    thread_.join();
  }
  RunningWorkbench(const RunningWorkbench&) = delete;
  RunningWorkbench& operator=(const RunningWorkbench&) = delete;

  [[nodiscard]] std::uint16_t port() const { return server_.port(); }
  [[nodiscard]] std::string host() const { return "127.0.0.1:" + std::to_string(port()); }

  /// The answer to exactly this request, which asks to close.
  [[nodiscard]] std::string ask(const std::string& method, const std::string& target, const std::string& body = {},
                                const std::string& headers = "Content-Type: application/json\r\n") const {
    RawClient client(port());
    client.send(method + " " + target + " HTTP/1.1\r\nHost: " + host() + "\r\nConnection: close\r\n" + headers +
                "Content-Length: " + std::to_string(body.size()) + "\r\n\r\n" + body);
    return client.receive_all();
  }

  /// Text after the empty line.
  static std::string body_of(const std::string& answer) {
    const std::size_t end = answer.find("\r\n\r\n");
    return end == std::string::npos ? std::string() : answer.substr(end + 4);
  }

  [[nodiscard]] std::string make_job(const std::string& title) const {
    const std::string answer = ask("POST", "/api/v1/jobs", R"({"document": {"format": 1, "number": "0117", "title": ")" + title + "\"}}");
    const Result<Document> reply = read_json(body_of(answer), "");
    return reply && reply->find("id") != nullptr ? reply->find("id")->text() : answer;
  }

  [[nodiscard]] std::string logged() {
    const std::lock_guard lock(mutex_);
    return log_;
  }
  store::SqliteStore& store() { return store_; }
  [[nodiscard]] std::filesystem::path file_folder() const { return folder_.path() / "uploads"; }

 private:
  WorkbenchParts parts() {
    WorkbenchParts parts;
    parts.store = &store_;
    parts.photos = &store_;
    parts.work_folder = (folder_.path() / "passing").string();
    parts.reencode_photo = [](const std::string& bytes) -> Result<jobs::PhotoStore::Picture> {
      if (!bytes.starts_with("picture")) return Problem{{"photograph", 0, 0, {}}, "this is no picture", "JPEG or PNG", {}};
      return jobs::PhotoStore::Picture{"kept " + bytes, "image/jpeg", 640, 480};
    };
    parts.shop_documents = {{"prices", "hours and prices", "# hour = 80", check_prices}, {"tools", "measuring tools", {}, {}}};
    parts.copy_store = [this](const std::string& path) { store_.copy_to(path); };
    parts.restore_store = [this](const std::string& path) { return Document(Table{{"kept_beside", store_.restore_from(path)}}); };
    parts.store_health = [this] { return Document(Table{{"jobs", store_.contents().jobs}}); };
    parts.new_engine_document = [](const NewEngine& engine) -> Result<Document> {
      return Document(Table{{"name", engine.name}, {"engine", Table{{"cylinders", engine.cylinders}}}});
    };
    parts.demo_engines = {Table{{"name", "Marlow"}, {"engine", Table{{"cylinders", 4}}}}};
    parts.operations = stub_operations();
    parts.version = "0.1.0";
    parts.plan_svg = [](const assess::Assessment&, std::string_view layer) { return "<svg data-layer=\"" + std::string(layer) + "\"/>"; };
    const auto paper = [](const char* name) {
      return [name](const assess::Assessment&) { return std::string("<!doctype html><title>") + name + "</title>"; };
    };
    parts.repair_plan_html = paper("plan of the repair");
    parts.measuring_html = paper("measuring sheets");
    parts.warranty_html = paper("warranty record");
    parts.owner_sheet_html = [](const assess::Assessment&) { return std::string("<!doctype html><title>owner's sheet</title>"); };
    parts.machine_shop_html = [](const assess::Assessment&) { return std::string("<!doctype html><title>machine-shop order</title>"); };
    parts.record_html = [](const assess::Assessment&) { return std::string("<!doctype html><title>record</title>"); };
    parts.new_job_document = [](const NewJob& job) -> Result<Document> {
      if (job.layout != "inline") return Problem{{{}, 0, 0, "/layout"}, "layout \"" + job.layout + "\" is not known", "inline", {}};
      return Document(Table{{"title", job.title}, {"cylinders", job.cylinders}, {"fuel", job.fuel}});
    };
    parts.demo_jobs = {Table{{"number", "D1"}, {"title", "first demo"}}, Table{{"number", "D2"}, {"title", "second demo"}}};
    parts.page = stub_page();
    parts.log = [this](std::string_view line) {
      const std::lock_guard lock(mutex_);
      log_ += std::string(line) + "\n";
    };
    return parts;
  }

  static HttpOptions options(const Limits& limits, const Workbench& workbench, const std::filesystem::path& file_folder) {
    HttpOptions options;
    options.file_bytes = [&workbench](const Request& head) { return workbench.file_bytes(head); };
    options.file_folder = file_folder.string();
    options.limits = limits;
    options.headers = security_headers();
    options.grace = std::chrono::milliseconds(1000);
    return options;
  }

  std::mutex mutex_;
  std::string log_;
  TemporaryFolder folder_;
  store::SqliteStore store_;
  Workbench workbench_;
  HttpServer server_;
  std::thread thread_;
};

}  // namespace headjoint::server
