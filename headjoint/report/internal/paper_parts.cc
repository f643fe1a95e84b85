#include "headjoint/report/internal/paper_parts.h"

#include <algorithm>
#include <cmath>

#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/terminal_text.h"

namespace headjoint::report {
namespace {

constexpr std::size_t kKeptWhole = 8;  // rows of chances that stay on one page

std::string job_name(const assess::Assessment& all) {
  return all.job.number.empty() ? "Job without a number" : "Job " + plain_text(all.job.number);
}

std::string engine_name(const assess::Assessment& all) {
  return all.job.engine.name.empty() ? "engine without a name" : plain_text(all.job.engine.name);
}

std::string program(const assess::Assessment& all) { return "headjoint" + (all.version.empty() ? "" : " " + plain_text(all.version)); }

std::string title_cell(const std::string& label, const std::string& text) {
  return "<div><small>" + xml_text(label) + "</small>" + isolated(text.empty() ? "not given" : text) + "</div>";
}

std::string title_block(std::string_view kind, const assess::Assessment& all, const PaperStamp& stamp) {
  std::string out = "<header class=\"title\"><div><small>" + isolated(job_name(all));
  if (!all.job.title.empty()) out += " · " + isolated(all.job.title);
  out += "</small><strong>" + isolated(engine_name(all)) + "</strong></div>";
  out += title_cell("Paper", std::string(kind)) + title_cell("Date", stamp.date) + title_cell("Program", program(all));
  return out + "</header>\n";
}

/// Bar of 100 units with the range as a bracket over it.
std::string bar(const assess::Chance& chance) {
  const auto at = [](double share) { return coordinate(2 + 100 * (std::isfinite(share) ? std::clamp(share, 0.0, 1.0) : 0)); };
  const auto wide = [](double share) { return coordinate(100 * (std::isfinite(share) ? std::clamp(share, 0.0, 1.0) : 0)); };
  std::string out = "<svg class=\"bar\" viewBox=\"0 0 104 10\" preserveAspectRatio=\"none\" aria-hidden=\"true\">";
  out += "<rect class=\"fill\" x=\"2\" y=\"4\" width=\"" + wide(chance.value) + "\" height=\"5\" fill=\"#1c1f24\"/>";
  out += "<rect class=\"frame\" x=\"2\" y=\"4\" width=\"100\" height=\"5\" fill=\"none\" stroke=\"#1c1f24\" stroke-width=\"0.5\"/>";
  out += "<path class=\"range\" d=\"M" + at(chance.low) + " 3.4V0.6M" + at(chance.low) + " 2H" + at(chance.high) + "M" + at(chance.high) +
         " 0.6V3.4\" fill=\"none\" stroke=\"#1c1f24\" stroke-width=\"0.7\"/>";
  return out + "</svg>";
}

}  // namespace

std::string paper_document(std::string_view kind, std::string_view layout, const assess::Assessment& all, const PaperStamp& stamp,
                           const std::string& body, const std::string& footer) {
  const std::string name = job_name(all) + " · " + engine_name(all);
  std::string out =
      "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"/><meta name=\"viewport\" "
      "content=\"width=device-width,initial-scale=1\"/>";
  out += "<title>" + xml_text(std::string(kind) + ": " + name) + "</title><style>" + std::string(paper_style()) + "</style></head>\n<body>";
  out += "<table class=\"running\" role=\"presentation\"><thead><tr><td><div class=\"runhead\"><span>" + isolated(name) + "</span><span>" +
         isolated(std::string(kind) + " · " + stamp.date) + "</span></div></td></tr></thead><tbody><tr><td>\n";
  out += title_block(kind, all, stamp) + "<div role=\"main\" class=\"" + std::string(layout) + "\">\n" + body + "</div>\n" +
         (footer.empty() ? basis(all) : footer);
  return out + "</td></tr></tbody></table></body></html>\n";
}

std::string section(std::string_view heading) { return "<h2>" + xml_text(heading) + "</h2>\n"; }

std::string paragraph(std::string_view text, std::string_view name) {
  if (text.empty()) return {};
  return (name.empty() ? "<p>" : "<p class=\"" + std::string(name) + "\">") + isolated(text) + "</p>\n";
}

std::string bullets(const std::vector<std::string>& items) {
  if (items.empty()) return {};
  std::string out = "<ul>";
  for (const std::string& item : items) out += "<li>" + isolated(item) + "</li>";
  return out + "</ul>\n";
}

std::string caution_box(const assess::Caution& caution) {
  return "<p class=\"caution\"><strong>" + xml_text(caution.level) + "</strong>" + isolated(caution_message(caution)) + "</p>\n";
}

std::string suspects_table(std::string_view caption, const std::vector<assess::Suspect>& suspects) {
  if (suspects.empty()) return {};
  std::string out = "<table class=\"data chances" + std::string(suspects.size() <= kKeptWhole ? " short" : "") + "\"><caption>" +
                    xml_text(caption) + "</caption><thead><tr><th scope=\"col\">what</th><th scope=\"col\">chance and range, 0 to 1</th>" +
                    "<th scope=\"col\" class=\"n\">chance</th><th scope=\"col\" class=\"n\">range</th><th scope=\"col\" "
                    "class=\"n\">before</th></tr></thead><tbody>\n";
  for (const assess::Suspect& suspect : suspects) {
    out += "<tr><th scope=\"row\">" + isolated(capitalised(plain_text(suspect.text))) + "</th><td>" + bar(suspect.chance) +
           "</td><td class=\"n big\">" + xml_text(chance_text(suspect.chance.value)) + "</td><td class=\"n\">" +
           xml_text(range_text(suspect.chance)) + "</td><td class=\"n\">" + xml_text(chance_text(suspect.before)) + "</td></tr>\n";
  }
  return out + "</tbody></table>\n";
}

std::string write_in_lines(int count) {
  std::string out;
  for (int i = 0; i < count; ++i) out += "<div class=\"write\"></div>";
  return out + "\n";
}

std::string signature() {
  return "<div class=\"sign\"><div><div class=\"write\"></div>name</div><div><div class=\"write\"></div>date</div></div>\n";
}

std::string basis(const assess::Assessment& all) {
  return "<footer><p class=\"muted\">" + xml_text(assess::kBasis) + " The range is what one step in any one strength would change. " +
         "The engine maker's procedure and limits, local law and licensed practice come before anything on this paper. " +
         xml_text(program(all)) + ".</p></footer>\n";
}

}  // namespace headjoint::report
