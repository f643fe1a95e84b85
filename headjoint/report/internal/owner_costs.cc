#include "headjoint/report/internal/owner_costs.h"

#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/paper_parts.h"

namespace headjoint::report {

std::string owner_costs(const assess::Assessment& all) {
  constexpr std::size_t kMostSteps = 3;
  std::vector<std::string> items;
  for (const assess::RepairOption& option : all.options) {
    if (!option.is_advised || items.size() >= kMostSteps) continue;
    std::string text = "Advised: " + plain_text(option.text) + ", about " + duration_text(option.put_right);
    if (all.job.workshop.hour_price && option.put_right >= 0)
      text += ", in the order of " + fixed(*all.job.workshop.hour_price * option.put_right / 60, 0) + " " + plain_text(all.job.workshop.currency);
    items.push_back(text + ".");
  }
  if (items.empty()) return {};
  return bullets(items) + paragraph("Times are orders of magnitude, parts counted as working time; this is not a quotation.");
}

}  // namespace headjoint::report
