#include "headjoint/report/internal/html_table.h"

#include "headjoint/base/error.h"
#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

constexpr std::size_t kNarrow = 4;  // columns that a phone can show
constexpr int kShort = 10;          // rows of a table that stays on one page

}  // namespace

HtmlTable::HtmlTable(std::string caption, std::vector<HtmlColumn> columns) : caption_(std::move(caption)), columns_(std::move(columns)) {}

void HtmlTable::row(const std::vector<std::string>& cells) {
  require(cells.size() == columns_.size(), "one cell a column");
  rows_ += "<tr>";
  for (std::size_t i = 0; i < cells.size(); ++i) {
    const std::string kind = columns_[i].is_number ? " class=\"n\"" : columns_[i].is_short ? " class=\"k\"" : "";
    const std::string text = isolated(cells[i]);
    rows_ += i == 0 ? "<th scope=\"row\"" + kind + ">" + text + "</th>" : "<td" + kind + ">" + text + "</td>";
  }
  rows_ += "</tr>\n";
  ++count_;
}

std::string HtmlTable::html() const {
  const bool is_wide = columns_.size() > kNarrow;
  std::string out = is_wide ? "<div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"" + xml_text(caption_) + "\">" : "";
  out += "<table class=\"data " + std::string(count_ <= kShort ? "short" : "long") + "\"><caption>" + xml_text(caption_) +
         "</caption><thead><tr>";
  for (const HtmlColumn& column : columns_) {
    out += std::string("<th scope=\"col\"") + (column.is_number ? " class=\"n\"" : "") + ">" + xml_text(column.heading) + "</th>";
  }
  return out + "</tr></thead><tbody>\n" + rows_ + "</tbody></table>" + (is_wide ? "</div>\n" : "\n");
}

}  // namespace headjoint::report
