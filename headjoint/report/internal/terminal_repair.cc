#include "headjoint/report/internal/terminal_repair.h"

#include <algorithm>

#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/repair_words.h"
#include "headjoint/report/internal/terminal_readings.h"

namespace headjoint::report {
namespace {

void show_list(TerminalPage& page, const char* heading, const std::vector<std::string>& items) {
  if (items.empty()) return;
  page.heading(heading);
  for (const std::string& item : items) page.paragraph("- " + plain_text(item), 2, 4);
}

std::string joined(const std::vector<std::string>& items) {
  std::string text;
  for (const std::string& item : items) text += (text.empty() ? "" : ", ") + item;
  return text;
}

void show_section(TerminalPage& page, const assess::PlanSection& section) {
  page.heading(section.title);
  std::vector<std::string> shown;
  for (const assess::PlanStep& step : section.steps) {
    for (const assess::Caution& caution : new_cautions(step.cautions, shown)) page.paragraph(caution_text(caution), 4, 6);
    page.paragraph("[ ] " + plain_text(step.text), 2, 6);
    if (!step.why.empty()) page.paragraph(plain_text(step.why), 8);
  }
}

std::string number_or_blank(const std::optional<double>& value, int decimals) { return value ? fixed(*value, decimals) : "-"; }

void show_bolts(TerminalPage& page, const std::vector<assess::MeasuredBolt>& bolts) {
  if (bolts.empty()) return;
  page.heading("Measured bolts");
  std::vector<std::vector<std::string>> rows;
  for (const assess::MeasuredBolt& bolt : bolts)
    rows.push_back({std::to_string(bolt.number), fixed(bolt.length_mm, 2),
                    number_or_blank(bolt.stretch_low_mm, 2) + " to " + number_or_blank(bolt.stretch_high_mm, 2), bolt.verdict});
  page.table({{"bolt"}, {"length mm", true}, {"stretch mm", true}, {""}}, rows);
}

void show_checks(TerminalPage& page, const assess::Proof& proof) {
  page.heading(proof.is_anything_read ? "Readings after the repair" : "Readings to expect after the repair");
  std::vector<std::vector<std::string>> rows;
  for (const assess::ProofCheck& check : proof.checks)
    rows.push_back({check.verdict.empty() && !proof.is_anything_read ? check.expected_text : proof_verdict(check),
                    plain_text(check.reading.empty() ? "-" : check.reading), accepted_text(check), plain_text(check.check)});
  page.table({{proof.is_anything_read ? "verdict" : "expected"}, {"read"}, {"accepted"}, {"reading"}}, rows);
  std::vector<std::string> whys;
  for (const assess::ProofCheck& check : proof.checks) {
    if (check.unit.empty()) continue;
    const std::string why = spoken(check.test) + ": " + check.why + ".";
    if (std::find(whys.begin(), whys.end(), why) == whys.end()) whys.push_back(why);
  }
  show_list(page, "Where the limits come from", whys);
}

void show_remaining(TerminalPage& page, const assess::Proof& proof) {
  if (proof.remaining.empty()) return;
  page.heading("What may remain");
  std::vector<std::vector<std::string>> rows;
  for (const assess::RemainingFault& fault : proof.remaining)
    rows.push_back({chance_text(fault.before), "x " + fixed(fault.factor, fault.factor < 1 ? 3 : 1), chance_text(fault.chance),
                    capitalised(plain_text(fault.text)) + " (" + plain_text(fault.why) + ")"});
  page.table({{"by the work", true}, {"readings", true}, {"now", true}, {"fault"}}, rows);
  std::vector<std::string> undone;
  for (const assess::LeftUndone& one : proof.left_undone)
    undone.push_back(capitalised(one.text) + " (odds x " + fixed(one.factor, 1) + ")" + (one.mend.empty() ? "." : ": " + one.mend + "."));
  show_list(page, "What makes a second failure likelier", undone);
}

}  // namespace

void show(TerminalPage& page, const assess::RepairPlan& plan) {
  page.strong(plain_text(plan.sentence));
  page.paragraph("Bolts: " + plain_text(plan.bolts_why));
  for (const assess::PlanSection& section : plan.sections) show_section(page, section);
  show_bolts(page, plan.measured_bolts);
  if (!plan.missing.empty()) {
    page.heading("Fuller with these keys of the engine file");
    page.paragraph(joined(plan.missing), 2);
  }
  page.blank();
  page.paragraph("The engine maker's procedure, local law and licensed practice come first.");
}

void show(TerminalPage& page, const assess::Proof& proof) {
  page.strong(plain_text(proof.sentence));
  if (proof.ratio_before && proof.ratio_after)
    page.paragraph("Compression ratio " + fixed(*proof.ratio_before, 2) + " before, " + fixed(*proof.ratio_after, 2) + " after.");
  std::vector<std::string> shown;
  if (!proof.still_to_take.empty()) show_cautions(page, new_cautions(proof.cautions, shown));
  show_checks(page, proof);
  show_remaining(page, proof);
  if (proof.is_anything_read || proof.is_repaired) show_list(page, "Still to take", proof.still_to_take);
  show_list(page, "Not counted", proof.not_counted);
  show_list(page, "To note", proof.notes);
  if (!proof.missing.empty()) {
    page.heading("Closer with these keys of the engine file");
    page.paragraph(joined(proof.missing), 2);
  }
  page.blank();
  page.paragraph(std::string(assess::kBasis) + " The engine maker's limits come first.");
}

}  // namespace headjoint::report
