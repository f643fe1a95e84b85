#include "headjoint/cli/paper_files.h"

#include <filesystem>

#include "headjoint/base/error.h"
#include "headjoint/base/file.h"
#include "headjoint/report/machine_shop_order.h"
#include "headjoint/report/measuring_sheets.h"
#include "headjoint/report/owner_sheet.h"
#include "headjoint/report/pictures.h"
#include "headjoint/report/record.h"
#include "headjoint/report/repair_plan_sheet.h"
#include "headjoint/report/tightening_sheet.h"
#include "headjoint/report/warranty_record.h"

namespace headjoint::cli {

namespace {

/// Writes pages into one folder and remembers their paths.
class Folder {
 public:
  explicit Folder(const std::string& path) : path_(path) {
    std::error_code error;
    std::filesystem::create_directories(path, error);
    if (error) throw EnvironmentError(EnvironmentError::Kind::kInputOutput, path + ": " + error.message());
  }
  void write(const std::string& name, const std::string& page) {
    written_.push_back((std::filesystem::path(path_) / name).string());
    write_file(written_.back(), page);
  }
  [[nodiscard]] const std::vector<std::string>& written() const { return written_; }

 private:
  std::string path_;
  std::vector<std::string> written_;
};

}  // namespace

std::vector<std::string> write_papers(const assess::Assessment& assessment, const std::string& folder, const std::string& made_at) {
  Folder papers(folder);
  papers.write("record.html", report::record_html(assessment, {.date = made_at}));
  papers.write("owner.html", report::owner_sheet_html(assessment, {.date = made_at}));
  if (assess::has_machine_shop_order(assessment))
    papers.write("machine-shop.html", report::machine_shop_order_html(assessment, {.date = made_at}));
  if (assess::has_tightening_sheet(assessment))
    papers.write("tightening.html", report::tightening_sheet_html(assessment, {.date = made_at}));
  papers.write("measuring.html", report::measuring_sheets_html(assessment, {.date = made_at}));
  papers.write("plan.html", report::repair_plan_html(assessment, {.date = made_at}));
  if (assessment.job.repair) papers.write("warranty.html", report::warranty_record_html(assessment, {.date = made_at}));
  return papers.written();
}

std::vector<std::string> write_pictures(const assess::Reply& reply, const std::string& folder) {
  Folder pictures(folder);
  for (const report::Picture& picture : report::pictures(reply)) pictures.write(picture.name + ".svg", picture.svg);
  return pictures.written();
}

}  // namespace headjoint::cli
