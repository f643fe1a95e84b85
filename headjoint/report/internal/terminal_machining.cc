#include "headjoint/report/internal/terminal_machining.h"

#include <cmath>
#include <string>
#include <vector>

#include "headjoint/report/internal/cut_rows.h"
#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

void show_list(TerminalPage& page, const char* heading, const std::vector<std::string>& items) {
  if (items.empty()) return;
  page.heading(heading);
  for (const std::string& item : items) page.paragraph("- " + plain_text(item), 2, 4);
}

std::string joined(const std::vector<std::string>& items) {
  std::string text;
  for (std::size_t i = 0; i < items.size(); ++i) text += (i > 0 ? ", " : "") + items[i];
  return text + ".";
}

/// Shims are sold in steps down to 0.0025 mm: two decimals where they suffice, else three.
std::string shim_size(double mm) {
  const bool two_suffice = std::abs(mm * 100 - std::round(mm * 100)) < 1e-3;
  return fixed(mm, two_suffice ? 2 : 3);
}

std::string optional_size(const std::optional<double>& mm) { return mm ? shim_size(*mm) : "-"; }

std::string counted_sizes(const std::vector<assess::ShimPurchase>& items) {
  std::string text;
  for (const assess::ShimPurchase& item : items)
    text += (text.empty() ? "" : ", ") + std::to_string(item.count) + " x " + shim_size(item.size_mm) + " mm";
  return text.empty() ? "none" : text;
}

std::string from_words(const assess::ShimLine& line) {
  if (line.from == "own") return "stays";
  if (line.from == "buy") return "buy";
  return "from " + (line.from == "drawer" ? "the drawer" : line.from);
}

std::string lash_verdict(const assess::ShimLine& line) {
  if (!line.lash_mm) return "not measured";
  return line.is_inside ? "ok" : "OUT OF LIMIT";
}

}  // namespace

void show(TerminalPage& page, const assess::AfterSkim& answer) {
  page.strong(answer.sentence);
  page.paragraph(answer.engine + ": " + cut_asked(answer));
  page.blank();
  std::vector<std::vector<std::string>> rows;
  for (const assess::CutLine& line : answer.lines) {
    const CutRow row = cut_row(line);
    rows.push_back({row.name, row.before, row.after, row.limit, row.verdict});
  }
  page.table({{"lengths in mm"}, {"before", true}, {"after", true}, {"limit", true}, {""}}, rows);
  page.paragraph("± is the band that the last digits of the figures and a depth missed by " + fixed(answer.scatter_mm, 2) +
                     " mm leave (k = 2). Near the limit: inside by less than that.",
                 2);
  show_list(page, "What would put it back", cut_remedies(answer));
  show_list(page, "To note", cut_notes(answer));
  show_list(page, "Cannot be said", cut_unknowns(answer));
  if (const auto assumed = cut_assumptions(answer); !assumed.empty()) {
    page.heading("Rests on assumed figures");
    page.paragraph(joined(assumed), 2);
  }
  show_list(page, "Where the limits come from", cut_limit_sources(answer));
  page.blank();
  page.paragraph("The engine maker's limits and procedure come first.");
}

void show(TerminalPage& page, const assess::ShimAnswer& answer) {
  page.strong(answer.sentence);
  if (!answer.name.empty()) page.paragraph(answer.name);
  page.blank();
  std::vector<std::vector<std::string>> rows;
  for (const assess::ShimLine& line : answer.valves)
    rows.push_back({line.valve, optional_size(line.lash_mm), shim_size(line.fitted_mm), shim_size(line.fit_mm), from_words(line),
                    optional_size(line.lash_after_mm), shim_size(line.least_mm) + " to " + shim_size(line.most_mm), lash_verdict(line)});
  page.table({{"valve"}, {"lash", true}, {"has", true}, {"fit", true}, {""}, {"lash then", true}, {"limits", true}, {""}}, rows);
  page.paragraph("Lengths in mm.", 2);
  page.blank();
  page.paragraph("Buy: " + counted_sizes(answer.buy) + ".", 0, 4);
  page.paragraph("Left in the drawer: " + counted_sizes(answer.left_over) + ".", 0, 4);
  show_list(page, "To note", answer.notes);
  page.blank();
  page.paragraph(
      answer.is_proven
          ? "No other plan brings more valves inside, buys fewer shims or comes nearer to target (proved by prices on every pair). "
            "Turn the engine over and measure again before closing it."
          : "The plan could not be proved to be the best. Measure again before closing the engine.");
}

}  // namespace headjoint::report
