#include "headjoint/report/repair_plan_sheet.h"

#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/paper_parts.h"
#include "headjoint/report/internal/repair_words.h"
#include "headjoint/report/seen_plan.h"

namespace headjoint::report {
namespace {

std::string step(const assess::PlanStep& step, std::vector<std::string>& shown) {
  std::string out;
  for (const assess::Caution& caution : new_cautions(step.cautions, shown)) out += caution_box(caution);
  out += "<p class=\"step\"><span class=\"tick\"></span>" + isolated(step.text);
  if (!step.why.empty()) out += " <span class=\"muted\">" + isolated(step.why) + "</span>";
  return out + "</p>\n";
}

std::string bolts_table(const std::vector<assess::MeasuredBolt>& bolts) {
  HtmlTable table("Bolts measured", {{"bolt", false, true}, {"length mm", true}, {"stretched by mm", true}, {"", false, true}, {"why"}});
  for (const assess::MeasuredBolt& bolt : bolts) {
    const std::string stretch = bolt.stretch_low_mm ? fixed(*bolt.stretch_low_mm, 2) + " to " + fixed(*bolt.stretch_high_mm, 2) : "";
    table.row({std::to_string(bolt.number), fixed(bolt.length_mm, 2), stretch, bolt.verdict, bolt.why});
  }
  return table.is_empty() ? "" : table.html();
}

std::string joined(const std::vector<std::string>& items) {
  std::string text;
  for (const std::string& item : items) text += (text.empty() ? "" : ", ") + item;
  return text;
}

}  // namespace

std::string repair_plan_html(const assess::Assessment& all, const PaperStamp& stamp) {
  std::string body = "<h1>Plan of the repair</h1>\n" + paragraph(all.plan.sentence, "say");
  for (const assess::PlanSection& part : all.plan.sections) {
    body += section(part.title);
    std::vector<std::string> shown;
    for (const assess::PlanStep& one : part.steps) body += step(one, shown);
  }
  const bool are_used_once = all.job.engine.bolts && all.job.engine.bolts->single_use.value_or(false);
  if (!are_used_once) body += bolts_table(all.plan.measured_bolts);
  if (!all.plan.missing.empty())
    body += paragraph("Blanks are filled by these keys of the engine file: " + joined(all.plan.missing) + ".", "muted");
  return paper_document(
      "Plan of the repair", "shop", all, stamp, body,
      "<footer><p class=\"muted\">The engine maker's procedure, local law and licensed practice come before anything on this "
      "paper. Lines without another origin are common practice.</p></footer>\n");
}

std::string strip_down_part(const assess::Assessment& all) {
  const jobs::Job& job = all.job;
  if (job.seen.empty() && job.strip_down.is_empty() && job.photos.empty()) return {};
  std::string out = section("Strip-down");
  const jobs::StripDown& strip = job.strip_down;
  std::string head = strip.date.empty() ? "" : "Taken apart on " + strip.date + (strip.by.empty() ? "" : " by " + strip.by) + ". ";
  if (!strip.gasket_side_up.empty()) head += "Gasket: the " + strip.gasket_side_up + " side up. ";
  out += paragraph(head + strip.note);
  if (!job.seen.empty())
    out += "<figure tabindex=\"0\">" + seen_plan_svg(job.engine, job.seen, plan_options_for_paper("seen")) + "</figure>\n" +
           seen_table_html(job.seen);
  out += bolts_table(all.plan.measured_bolts);
  HtmlTable liners("Liner protrusion", {{"cylinder"}, {"as measured", true}});
  for (std::size_t i = 0; i < strip.liner_protrusions.size(); ++i)
    if (strip.liner_protrusions[i]) liners.row({std::to_string(i + 1), strip.liner_protrusions[i]->text});
  if (!liners.is_empty()) out += liners.html();
  HtmlTable photos("Photographs kept with the job", {{"name"}, {"where"}, {"caption"}, {"taken", false, true}});
  for (const jobs::Photo& photo : job.photos) photos.row({photo.name, seen_where(photo.where), photo.caption, photo.taken});
  return photos.is_empty() ? out : out + photos.html();
}

}  // namespace headjoint::report
