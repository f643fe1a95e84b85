#include "headjoint/report/record.h"

#include <algorithm>

#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/cut_rows.h"
#include "headjoint/report/internal/figures_table.h"
#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/job_tables.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/paper_parts.h"
#include "headjoint/report/internal/pictures_compression.h"
#include "headjoint/report/internal/reading_rows.h"
#include "headjoint/report/joint_plan.h"
#include "headjoint/report/repair_plan_sheet.h"
#include "headjoint/report/warranty_record.h"

namespace headjoint::report {
namespace {

constexpr std::size_t kFewestPaths = 3;
constexpr std::size_t kMostChecks = 6;
constexpr std::size_t kMostWeights = 24;
constexpr std::size_t kMostPointsListed = 200;
constexpr int kWriteInLines = 4;

std::string finding_part(const assess::Assessment& all) {
  const assess::Finding& finding = all.finding;
  std::string out = "<h1>Finding</h1>\n" + paragraph(finding.sentence, "say") + paragraph(status_text(finding.status), "say");
  out += "<figure tabindex=\"0\">" +
         breach_plan_svg(all.job.engine, finding.status == "done" ? finding : assess::Finding{}, plan_options_for_paper("breach"));
  out +=
      "<figcaption>The joint from above. A heavier zigzag is a likelier breach; the number is its chance. Round: coolant; square: pressure "
      "oil; slot: oil drain; " +
      std::string("circle and cross: bolt.</figcaption></figure>\n");
  if (finding.status != "done") return out;
  out += paragraph("Chance that the joint leaks anywhere: " + chance_text(finding.joint_failed.value) + " (range " +
                   range_text(finding.joint_failed) + "), " + std::string(chance_words(finding.joint_failed.value)) + ".");
  out += suspects_table("Seal paths", worth_showing(finding.paths, kFewestPaths));
  out += suspects_table("Why the joint may have failed", worth_showing(finding.causes, 0));
  out += suspects_table("Other causes", worth_showing(finding.rivals, 1));
  return out + paragraph("\"Before\" is the chance before any evidence of this job; the bracket over a bar is the range. " +
                             std::string(assess::kBasis),
                         "muted");
}

std::string check_part(const assess::NextCheck& check, std::size_t number) {
  std::string out = "<div class=\"check\">";
  for (const assess::Caution& caution : check.cautions) out += caution_box(caution);
  out += "<h3>" + std::to_string(number) + ". " + isolated(check_title(check)) + "</h3>\n";
  out += paragraph("Takes " + (check.minutes < 0.5 ? "no time to speak of" : duration_text(check.minutes)) + ", costs " +
                   duration_text(check.cost) + ", expected to save " + duration_text(check.value) + ": net " +
                   signed_fixed(check.net_value, 0) + " workshop minutes.");
  if (!check.question.empty()) out += paragraph("Question: " + check.question);
  if (!check.why.empty()) out += paragraph("Why: " + check.why);
  if (!check.cannot_see.empty()) out += paragraph("Cannot show: " + check.cannot_see);
  return out + "<p><span class=\"tick\"></span>Done. Seen or measured:</p>" + write_in_lines(1) + "</div>\n";
}

std::string checks_part(const std::vector<assess::NextCheck>& checks) {
  std::string out = section("Next checks");
  if (checks.empty()) return out + paragraph("No further check is expected to save more than it costs.");
  for (std::size_t i = 0; i < std::min(kMostChecks, checks.size()); ++i) out += check_part(checks[i], i + 1);
  return out;
}

std::string weights_part(const assess::Finding& finding) {
  if (finding.for_and_against.empty() && finding.conflicts.empty() && finding.not_counted.empty()) return {};
  std::string out = section("What speaks for and against");
  HtmlTable table("Weights are powers of ten by which the odds change", {{"sign or reading"}, {"about"}, {"speaks"}, {"weight", true}});
  for (const WeightGroup& group : grouped(finding.for_and_against, kMostWeights)) {
    for (const assess::Weight& weight : group.weights) table.row({weight.text, weight.about, weight.words, signed_fixed(weight.weight, 1)});
  }
  if (!table.is_empty()) out += table.html();
  std::vector<std::string> conflicts;
  for (const assess::Conflict& conflict : finding.conflicts) conflicts.push_back(conflict.text);
  if (!conflicts.empty()) out += "<h3>Sits badly with the rest</h3>\n" + bullets(conflicts);
  if (!finding.not_counted.empty()) out += "<h3>Not counted</h3>\n" + bullets(finding.not_counted);
  return out;
}

std::string reading_part(const ReadingRows& readings) {
  std::vector<HtmlColumn> columns;
  for (const ReadingColumn& column : readings.columns) columns.push_back({column.heading, column.is_number});
  HtmlTable table(readings.verdict, columns);
  for (const auto& row : readings.rows) table.row(row);
  return table.html() + paragraph(readings.how) + bullets(readings.notes);
}

std::string compression_figures(const assess::Compression& compression) {
  std::string out;
  for (const Picture& picture : draw(compression)) {
    out += "<figure tabindex=\"0\">" + picture.svg + "<figcaption>" + xml_text(picture.title) +
           (picture.name == "pressure" ? ", by the cranking model" : ": dot, what the reading means; line, where it may lie") +
           ".</figcaption></figure>\n";
    if (picture.name == "pressure") out += picture.table_html;  // the areas stand in the table of the readings
  }
  return out;
}

std::string readings_part(const assess::Assessment& all) {
  const std::string taken = readings_as_taken(all.job);
  if (!all.compression && !all.leak_down && taken.empty()) return {};
  std::string out = section("Readings") + taken;
  if (all.compression) out += reading_part(compression_rows(*all.compression)) + compression_figures(*all.compression);
  if (all.leak_down) out += reading_part(leak_down_rows(*all.leak_down));
  return out;
}

std::string face_part(const assess::Assessment& all, const assess::Flatness& face, std::size_t number) {
  const FaceWords words = face_words(face);
  HtmlTable table(words.verdict, {{"figure"}, {"mm", true}, {"origin"}});
  for (const FaceFigure& figure : words.figures) table.row({figure.name, figure.value, figure.origin});
  std::string out = paragraph(words.how) + table.html();
  if (!face.face.empty()) {
    out += "<figure tabindex=\"0\">" + face_plan_svg(all.job.engine, face, plan_options_for_paper("face" + std::to_string(number))) +
           "<figcaption>Triangle up: high; triangle down: low; filled: outermost band. Seen from above, as fitted.</figcaption></figure>\n";
  }
  if (!face.face.empty() && face.face.size() <= kMostPointsListed) out += face_plan_table_html(face);
  return out + bullets(face.notes);
}

std::string faces_part(const assess::Assessment& all) {
  if (all.faces.empty()) return {};
  std::string out = section("Faces");
  for (std::size_t i = 0; i < all.faces.size(); ++i) out += face_part(all, all.faces[i], i + 1);
  return out;
}

std::string cut_part(const assess::AfterSkim& answer) {
  HtmlTable table(cut_asked(answer), {{"lengths in mm"}, {"before", true}, {"after", true}, {"limit", true}, {"verdict", false, true}});
  for (const assess::CutLine& line : answer.lines) {
    const CutRow row = cut_row(line);
    table.row({row.name, row.before, row.after, row.limit, row.verdict});
  }
  std::vector<std::string> notes = cut_remedies(answer);
  for (const auto& more : {cut_notes(answer), cut_unknowns(answer)}) notes.insert(notes.end(), more.begin(), more.end());
  return section("After the cut") + paragraph(answer.sentence) + table.html() + bullets(notes);
}

std::string options_part(const std::vector<assess::RepairOption>& options) {
  const auto shown = worth_showing(options);
  if (shown.empty()) return {};
  HtmlTable table("Workshop time",
                  {{"repair"}, {"chance that it is needed", true}, {"to do it", true}, {"expected loss if left", true}, {"advice"}});
  for (const assess::RepairOption& option : shown) {
    table.row({option.text, chance_text(option.chance), duration_text(option.put_right), duration_text(option.left),
               option.advice.empty() ? (option.is_advised ? "advised" : "not yet") : option.advice});
  }
  return section("Repairs") + table.html() +
         paragraph("Times are orders of magnitude, parts counted as working time; this is not a quotation. " + std::string(assess::kBasis),
                   "muted") +
         paragraph("Stop-leak is a way home, not a repair.");
}

std::string warnings_part(const Problems& warnings) {
  if (warnings.empty()) return {};
  std::vector<std::string> items;
  for (const Problem& warning : warnings) items.push_back(to_string(warning));
  return section("Warnings from reading the files") + bullets(items);
}

/// What this paper was made from and by what.
std::string origin_part(const assess::Assessment& all) {
  if (all.job_hash.empty()) return {};
  return section("Made from") + paragraph("headjoint " + all.version + "; job as the program writes it, SHA-256 " + all.job_hash +
                                          ". The same job and program give the same record.");
}

}  // namespace

std::string record_html(const assess::Assessment& all, const PaperStamp& stamp) {
  std::string body = finding_part(all) + checks_part(all.next_checks) + weights_part(all.finding) + readings_part(all) + faces_part(all);
  if (all.after_skim) body += cut_part(*all.after_skim);
  body += options_part(all.options) + strip_down_part(all) + repair_part(all);
  if (all.proof && all.job.repair) body += proof_part(*all.proof);
  body += job_part(all.job) + figures_part(all.job.engine) + warnings_part(all.warnings) + origin_part(all);
  body += "<div class=\"check\">" + section("Notes") + write_in_lines(kWriteInLines) + signature() + "</div>\n";
  return paper_document("Record", "record", all, stamp, body);
}

}  // namespace headjoint::report
