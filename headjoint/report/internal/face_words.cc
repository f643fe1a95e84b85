#include "headjoint/report/internal/face_words.h"

#include <cmath>

#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/reading_rows.h"

namespace headjoint::report {

std::string band_text(double low_mm, double high_mm) {
  if (!std::isfinite(high_mm)) return fixed(low_mm, 3) + " or more";
  if (high_mm - low_mm < 5e-4) return fixed(high_mm, 3);
  return fixed(low_mm, 3) + " to " + fixed(high_mm, 3);
}

std::string joined_names(const std::vector<std::string>& names) {
  if (names.empty()) return "-";
  std::string text;
  for (std::size_t i = 0; i < names.size(); ++i) text += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + plain_text(names[i]);
  return text;
}

std::string local_words(const assess::LocalFigure& local) {
  std::string text = "Within any " + fixed(local.window_mm, 0) + " mm: " + fixed(local.flatness_mm, 3) + " mm, worst from x " +
                     fixed(local.at_x_mm, 0) + ", y " + fixed(local.at_y_mm, 0) + " mm (" + plain_text(local.status) + ").";
  if (!local.decision_text.empty()) text += " " + plain_text(local.decision_text);
  return text;
}

std::string straightedge_verdict(const assess::Straightedge& lines) {
  std::string text = "Flatness deviation ";
  if (std::isfinite(lines.flatness_high_mm))
    text +=
        "between " + fixed(lines.flatness_low_mm, 3) + " and " + fixed(lines.flatness_high_mm, 3) + " mm as far as these lines can tell";
  else
    text += "at least " + fixed(lines.flatness_low_mm, 3) + " mm; these lines set no upper limit";
  if (!lines.decision.empty()) text += ", " + decision_words(lines.decision);
  return text + ".";
}

std::string straightedge_how(const assess::Straightedge& lines) {
  std::string text = std::to_string(lines.lines.size()) + (lines.lines.size() == 1 ? " line, " : " lines, ") + plain_text(lines.method);
  if (!lines.source.empty()) text += ", from " + plain_text(lines.source);
  text += ". Worst line: straight within " + band_text(lines.worst_line_low_mm, lines.worst_line_high_mm) + " mm. ";
  text += lines.join_status == "joined" ? "Joined where they cross" : "Not joined: " + plain_text(lines.join_status);
  if (lines.closures > 0)
    text += "; they miss each other by up to " + fixed(lines.largest_closure_mm, 3) + " mm" +
            (lines.largest_closure_at.empty() ? "" : " at " + plain_text(lines.largest_closure_at));
  return text + ".";
}

std::string check_words(const assess::CheckEntry& check) {
  std::string text = plain_text(check.check) + " [" + check.state + "]";
  if (!check.recorded.empty()) text += ", recorded " + plain_text(check.recorded);
  if (!check.limit.empty())
    text += ", limit " + plain_text(check.limit) + (check.source.empty() ? "" : " (" + plain_text(check.source) + ")");
  text += ". " + sentence(plain_text(check.why));
  if (check.stops_the_cut) text += " Bad here means: do not cut.";
  return text;
}

}  // namespace headjoint::report
