#include "headjoint/report/internal/terminal_readings.h"

#include <algorithm>
#include <cmath>

#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/reading_rows.h"

namespace headjoint::report {
namespace {

constexpr int kBarCells = 20;

void show_readings(TerminalPage& page, const ReadingRows& readings) {
  page.strong(readings.verdict);
  if (!readings.how.empty()) page.paragraph(readings.how);
  std::vector<TerminalPage::Column> columns;
  for (const ReadingColumn& column : readings.columns) columns.push_back({column.short_heading, column.is_number});
  if (!readings.rows.empty()) page.table(columns, readings.rows);
  for (const std::string& note : readings.notes) page.paragraph("- " + plain_text(note), 2, 4);
}

}  // namespace

void show_cautions(TerminalPage& page, const std::vector<assess::Caution>& cautions) {
  page.blank();
  for (const assess::Caution& caution : cautions) page.paragraph(caution_text(caution), 0, 4);
}

void show(TerminalPage& page, const assess::LeakDown& leak_down) {
  page.blank();
  show_readings(page, leak_down_rows(leak_down));
}

void show(TerminalPage& page, const assess::LeakDownReply& reply) {
  show_cautions(page, reply.leak_down.cautions);
  show(page, reply.leak_down);
}

void show(TerminalPage& page, const assess::CrankedEngine& cranked) {
  if (!cranked.repeats.empty()) show_cautions(page, cranked.cautions);
  page.blank();
  show_readings(page, cranked_rows(cranked));
}

void show(TerminalPage& page, const assess::Compression& compression) {
  if (!compression.cautions.empty()) show_cautions(page, compression.cautions);
  page.blank();
  show_readings(page, compression_rows(compression));
}

void show(TerminalPage& page, const assess::Flatness& face) {
  page.blank();
  const FaceWords words = face_words(face);
  page.strong(words.verdict);
  page.paragraph(words.how);
  std::vector<std::vector<std::string>> rows;
  for (const FaceFigure& figure : words.figures) rows.push_back({figure.name, figure.value, figure.origin});
  page.table({{""}, {"mm", true}, {""}}, rows);
  for (const std::string& note : face.notes) page.paragraph("- " + plain_text(note), 2, 4);
}

namespace {

std::string network_verdict(const std::string& status) {
  if (status == "done" || status.empty()) return "Posterior probabilities";
  if (status == "impossible") return "This evidence cannot all be true together: no probabilities are given.";
  return "The probabilities could not be worked out: " + status + ".";
}

}  // namespace

void show(TerminalPage& page, const assess::NetworkReply& network) {
  page.strong(network_verdict(network.status));
  if (!network.contradicting.empty()) page.paragraph("Evidence whose removal would make the rest possible:");
  for (const std::string& name : network.contradicting) page.paragraph("- " + plain_text(name), 2, 4);
  if (std::isfinite(network.log_evidence)) page.paragraph("log evidence " + fixed(network.log_evidence, 6));
  for (const assess::NetworkReply::Node& node : network.posteriors) {
    page.blank();
    page.strong(node.name);
    std::vector<std::vector<std::string>> rows;
    for (const auto& [state, p] : node.states) rows.push_back({fixed(p, 6), chance_bar(p, p, p, kBarCells), state});
    page.table({{"", true}, {""}, {""}}, rows);
  }
}

}  // namespace headjoint::report
