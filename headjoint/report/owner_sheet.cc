#include "headjoint/report/owner_sheet.h"

#include <algorithm>
#include <map>

#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/driving_advice.h"
#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/owner_costs.h"
#include "headjoint/report/internal/paper_parts.h"
#include "headjoint/report/internal/plain_words.h"
#include "headjoint/report/internal/repair_words.h"

namespace headjoint::report {
namespace {

constexpr double kWorthTelling = 0.15;
constexpr double kRaised = 1.5;  ///< other causes are told where the evidence speaks for them
constexpr std::size_t kMostTold = 3;
constexpr std::size_t kLongestNote = 160;  // characters

bool is_liquid(const assess::Assessment& all) { return all.job.engine.general.cooling == joint::CooledBy::kLiquid; }

std::string told(const std::string& text, const assess::Chance& chance) {
  return text + ": " + std::string(chance_words(chance.value)) + ", " + chance_in_hundred(chance.value);
}

std::string how_sure(const assess::Finding& finding) {
  if (finding.status != "done") return paragraph(status_text(finding.status));
  std::vector<std::string> items = {told("That the seal leaks anywhere", finding.joint_failed)};
  for (const assess::Suspect& path : finding.paths)
    if (path.chance.value >= kWorthTelling && items.size() <= kMostTold) items.push_back(told(plain_path(path), path.chance));
  for (const assess::Suspect& rival : finding.rivals)
    if (rival.chance.value >= kWorthTelling && rival.chance.value > kRaised * rival.before && items.size() <= kMostTold)
      items.push_back(told(capitalised(plain_text(rival.text)), rival.chance));
  return bullets(items);
}

std::string hot_coolant_box(const assess::Assessment& all) {
  if (!is_liquid(all)) return {};
  return caution_box({"hot_coolant", "WARNING", "hot coolant under pressure", "it can scald badly",
                      "never open the cap of a hot engine; let it cool until the hose can be held", ""});
}

std::string driving_part(const assess::Assessment& all) {
  const DrivingAdvice advice = driving_advice(all.finding, all.job.engine.general.cooling);
  return "<p class=\"say\">" + xml_text(advice.headline) + "</p>\n" + bullets(advice.reasons) + hot_coolant_box(all);
}

std::string next_part(const assess::Assessment& all) {
  std::vector<std::string> items;
  const std::string costs = owner_costs(all);
  if (!all.next_checks.empty() && costs.find("Check first") == std::string::npos) {
    const assess::NextCheck& check = all.next_checks.front();
    items.push_back("Next check in the workshop: " + check_title(check) + ", about " + duration_text(check.minutes) + ".");
  }
  std::string out = bullets(items) + costs;
  if (items.empty() && costs.empty()) out += paragraph("Ask the workshop: neither a further check nor a repair stands out yet.");
  if (is_liquid(all))
    out += paragraph(
        "Stop-leak poured into the coolant is a way home, not a repair: it can block radiator and heater, it hides the fault, and it may "
        "let go without warning. Tell every workshop if it was used.");
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

/// What was put right, in the order an owner asks.
std::string done_part(const assess::Assessment& all) {
  const jobs::RepairDone& done = *all.job.repair;
  std::vector<std::string> items;
  const auto add = [&](const std::string& name, const std::string& text) {
    if (!text.empty()) items.push_back(name + plain_text(text));
  };
  add("Finished on ", done.date + (done.by.empty() ? "" : (done.date.empty() ? "by " : ", by ") + done.by));
  add("New seal: ", done.gasket);
  std::string cured;
  for (const std::string& cause : done.cured) cured += (cured.empty() ? "" : ", ") + spoken(cause);
  add("Cause put right: ", cured);
  std::string parts;
  for (const std::string& part : done.parts) parts += (parts.empty() ? "" : ", ") + part;
  add("Fitted new: ", parts);
  const auto& removed = done.head_removed ? done.head_removed : all.job.cut.head;
  if (removed && removed->value.si() > 0)
    items.push_back("The sealing face was made flat again; " + plain_text(removed->text) + " of metal came off.");
  add("", shortened(done.note, kLongestNote));
  return items.empty() ? paragraph("The workshop has not written it down.") : bullets(items);
}

/// One line a kind of reading: as it should be, or not.
std::string proof_part(const assess::Proof& proof) {
  std::map<std::string, bool> is_good;
  std::vector<std::string> order;
  bool are_signs_gone = true, are_signs_looked_at = false;
  for (const assess::ProofCheck& check : proof.checks) {
    if (check.verdict.empty() || check.verdict == "void") continue;
    if (check.unit.empty()) {
      are_signs_looked_at = true;
      are_signs_gone = are_signs_gone && !check.is_out();
      continue;
    }
    if (!is_good.contains(check.test)) order.push_back(check.test);
    const bool before = !is_good.contains(check.test) || is_good[check.test];
    is_good[check.test] = before && !check.is_out();
  }
  std::string good;
  std::vector<std::string> items;
  for (const std::string& test : order) {
    const std::string text = plain_check(test);
    if (!is_good[test])
      items.push_back("NOT as it should be: " + text + ".");
    else
      good += (good.empty() ? "" : "; ") + text;
  }
  if (!good.empty()) items.push_back("Measured after the repair and as it should be: " + good + ".");
  if (are_signs_looked_at) items.emplace_back(are_signs_gone ? "What brought it in has gone." : "What brought it in has NOT gone.");
  const std::string chance = proof.fault_remains ? "Chance that something is still wrong: " + chance_in_hundred(*proof.fault_remains) +
                                                       ", as far as these checks see."
                                                 : std::string();
  if (items.empty()) return paragraph("Nothing has been measured since the repair.") + paragraph(chance);
  return bullets(items) + paragraph(chance);
}

std::string watch_part(const assess::Assessment& all) {
  std::vector<std::string> items;
  if (is_liquid(all))
    items = {"Look at the level of the cooling water, engine cold, after the first day, the first week, and then once a month.",
             "When the gauge rises above its usual place, or the heater turns cold: stop, switch off, do not open the cap, ring us.",
             "White clouds that stay when the engine is warm, or cream on the dipstick: ring us."};
  items.emplace_back("Oil level with every second filling of the tank.");
  items.emplace_back("Come back after 500 to 1000 km: we look at levels and seal once more.");
  if (all.job.engine.tightening && all.job.engine.tightening->retighten.value_or(false))
    items.emplace_back("Its maker asks for the bolts to be tightened once more: keep that appointment.");
  return bullets(items) + hot_coolant_box(all);
}

std::string before_repair(const assess::Assessment& all) {
  std::string body = all.finding.status == "done"
                         ? paragraph(plain_verdict(all.finding), "say")
                         : paragraph(all.finding.sentence.empty() ? status_text(all.finding.status) : all.finding.sentence, "say");
  body += section("How sure this is") + how_sure(all.finding);
  body += section("If nothing is done") + driving_part(all);
  body += section("What to do, and what it takes") + next_part(all);
  return body + section("My decision") + choices() + signature();
}

std::string after_repair(const assess::Assessment& all) {
  std::string body;
  const bool is_bad = all.proof && all.proof->says_no();
  const bool is_read = all.proof && all.proof->is_anything_read;
  body +=
      paragraph(is_bad ? "The repair is done, but what was measured afterwards is not yet as it should be: please leave the engine with us."
                : is_read ? "The repair is done, and what was measured afterwards is as it should be."
                          : "The repair is done; it has not been measured yet.",
                "say");
  if (all.finding.status == "done") body += section("What was wrong") + paragraph(plain_verdict(all.finding, true));
  body += section("What was done") + done_part(all);
  if (all.proof) body += section("How we know") + proof_part(*all.proof);
  body += section("What to watch") + watch_part(all);
  if (!all.job.repair->warranty.empty())
    body += paragraph("Promised: " + all.job.repair->warranty + ". Details stand on the warranty record.");
  return body + signature();
}

}  // namespace

std::string owner_sheet_html(const assess::Assessment& all, const PaperStamp& stamp) {
  const std::string body = "<h1>For the owner</h1>\n" + (all.job.repair ? after_repair(all) : before_repair(all));
  return paper_document("Owner's sheet", "owner", all, stamp, body,
                        "<footer><p class=\"muted\">" + xml_text(assess::kBasis) +
                            " The engine maker's procedure, local law and licensed practice come first.</p></footer>\n");
}

}  // namespace headjoint::report
