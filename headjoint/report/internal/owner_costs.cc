#include "headjoint/report/internal/owner_costs.h"

#include <array>
#include <cmath>

#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/paper_parts.h"

namespace headjoint::report {
namespace {

struct PlainOption {
  std::string_view option;
  std::string_view text;
};

constexpr std::array kOptions = {
    PlainOption{"retighten", "tighten the bolts of the seal again"},
    PlainOption{"stop_leak", "stop-leak to get home: no repair"},
    PlainOption{"gasket_only", "new seal, nothing machined"},
    PlainOption{"gasket_and_head_service", "new seal, cylinder head tested and made flat"},
    PlainOption{"exchange_head", "new seal and another cylinder head"},
    PlainOption{"exchange_engine", "another engine"},
    PlainOption{"cure_rival", "put the other cause right, leave the seal"},
    PlainOption{"drive_on", "leave it as it is and drive on"},
};

[[maybe_unused]] std::string plain_option(const std::string& option, const std::string& text) {
  for (const PlainOption& one : kOptions)
    if (one.option == option) return capitalised(std::string(one.text));
  return capitalised(plain_text(text));
}

/// Two figures of money are enough for a choice: "1200", "84".
std::string rounded(double cost) {
  if (!std::isfinite(cost)) return "n/a";
  const double step = std::abs(cost) >= 1000 ? 50 : std::abs(cost) >= 100 ? 10 : 1;
  return fixed(step * std::round(cost / step), 0);
}

/// What each way costs, where options and prices are known.
template <class Choice>
std::string priced(const Choice& choice) {
  constexpr std::size_t kMostWays = 4;  ///< the way home has its own words below the table
  constexpr double kHopeless = 0.75;    ///< the seal is likelier to fail again than not by far: no way to offer an owner
  HtmlTable table("What it is expected to cost in the end, risks counted, in " + plain_text(choice.unit),
                  {{"way"}, {"expected", true}, {"nine in ten between", true}, {"seal fails again", true}});
  std::size_t rows = 0;
  for (const auto& line : choice.options) {
    const bool is_hopeless = line.second_failure > kHopeless && line.state != "chosen" && line.option != choice.chosen;
    if (line.state == "forbidden" || line.state == "way home" || is_hopeless || rows++ >= kMostWays) continue;
    const std::string mark = line.option == choice.chosen || line.state == "chosen" ? " (advised)" : "";
    table.row({plain_option(line.option, line.text) + mark, rounded(line.expected_cost), rounded(line.low) + " to " + rounded(line.high),
               chance_in_hundred(line.second_failure)});
  }
  const std::string basis = "Hours and prices: " + plain_text(choice.prices) + ". This is not a quotation.";
  return table.is_empty() ? std::string() : table.html() + paragraph(basis, "muted");
}

/// Working time of what is advised, where no prices are known.
std::string timed(const assess::Assessment& all) {
  constexpr std::size_t kMostSteps = 3;
  std::vector<std::string> items;
  for (const assess::RepairOption& option : all.options) {
    if (!option.is_advised || items.size() >= kMostSteps) continue;
    std::string text = "Advised: " + plain_text(option.text) + ", about " + duration_text(option.put_right);
    if (all.job.workshop.hour_price && option.put_right >= 0)
      text += ", in the order of " + rounded(*all.job.workshop.hour_price * option.put_right / 60) + " " +
              plain_text(all.job.workshop.currency);
    items.push_back(text + ".");
  }
  if (items.empty()) return {};
  return bullets(items) + paragraph("Times are orders of magnitude, parts counted as working time; this is not a quotation.");
}

template <class All>
std::string costs_of(const All& all) {
  if constexpr (requires { all.choice.options; }) {
    if (all.choice.status == "done") return priced(all.choice);
  }
  return timed(all);
}

}  // namespace

std::string owner_costs(const assess::Assessment& all) { return costs_of(all); }

}  // namespace headjoint::report
