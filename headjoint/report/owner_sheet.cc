#include "headjoint/report/owner_sheet.h"

#include <algorithm>

#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/driving_advice.h"
#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/paper_parts.h"

namespace headjoint::report {
namespace {

constexpr double kWorthTelling = 0.15;
constexpr std::size_t kMostTold = 3;
constexpr std::size_t kMostSteps = 3;
constexpr std::size_t kLongestSentence = 300;  // characters

/// "61", "more than 99": the number of `chance_in_hundred` alone.
std::string hundredths(double probability) {
  const std::string text = chance_in_hundred(probability);
  return text.substr(0, text.find(" in 100"));
}

std::string told(const assess::Suspect& suspect) {
  const std::string range = suspect.chance.low <= suspect.chance.high
                                ? " (range " + hundredths(suspect.chance.low) + " to " + hundredths(suspect.chance.high) + ")"
                                : "";
  return capitalised(plain_text(suspect.text)) + ": " + std::string(chance_words(suspect.chance.value)) + ", " +
         chance_in_hundred(suspect.chance.value) + range;
}

std::string how_sure(const assess::Finding& finding) {
  if (finding.status != "done") return paragraph(status_text(finding.status));
  std::vector<std::string> items;
  for (const std::vector<assess::Suspect>* list : {&finding.paths, &finding.rivals}) {
    for (const assess::Suspect& suspect : *list) {
      if (suspect.chance.value >= kWorthTelling && items.size() < kMostTold) items.push_back(told(suspect));
    }
  }
  return paragraph("That the joint between cylinder head and engine block leaks anywhere: " +
                   std::string(chance_words(finding.joint_failed.value)) + ", " + chance_in_hundred(finding.joint_failed.value) + ".") +
         bullets(items) + (items.empty() ? paragraph("No single cause stands out yet.") : "");
}

std::string driving_part(const assess::Assessment& all) {
  const DrivingAdvice advice = driving_advice(all.finding, all.job.engine.general.cooling);
  std::string out = "<p class=\"say\">" + xml_text(advice.headline) + "</p>\n" + bullets(advice.reasons);
  if (all.job.engine.general.cooling == joint::CooledBy::kLiquid) {
    out += caution_box({"hot_coolant", "WARNING", "hot coolant under pressure", "it can scald badly",
                        "never open the cap of a hot engine; let it cool until the hose can be held", ""});
  }
  return out;
}

std::string next_part(const assess::Assessment& all) {
  std::vector<std::string> items;
  if (!all.next_checks.empty()) {
    const assess::NextCheck& check = all.next_checks.front();
    items.push_back("Next check in the workshop: " + check_title(check) + ", about " + duration_text(check.minutes) + ".");
  }
  for (const assess::RepairOption& option : all.options) {
    if (!option.is_advised || items.size() >= kMostSteps) continue;
    items.push_back("Advised: " + plain_text(option.text) + ", about " + duration_text(option.put_right) + ".");
  }
  if (items.empty()) items.push_back("Ask the workshop: neither a further check nor a repair stands out yet.");
  const bool has_advice =
      std::any_of(all.options.begin(), all.options.end(), [](const assess::RepairOption& option) { return option.is_advised; });
  std::string out = bullets(items);
  if (has_advice) out += paragraph("Times are orders of magnitude, parts counted as working time; this is not a quotation.");
  if (all.job.engine.general.cooling == joint::CooledBy::kLiquid) {
    out += paragraph(
        "Stop-leak poured into the coolant is a way home, not a repair: it can block radiator and heater, it hides the fault, and it may "
        "let go without warning. Tell every workshop if it was used.");
  }
  return out;
}

std::string choices() {
  std::string out = "<ul class=\"choices\">";
  for (const std::string_view choice :
       {"make the next check", "repair as advised", "leave it as it is; I have read what this means for running the engine"}) {
    out += "<li><span class=\"tick\"></span>" + xml_text(choice) + "</li>";
  }
  return out + "</ul>\n";
}

}  // namespace

std::string owner_sheet_html(const assess::Assessment& all, const PaperStamp& stamp) {
  std::string body = "<h1>For the owner</h1>\n" + paragraph(shortened(all.finding.sentence, kLongestSentence), "say");
  body += section("How sure this is") + how_sure(all.finding);
  body += section("May it be run?") + driving_part(all);
  body += section("What to do next") + next_part(all);
  body += section("My decision") + choices() + signature();
  return paper_document("Owner's sheet", "owner", all, stamp, body);
}

}  // namespace headjoint::report
