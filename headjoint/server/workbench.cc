#include "headjoint/server/workbench.h"

#include <algorithm>
#include <cstdio>
#include <exception>
#include <random>
#include <utility>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/server/internal/body.h"
#include "headjoint/server/internal/replies.h"
#include "headjoint/server/internal/routes.h"
#include "headjoint/server/internal/run_name.h"
#include "headjoint/server/internal/same_site.h"

namespace headjoint::server {
namespace {

using internal::json_reply;
using internal::problem_reply;
using internal::read_body;
using internal::Refusal;

constexpr std::size_t kReadQueue = 1024;
constexpr std::size_t kReaders = 2;
constexpr std::size_t kWriters = 8;  // their changes share a write to the disk
constexpr std::size_t kAnswerBytes = 24U << 20U;
constexpr std::size_t kStoreQueue = 256;
constexpr std::size_t kSolverQueue = 32;
constexpr std::size_t kLongQueue = 8;
constexpr int kSchemaVersion = 1;

int status_of(EnvironmentError::Kind kind) {
  switch (kind) {
    case EnvironmentError::Kind::kNoSuchFile:
      return 404;
    case EnvironmentError::Kind::kInputOutput:
      return 507;
    case EnvironmentError::Kind::kBusy:
      return 503;
    case EnvironmentError::Kind::kUnavailable:
      return 503;
    case EnvironmentError::Kind::kConfiguration:
      return 500;
  }
  return 500;
}

Response try_again(const std::string& detail) {
  Response response = problem_reply(503, detail);
  response.headers.emplace_back("Retry-After", "1");
  return response;
}

Document operation_row(const assess::Operation& operation) {
  Array options;
  for (const assess::OptionSpec& option : operation.options) {
    options.emplace_back(Table{{"name", option.name}, {"value", option.value}, {"help", option.help}});
  }
  return Table{{"name", operation.name},
               {"summary", operation.summary},
               {"argument", operation.argument},
               {"options", std::move(options)},
               {"keys", operation.keys}};
}

/// A store that never held a document of that kind gets examples, the first one at the head of the list.
void fill_empty(jobs::DocumentStore& store, jobs::DocumentStore::Kind kind, const std::vector<Document>& demos) {
  const auto holds_any = [&](bool in_bin) { return store.list(kind, {.limit = 1, .in_bin = in_bin}).total > 0; };
  if (holds_any(false) || holds_any(true)) return;
  for (auto demo = demos.rbegin(); demo != demos.rend(); ++demo) (void)store.create(kind, *demo, {.note = "example"});
}

}  // namespace

std::vector<std::pair<std::string, std::string>> security_headers() {
  return {{"Content-Security-Policy",
           "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; font-src 'self'; "
           "base-uri 'none'; form-action 'self'; frame-ancestors 'none'"},
          {"X-Content-Type-Options", "nosniff"},
          {"Referrer-Policy", "no-referrer"},
          {"Cross-Origin-Opener-Policy", "same-origin"},
          {"Cross-Origin-Resource-Policy", "same-origin"},
          {"Cache-Control", "no-store"}};
}

Workbench::Routes::Routes(WorkbenchParts parts)
    : parts_(std::move(parts)),
      page_files_(parts_.page, parts_.page_folder),
      job_routes_(parts_, jobs::DocumentStore::Kind::kJob),
      engine_routes_(parts_, jobs::DocumentStore::Kind::kEngine),
      shop_routes_(parts_),
      answers_(kAnswerBytes),
      read_work_(kReadQueue, kReaders),
      store_work_(kStoreQueue, kWriters),
      solver_work_(kSolverQueue),
      long_work_(kLongQueue) {
  require(parts_.store != nullptr && parts_.photos != nullptr, "the workbench needs a store");
  require(static_cast<bool>(parts_.reencode_photo), "the workbench needs somebody who makes photographs fit to be kept");
  for (std::string& host : parts_.further_hosts) host = lower_case(host);
  fill_empty(*parts_.store, jobs::DocumentStore::Kind::kJob, parts_.demo_jobs);
  fill_empty(*parts_.store, jobs::DocumentStore::Kind::kEngine, parts_.demo_engines);
  add_page_routes();
  job_routes_.add_to(router_);
  engine_routes_.add_to(router_);
  shop_routes_.add_to(router_);
  add_finding_routes();
  add_record_routes();
  add_operation_routes();
  add_run_routes();
  add_upload_routes();
}

void Workbench::Routes::add_page_routes() {
  const auto page = [this](const RoutedRequest& routed) {
    return page_files_.answer(routed.request, read_target(routed.request.target).first.path);
  };
  // Browsers ask for it beside every page that names no icon, papers above all: there is none.
  const auto no_icon = [](const RoutedRequest&) { return Response{.status = 204, .content_type = {}, .body = {}, .headers = {}}; };
  router_.add({"GET", "/favicon.ico", no_icon, WorkedBy::kServer, {}});
  for (const char* pattern : {"/", "/{file}", "/assets/{rest...}"}) router_.add({"GET", pattern, page, WorkedBy::kServer, {}});
}

void Workbench::Routes::add_operation_routes() {
  router_.add({"GET",
               "/api/v1/version",
               [this](const RoutedRequest&) {
                 return json_reply(Table{{"version", parts_.version}, {"schema_version", kSchemaVersion}});
               },
               WorkedBy::kServer,
               {}});
  router_.add({"GET",
               "/api/v1/operations",
               [this](const RoutedRequest&) {
                 Array rows;
                 for (const assess::Operation& operation : parts_.operations) rows.push_back(operation_row(operation));
                 return json_reply(Table{{"operations", std::move(rows)}});
               },
               WorkedBy::kServer,
               {}});
  for (const assess::Operation& operation : parts_.operations) {
    router_.add({"POST", "/api/v1/" + std::string(operation.name),
                 [this, &operation](const RoutedRequest& routed) { return run_operation(operation, routed); },
                 operation.takes_long ? WorkedBy::kLongSolver : WorkedBy::kSolver, "application/json",
                 operation.input == assess::InputKind::kStream});
  }
}

Response Workbench::Routes::run_operation(const assess::Operation& operation, const RoutedRequest& routed) {
  const bool takes_files = operation.input == assess::InputKind::kStream;
  const Document body = routed.request.file ? internal::body_of_query(routed.query)
                        : takes_files       ? read_body(routed.request.body, {"input", "upload", "source", "options", "run", "pictures"})
                                            : read_body(routed.request.body, {"input", "source", "options", "run", "pictures"});
  const Uploads::Upload upload = takes_files ? upload_of(routed, body) : Uploads::Upload{};
  assess::Request request = internal::operation_request(operation, body, upload.file ? upload.file->open() : nullptr);
  if (!upload.name.empty()) request.source = upload.name;
  if (upload.file) uploads_.keep_window({}, {});  // two drawings at a time would be one too many for a small machine
  shop_routes_.attach_to(operation, request);
  bring_photos(body, request);
  if (routed.run) {
    request.progress = [run = routed.run](double share) {
      run->share = share;
      return !run->is_stopped;
    };
  }
  Result<assess::Reply> answer = operation.run(request);
  if (!answer) throw Refusal(422, "the input cannot be used as it is", answer.problems());
  assess::Reply reply = std::move(answer).value();
  if (const Document* wanted = body.find("pictures"); wanted != nullptr && wanted->is_bool() && wanted->truth() && parts_.pictures)
    reply.document.set("pictures", parts_.pictures(reply));
  if (upload.file) {
    reply.document.set("upload", upload.id);
    uploads_.keep_window(upload.id, std::move(reply.window));
  }
  return json_reply(reply.document);
}

/// A file option may name a kept photograph instead of carrying text: {"photo": "0F3K2QB"}.
void Workbench::Routes::bring_photos(const Document& body, assess::Request& request) const {
  const Document* options = body.find("options");
  if (options == nullptr || !options->is_table()) return;
  for (auto& [name, file] : request.files) {
    const Document* option = options->find(name);
    const Document* photo = option == nullptr ? nullptr : option->find("photo");
    if (photo == nullptr || !photo->is_text() || option->table().size() != 1) continue;
    std::optional<jobs::PhotoStore::Picture> picture = parts_.photos->photo(photo->text());
    if (!picture) throw Refusal(404, "there is no photograph " + photo->text());
    file.text = std::move(picture->bytes);
    file.source = "photograph " + photo->text();
  }
}

void Workbench::Routes::add_run_routes() {
  const auto run_of = [this](const RoutedRequest& routed) {
    auto run = runs_.find(routed.parts.at("name"));
    if (!run) throw Refusal(404, "no such calculation is under way");
    return run;
  };
  const auto watch = [run_of](const RoutedRequest& routed) { return json_reply(Table{{"share", run_of(routed)->share.load()}}); };
  const auto stop = [run_of](const RoutedRequest& routed) {
    run_of(routed)->is_stopped = true;
    return Response{.status = 204, .content_type = {}, .body = {}, .headers = {}};
  };
  router_.add({"GET", "/api/v1/runs/{name}", watch, WorkedBy::kServer, {}});
  router_.add({"DELETE", "/api/v1/runs/{name}", stop, WorkedBy::kServer, {}});
}

void Workbench::Routes::add_upload_routes() {
  const auto take = [this](const RoutedRequest& routed) {
    if (!routed.request.file) throw Refusal(415, "send the file itself, as Content-Type: application/octet-stream");
    const double bytes = static_cast<double>(routed.request.file->size());
    return json_reply(Table{{"upload", uploads_.add(routed.request.file, routed.query_value("source", "upload"))}, {"bytes", bytes}}, 201);
  };
  const auto drop = [this](const RoutedRequest& routed) {
    if (!uploads_.drop(routed.parts.at("id"))) throw Refusal(404, "that file is not kept any more");
    return Response{.status = 204, .content_type = {}, .body = {}, .headers = {}};
  };
  router_.add({"POST", "/api/v1/uploads", take, WorkedBy::kServer, "application/json", true});
  router_.add({"DELETE", "/api/v1/uploads/{id}", drop, WorkedBy::kServer, {}});
  router_.add(
      {"GET", "/api/v1/uploads/{id}/window", [this](const RoutedRequest& routed) { return window_of(routed); }, WorkedBy::kServer, {}});
}

Uploads::Upload Workbench::Routes::upload_of(const RoutedRequest& routed, const Document& body) {
  if (routed.request.file) return uploads_.find(uploads_.add(routed.request.file, routed.query_value("source", "upload")));
  const Document* named = body.find("upload");
  if (named == nullptr || named->is_null()) return {};
  Uploads::Upload upload = named->is_text() ? uploads_.find(named->text()) : Uploads::Upload{};
  if (!upload.file) throw Refusal(404, "that file is not kept any more: send it again");
  return upload;
}

Response Workbench::Routes::window_of(const RoutedRequest& routed) {
  const Uploads::Window window = uploads_.window_of(routed.parts.at("id"));
  if (!window) throw Refusal(404, "the drawing of that file is not kept any more: ask about the file again");
  const auto number = [&](const char* name) {
    const std::optional<double> value = parse_number(routed.query_value(name));
    if (!value || !(*value >= 0)) throw Refusal(422, std::string("\"") + name + "\" is missing or no number of 0 or more");
    return *value;
  };
  constexpr double kMostColumns = 10000;
  return json_reply(window(number("from"), number("to"), static_cast<int>(std::min(number("columns"), kMostColumns))));
}

WorkQueue& Workbench::Routes::queue_of(WorkedBy worked_by) {
  if (worked_by == WorkedBy::kReader) return read_work_;
  if (worked_by == WorkedBy::kStore) return store_work_;
  return worked_by == WorkedBy::kSolver ? solver_work_ : long_work_;
}

Workbench::Routes::Dispatched Workbench::Routes::dispatch(Request request) const {
  if (std::optional<Response> refusal = internal::refuse_stranger(request, parts_.further_hosts)) return {std::move(*refusal), nullptr, {}};
  auto [target, is_good] = read_target(request.target);
  if (!is_good) return {problem_reply(400, "this address cannot be used"), nullptr, {}};
  Router::Match match = router_.match(request.method, target.path, request.header("content-type"));
  if (match.route == nullptr) {
    Response refusal = problem_reply(match.status, match.status == 404   ? "there is nothing at this address"
                                                   : match.status == 405 ? "this address takes " + match.allowed
                                                                         : "send Content-Type: application/json");
    if (!match.allowed.empty()) refusal.headers.emplace_back("Allow", match.allowed);
    return {std::move(refusal), nullptr, {}};
  }
  return {{}, match.route, {std::move(request), std::move(match.parts), std::move(target.query), nullptr}};
}

std::uint64_t Workbench::Routes::file_bytes(const Request& head) const {
  if (internal::refuse_stranger(head, parts_.further_hosts)) return 0;
  const auto [target, is_good] = read_target(head.target);
  if (!is_good) return 0;
  const Router::Match match = router_.match(head.method, target.path, head.header("content-type"));
  return match.is_file ? match.route->file_bytes : 0;
}

void Workbench::Routes::handle(Request request, const Respond& respond) {
  auto dispatched = std::make_shared<Dispatched>(dispatch(std::move(request)));
  if (dispatched->route == nullptr) return respond(std::move(dispatched->refusal));
  if (dispatched->route->worked_by == WorkedBy::kServer) return respond(run(*dispatched->route, dispatched->routed));
  name_run(*dispatched);
  if (dispatched->route->at_once) return ask_reader_first(dispatched, respond);
  add_work(dispatched, respond);
}

void Workbench::Routes::add_work(const std::shared_ptr<Dispatched>& dispatched, const Respond& respond) {
  const bool is_taken =
      queue_of(dispatched->route->worked_by).add([this, dispatched, respond] { respond(run(*dispatched->route, dispatched->routed)); });
  if (!is_taken) respond(try_again("too much work is waiting; try again in a moment"));
}

/// Whoever asks while the same is being worked out gets the same answer.
void Workbench::Routes::work_once_for_all(const std::shared_ptr<Dispatched>& dispatched, const std::string& question,
                                          const Respond& respond) {
  {
    const std::lock_guard lock(asking_);
    std::vector<Respond>& waiting = asking_for_[question];
    waiting.push_back(respond);
    if (waiting.size() > 1) return;
  }
  add_work(dispatched, [this, question](const Response& response) {
    std::vector<Respond> waiting;
    {
      const std::lock_guard lock(asking_);
      waiting = std::move(asking_for_[question]);
      asking_for_.erase(question);
    }
    for (const Respond& one : waiting) one(response);
  });
}

/// An answer that is there already is given by a reader; else the work is done where it belongs.
void Workbench::Routes::ask_reader_first(const std::shared_ptr<Dispatched>& dispatched, const Respond& respond) {
  const bool is_taken = read_work_.add([this, dispatched, respond] {
    Known known;
    const Response refused = answer_or_refusal([&] {
      known = dispatched->route->at_once(dispatched->routed);
      return Response{};
    });
    if (known.answer) return respond(std::move(*known.answer));
    if (refused.status != 200) return respond(refused);
    work_once_for_all(dispatched, known.question, respond);
  });
  if (!is_taken) respond(try_again("too much work is waiting; try again in a moment"));
}

void Workbench::Routes::name_run(Dispatched& dispatched) {
  const WorkedBy worked_by = dispatched.route->worked_by;
  if (worked_by != WorkedBy::kSolver && worked_by != WorkedBy::kLongSolver) return;
  const RoutedRequest& routed = dispatched.routed;
  const std::string name = routed.request.file ? routed.query_value("run") : internal::run_name_in(routed.request.body);
  if (!name.empty()) dispatched.routed.run = runs_.start(name);
}

Response Workbench::Routes::answer(const Request& request) {
  Dispatched dispatched = dispatch(request);
  if (dispatched.route == nullptr) return std::move(dispatched.refusal);
  name_run(dispatched);
  return run(*dispatched.route, dispatched.routed);
}

Response Workbench::Routes::run(const Route& route, const RoutedRequest& routed) {
  return answer_or_refusal([&] { return route.answer(routed); });
}

/// The only place that catches: every failure becomes an answer.
Response Workbench::Routes::answer_or_refusal(const std::function<Response()>& answer) {
  try {
    return answer();
  } catch (const Refusal& refusal) {
    return problem_reply(refusal.status, refusal.detail, refusal.problems);
  } catch (const InputError& error) {
    return problem_reply(422, "the input cannot be used as it is", {{{{}, 0, 0, "/" + error.argument()}, error.what(), {}, {}}});
  } catch (const EnvironmentError& error) {
    if (error.kind() == EnvironmentError::Kind::kBusy) return try_again(error.what());
    parts_.log(error.what());
    return problem_reply(status_of(error.kind()), error.what());
  } catch (const std::exception& error) {
    return incident(error.what());
  } catch (...) {
    return incident("an exception of unknown kind");
  }
}

/// A fault of the program: the person gets a number to quote, the log gets what happened.
Response Workbench::Routes::incident(std::string_view what) {
  static const std::uint32_t kStart = std::random_device{}();
  char number[16];
  std::snprintf(number, sizeof number, "%08x", kStart + incidents_++);
  parts_.log("incident " + std::string(number) + ": " + std::string(what));
  return problem_reply(500, "a fault of the program, incident " + std::string(number) + "; what was saved is safe");
}

Workbench::Workbench(WorkbenchParts parts) : routes_(std::make_unique<Routes>(std::move(parts))) {}
Workbench::~Workbench() = default;
void Workbench::handle(Request request, Respond respond) { routes_->handle(std::move(request), respond); }
std::uint64_t Workbench::file_bytes(const Request& head) const { return routes_->file_bytes(head); }
Response Workbench::answer(const Request& request) { return routes_->answer(request); }

}  // namespace headjoint::server
