#include "headjoint/report/warranty_record.h"

#include <algorithm>

#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/paper_parts.h"
#include "headjoint/report/internal/repair_words.h"

namespace headjoint::report {
namespace {

std::string joined(const std::vector<std::string>& items) {
  std::string text;
  for (const std::string& item : items) text += (text.empty() ? "" : ", ") + spoken(item);
  return text;
}

std::string bolts_words(const std::string& bolts) {
  return bolts == "new" ? "new" : bolts == "measured" ? "used again after measuring" : bolts == "used" ? "used again, not measured" : "";
}

std::string found_part(const assess::Assessment& all) {
  std::vector<std::string> items;
  if (all.finding.status == "done") items.push_back(all.finding.sentence);
  for (const jobs::Seen& seen : all.job.seen)
    if (seen.kind != "sound") items.push_back(seen_text(seen));
  return items.empty() ? std::string() : section("What was found") + bullets(items);
}

std::string taken_on(const jobs::Job& job) {
  std::vector<std::string> dates;
  for (const jobs::Reading& reading : job.proof_readings)
    if (!reading.taken.empty() && std::find(dates.begin(), dates.end(), reading.taken) == dates.end()) dates.push_back(reading.taken);
  return dates.empty() ? "" : "Readings taken " + joined(dates) + ".";
}

}  // namespace

std::string repair_part(const assess::Assessment& all) {
  if (!all.job.repair) return {};
  const jobs::RepairDone& done = *all.job.repair;
  HtmlTable table("Work and parts", {{""}, {""}});
  const auto add = [&](const char* name, const std::string& text) {
    if (!text.empty()) table.row({name, text});
  };
  add("done on", done.date);
  add("by", done.by);
  add("mileage", done.mileage);
  add("gasket", done.gasket);
  add("head bolts", bolts_words(done.bolts));
  const auto removed = [&](const char* name, const joint::OptionalFigure<Length>& figure) {
    if (figure && figure->value.si() > 0) add(name, figure->text);
  };
  removed("off the head", done.head_removed ? done.head_removed : all.job.cut.head);
  removed("off the deck", done.deck_removed ? done.deck_removed : all.job.cut.deck);
  add("work", joined(done.done));
  add("causes put right", joined(done.cured));
  add("parts fitted", joined(done.parts));
  add("note", done.note);
  return section("What was done") + table.html();
}

std::string proof_part(const assess::Proof& proof) {
  HtmlTable table("Read after the repair", {{"reading"}, {"read", true}, {"accepted", true}, {"", false, true}});
  for (const assess::ProofCheck& check : proof.checks)
    if (!check.reading.empty()) table.row({capitalised(check.check), check.reading, accepted_text(check), proof_verdict(check)});
  std::string out = section("Proof") + paragraph(proof.sentence);
  out += table.is_empty() ? paragraph("Nothing has been read since the repair.") : table.html();
  HtmlTable faults("What may remain", {{"fault"}, {"by the work", true}, {"readings", true}, {"now", true}, {"from"}});
  for (const assess::RemainingFault& fault : proof.remaining)
    faults.row({capitalised(plain_text(fault.text)), chance_text(fault.before), "x " + fixed(fault.factor, fault.factor < 1 ? 3 : 1),
                chance_text(fault.chance), fault.why});
  if (!faults.is_empty()) out += faults.html();
  std::vector<std::string> undone;
  for (const assess::LeftUndone& one : proof.left_undone)
    undone.push_back(capitalised(one.text) + (one.mend.empty() ? "." : ": " + one.mend + "."));
  if (!undone.empty()) out += "<h3>What makes a second failure likelier</h3>\n" + bullets(undone);
  if (!proof.still_to_take.empty()) out += "<h3>Not read</h3>\n" + bullets(proof.still_to_take);
  return out;
}

std::string warranty_record_html(const assess::Assessment& all, const PaperStamp& stamp) {
  std::string body = "<h1>Warranty record</h1>\n";
  if (!all.job.repair) {
    body += paragraph("Nothing is repaired yet: there is nothing to promise.");
    return paper_document("Warranty record", "shop", all, stamp, body);
  }
  if (!all.job.repair->warranty.empty()) body += paragraph("Promised: " + all.job.repair->warranty + ".", "say");
  body += found_part(all) + repair_part(all);
  if (all.proof) body += proof_part(*all.proof) + paragraph(taken_on(all.job));
  body +=
      section("Holds as long as") +
      bullets({"level and gauge are watched as the owner's sheet says, and the engine is switched off when it gets hot",
               "nothing is poured into the cooling system but the coolant named here", "the work is shown to us before anyone opens it"});
  if (!all.job_hash.empty()) body += paragraph("Job as it was when this was printed: SHA-256 " + all.job_hash + ".", "muted");
  body += signature();
  return paper_document("Warranty record", "shop", all, stamp, body);
}

}  // namespace headjoint::report
