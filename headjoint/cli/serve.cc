#include "headjoint/cli/serve.h"

#include <filesystem>
#include <iostream>

#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/operation.h"
#include "headjoint/base/error.h"
#include "headjoint/cli/shop_documents.h"
#include "headjoint/cli/shop_store.h"
#include "headjoint/cli/wall_clock.h"
#include "headjoint/jobs/job_file.h"
#include "headjoint/jobs/new_job.h"
#include "headjoint/joint/engine_file.h"
#include "headjoint/photo/photo.h"
#include "headjoint/report/joint_plan.h"
#include "headjoint/report/machine_shop_order.h"
#include "headjoint/report/measuring_sheets.h"
#include "headjoint/report/owner_sheet.h"
#include "headjoint/report/pictures.h"
#include "headjoint/report/record.h"
#include "headjoint/report/repair_plan_sheet.h"
#include "headjoint/report/seen_plan.h"
#include "headjoint/report/tightening_sheet.h"
#include "headjoint/report/warranty_record.h"
#include "headjoint/server/http.h"
#include "headjoint/server/workbench.h"
#include "headjoint/store/sqlite_store.h"

namespace headjoint::cli {
namespace {

namespace fs = std::filesystem;

/// Reads beside a shipped file: "../engines/marlow-16.toml" beside "examples/...".
joint::ReadBeside beside_shipped(const std::string& path) {
  return [folder = fs::path(path).parent_path()](const std::string& name) {
    return std::string(assess::shipped_file((folder / name).lexically_normal().generic_string()));
  };
}

std::vector<Document> demo_jobs() {
  std::vector<Document> jobs;
  for (const std::string& path : assess::shipped_files("examples/")) {
    if (!path.ends_with(".toml")) continue;
    auto document = read_toml(assess::shipped_file(path), "data/" + path);
    require(document.has_value(), "a demo job does not read");
    auto whole = jobs::inline_engine(std::move(document).value(), beside_shipped(path));
    require(whole.has_value(), "a demo job misses its engine");
    jobs.push_back(std::move(whole).value());
  }
  return jobs;
}

std::vector<Document> demo_engines() {
  std::vector<Document> engines;
  for (const std::string& path : assess::shipped_files("engines/")) {
    if (!path.ends_with(".toml")) continue;
    auto document = read_toml(assess::shipped_file(path), "data/" + path);
    require(document.has_value(), "a demo engine does not read");
    engines.push_back(joint::with_lists_inside(std::move(document).value(), beside_shipped(path)));
  }
  return engines;
}

std::string plan_svg(const assess::Assessment& assessment, std::string_view layer) {
  if (layer == "breach") return report::breach_plan_svg(assessment.job.engine, assessment.finding);
  if (layer == "seen") return report::seen_plan_svg(assessment.job.engine, assessment.job.seen);
  return assessment.faces.empty() ? std::string() : report::face_plan_svg(assessment.job.engine, assessment.faces.front());
}

/// A photograph as the store keeps it.
Result<jobs::PhotoStore::Picture> kept_picture(const std::string& bytes) {
  Result<photo::KeptPhoto> kept = photo::reencode_photo(bytes, "photograph");
  if (!kept) return kept.problems();
  return jobs::PhotoStore::Picture{std::move(kept->jpeg), "image/jpeg", kept->width, kept->height};
}

Document health(store::SqliteStore& jobs, const fs::path& folder) {
  Array problems;
  for (const std::string& problem : jobs.integrity_problems()) problems.emplace_back(problem);
  Document document = contents_document(jobs.contents());
  document.set("problems", std::move(problems))
      .set("bytes", store_bytes(folder))
      .set("free_bytes", free_bytes(folder))
      .set("version", assess::program_version())
      .set("schema", store::kSchemaVersion);
  return document;
}

Document pictures(const assess::Reply& reply) {
  Array list;
  for (const report::Picture& picture : report::pictures(reply))
    list.emplace_back(Table{{"name", picture.name}, {"title", picture.title}, {"svg", picture.svg}, {"table", picture.table_html}});
  return list;
}

}  // namespace

int serve(const ServeOptions& options, std::span<const EmbeddedFile> page, std::ostream& out, std::ostream& err) {
  const fs::path folder = data_folder(options.data_folder);
  std::error_code error;
  fs::create_directories(folder, error);
  if (error) throw EnvironmentError(EnvironmentError::Kind::kInputOutput, folder.string() + ": " + error.message());
  store::SqliteStore jobs(store_file(folder));

  server::WorkbenchParts parts;
  parts.store = &jobs;
  parts.photos = &jobs;
  parts.work_folder = (folder / "passing").string();
  parts.today = [] { return local_time_text().substr(0, 10); };
  parts.shop_documents = shop_documents();
  parts.reencode_photo = kept_picture;
  parts.copy_store = [&jobs](const std::string& path) { jobs.copy_to(path); };
  parts.restore_store = [&jobs](const std::string& path) {
    const std::string kept = jobs.restore_from(path);
    Document answer = contents_document(jobs.contents());
    return answer.set("kept_beside", kept);
  };
  parts.store_health = [&jobs, folder] { return health(jobs, folder); };
  parts.operations = assess::operations();
  parts.version = assess::program_version();
  parts.plan_svg = plan_svg;
  parts.pictures = pictures;
  parts.record_html = [](const assess::Assessment& assessment) { return report::record_html(assessment, {.date = local_time_text()}); };
  parts.owner_sheet_html = [](const assess::Assessment& assessment) {
    return report::owner_sheet_html(assessment, {.date = local_time_text()});
  };
  parts.machine_shop_html = [](const assess::Assessment& assessment) {
    return report::machine_shop_order_html(assessment, {.date = local_time_text()});
  };
  parts.tightening_html = [](const assess::Assessment& assessment) {
    return report::tightening_sheet_html(assessment, {.date = local_time_text()});
  };
  parts.repair_plan_html = [](const assess::Assessment& assessment) {
    return report::repair_plan_html(assessment, {.date = local_time_text()});
  };
  parts.measuring_html = [](const assess::Assessment& assessment) {
    return report::measuring_sheets_html(assessment, {.date = local_time_text()});
  };
  parts.warranty_html = [](const assess::Assessment& assessment) {
    return report::warranty_record_html(assessment, {.date = local_time_text()});
  };
  parts.new_job_document = [](const server::NewJob& asked) {
    return jobs::new_job_document({asked.cylinders, asked.layout, asked.fuel, asked.title});
  };
  parts.new_engine_document = [](const server::NewEngine& asked) {
    return jobs::new_engine_document({asked.cylinders, asked.layout, asked.fuel, asked.name});
  };
  parts.demo_jobs = demo_jobs();
  parts.demo_engines = demo_engines();
  parts.page = page;
  parts.page_folder = options.web_folder;
  parts.log = [&err](std::string_view line) { err << line << std::endl; };
  server::Workbench workbench(std::move(parts));

  server::HttpOptions http;
  http.port = static_cast<std::uint16_t>(options.port);
  http.headers = server::security_headers();
  http.stops_on_signals = true;
  http.file_folder = (folder / "uploads").string();
  http.file_bytes = [&](const server::Request& head) { return workbench.file_bytes(head); };
  server::HttpServer listener(
      http, [&](server::Request request, server::Respond respond) { workbench.handle(std::move(request), std::move(respond)); });
  out << "http://127.0.0.1:" << listener.port() << "/" << std::endl;
  err << "The workbench is open in this computer's browser at that address; jobs are kept in " << folder.string() << ". Ctrl-C ends it."
      << std::endl;
  listener.run();
  return 0;
}

}  // namespace headjoint::cli
