#include "headjoint/report/internal/terminal_cooling.h"

#include <cmath>

#include "headjoint/assess/figure_words.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/terminal_readings.h"

namespace headjoint::report {
namespace {

using Rows = std::vector<std::vector<std::string>>;
using assess::two_digits;
constexpr const char* kDefer = "The engine maker's procedure, local law and licensed practice come first.";

std::string range(const assess::Band& band, int decimals) {
  return std::isfinite(band.low) && std::isfinite(band.high) ? fixed(band.low, decimals) + " to " + fixed(band.high, decimals) : "";
}

std::string small_range(const assess::Band& band) {
  if (!std::isfinite(band.high)) return "from " + two_digits(band.low);
  return band.low > 0 ? two_digits(band.low) + " to " + two_digits(band.high) : "up to " + two_digits(band.high);
}

/// A temperature or a difference of temperatures.
void add_figure(Rows& rows, const std::string& name, const assess::Band& band) {
  rows.push_back({name, fixed(band.value, 0), std::isfinite(band.value) ? range(band, 0) : "not known"});
}

void add_leak(Rows& rows, const std::string& name, const assess::LeakSize& leak) {
  const bool ran = leak.status == "measured";
  rows.push_back({name, ran ? two_digits(leak.area_mm2.value) : "", leak.status == "not run" ? "" : small_range(leak.area_mm2),
                  std::isfinite(leak.smallest_mm2) ? two_digits(leak.smallest_mm2) : "none", leak.status});
}

const std::vector<TerminalPage::Column>& leak_columns() {
  static const std::vector<TerminalPage::Column> columns = {
      {"leak"}, {"mm²", true}, {"range mm²", true}, {"least seen mm²", true}, {"status"}};
  return columns;
}

void list(TerminalPage& page, const char* heading, const std::vector<std::string>& lines) {
  if (lines.empty()) return;
  page.heading(heading);
  for (const std::string& line : lines) page.paragraph("- " + plain_text(line), 2, 4);
}

/// Cautions, the answer, its table, what it means and cannot mean, what was assumed.
void page_of(TerminalPage& page, const assess::Meaning& meaning, const std::vector<TerminalPage::Column>& columns, const Rows& rows) {
  page.strong(plain_text(meaning.sentence));
  if (!rows.empty()) {
    page.blank();
    page.table(columns, rows);
  }
  list(page, "What it means", meaning.means);
  list(page, "What it cannot mean", meaning.cannot_mean);
  list(page, "Assumed, because not given", meaning.assumed);
  if (!meaning.cautions.empty()) page.heading("Before doing it, or doing it again");
  show_cautions(page, meaning.cautions);
  page.paragraph(kDefer);
}

}  // namespace

void show(TerminalPage& page, const assess::BoilingReply& reply) {
  Rows rows;
  if (reply.cap_bar > 0) {
    add_figure(rows, "boils, cap good", reply.boiling_degC);
    add_figure(rows, "boils, cap worn to its limit", reply.boiling_worn_cap_degC);
  }
  add_figure(rows, "boils, no cap", reply.boiling_no_cap_degC);
  add_figure(rows, "first ice", reply.freezing_degC);
  page_of(page, reply.meaning, {{""}, {"°C", true}, {"range °C"}}, rows);
}

void show(TerminalPage& page, const assess::PressureHoldReply& reply) {
  Rows rows;
  add_leak(rows, "if coolant leaks", reply.liquid);
  add_leak(rows, "if air leaks", reply.gas);
  page_of(page, reply.meaning, leak_columns(), rows);
}

void show(TerminalPage& page, const assess::ColdRiseReply& reply) {
  Rows rows;
  if (reply.leak.status != "not run") add_leak(rows, "combustion gas", reply.leak);
  page_of(page, reply.meaning, leak_columns(), rows);
}

void show(TerminalPage& page, const assess::GasTestReply& reply) {
  Rows rows;
  if (reply.colour) add_leak(rows, "by colour", reply.colour->leak);
  if (reply.bubbles) add_leak(rows, "by bubbles", reply.bubbles->leak);
  page_of(page, reply.meaning, leak_columns(), rows);
}

void show(TerminalPage& page, const assess::OilWaterReply& reply) { page_of(page, reply.meaning, {}, {}); }

void show(TerminalPage& page, const assess::WhiteVapourReply& reply) { page_of(page, reply.meaning, {}, {}); }

}  // namespace headjoint::report
