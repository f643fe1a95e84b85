#include "headjoint/report/internal/pictures_options.h"

#include <algorithm>

#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/line_chart.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/option_words.h"

namespace headjoint::report {

std::vector<Picture> draw(const assess::OptionsReply& reply) {
  const assess::OptionsAnswer& answer = reply.assessment.choice;
  if (answer.status != "done") return {};
  const std::string title = "What each option is expected to cost, in " + plain_text(answer.unit);
  HtmlTable table(title,
                  {{"option"}, {"expected", true}, {"low", true}, {"high", true}, {"leaks again", true}, {"engine lost", true}, {""}});
  std::vector<ChartRange> ranges;
  double most = 0;
  for (const assess::OptionLine& option : answer.options) {
    if (option.state == "forbidden") {
      table.row({option.text, "", "", "", "", "", "not possible: " + option.forbidden});
      continue;
    }
    table.row({option.text, cost_figure(option.expected_cost), cost_figure(option.low), cost_figure(option.high),
               chance_text(option.second_failure), chance_text(option.engine_lost), state_words(option)});
    ranges.push_back({capitalised(option.text), option.expected_cost, option.low, option.high, true, {}});
    most = std::max(most, option.high);
  }
  return {{"options", title,
           range_chart_svg(ranges, round_axis("expected cost, " + plain_text(answer.unit), most), "options", title, answer.sentence),
           table.html()}};
}

}  // namespace headjoint::report
