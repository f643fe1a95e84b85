#include "headjoint/report/internal/cut_rows.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

constexpr double kSameGasket_mm = 0.0005;

int decimals_of(const assess::CutLine& line) { return line.unit == "degC" ? 0 : 2; }

std::string number(const assess::CutLine& line, const std::optional<double>& value) {
  return value ? fixed(*value, decimals_of(line)) : "-";
}

std::string band(const assess::CutLine& line) {
  const std::string text = fixed(line.band, decimals_of(line));
  return text.find_first_of("123456789") == std::string::npos ? "" : " ±" + text;
}

std::string limit(const assess::CutLine& line) {
  if (line.least && line.most && *line.least == -*line.most) return "max ±" + fixed(*line.most, decimals_of(line));
  if (line.least && line.most) return number(line, line.least) + " to " + number(line, line.most);
  if (line.least) return "min " + number(line, line.least);
  if (line.most) return "max " + number(line, line.most);
  return "-";
}

std::string verdict(const assess::CutLine& line) {
  static const std::map<std::string, std::string> kWords = {{"ok", "ok"},
                                                            {"near_limit", "near the limit"},
                                                            {"out_of_limit", "OUT OF LIMIT"},
                                                            {"cannot_say", "cannot say"},
                                                            {"no_limit", "no limit given"}};
  const auto word = kWords.find(line.verdict);
  return word == kWords.end() ? line.verdict : word->second;
}

std::string listed(const std::vector<std::string>& items) {
  std::string text;
  for (std::size_t i = 0; i < items.size(); ++i) text += (i > 0 ? ", " : "") + items[i];
  return text;
}

std::string unit_name(const std::string& unit) { return unit.empty() || unit == "mm" ? "" : ", " + unit; }

/// Rounded away from the limit.
std::string enough(double gasket_mm, const assess::AfterSkim& answer) {
  const bool is_thicker = !answer.gasket_after_mm || gasket_mm > *answer.gasket_after_mm;
  const double hundredths = is_thicker ? std::ceil(gasket_mm * 100 - 1e-6) : std::floor(gasket_mm * 100 + 1e-6);
  return fixed(hundredths / 100, 2) + " mm " + (is_thicker ? "or more" : "or less");
}

/// Gaskets by thickness, with the names of the lines that each restores.
std::vector<std::pair<double, std::vector<std::string>>> restoring_gaskets(const assess::AfterSkim& answer) {
  std::vector<std::pair<double, std::vector<std::string>>> groups;
  for (const assess::CutLine& line : answer.lines) {
    const bool follows_the_ratio = line.line == "intake_closing_ratio" || line.line == "compression_end_temperature";
    if (!line.gasket_to_restore_mm || follows_the_ratio) continue;
    const double thickness = *line.gasket_to_restore_mm;
    const auto same =
        std::find_if(groups.begin(), groups.end(), [&](const auto& g) { return std::abs(g.first - thickness) < kSameGasket_mm; });
    if (same != groups.end())
      same->second.push_back(line.name);
    else
      groups.push_back({thickness, {line.name}});
  }
  return groups;
}

}  // namespace

CutRow cut_row(const assess::CutLine& line) {
  return {line.name + unit_name(line.unit), number(line, line.before), number(line, line.after) + (line.after ? band(line) : ""),
          limit(line), verdict(line)};
}

std::string cut_asked(const assess::AfterSkim& answer) {
  std::string text = fixed(answer.head_mm, 2) + " mm off the head, " + fixed(answer.deck_mm, 2) + " mm off the deck";
  if (answer.gasket_after_mm) {
    const bool is_other = answer.gasket_before_mm && std::abs(*answer.gasket_before_mm - *answer.gasket_after_mm) > kSameGasket_mm;
    text += "; gasket " + fixed(*answer.gasket_after_mm, 2) + " mm clamped" +
            (is_other ? " in place of " + fixed(*answer.gasket_before_mm, 2) + " mm" : "");
  }
  const double lowered = std::abs(answer.lowered_mm) < kSameGasket_mm ? 0 : answer.lowered_mm;
  if (lowered == 0) return text + ": the head stays where it was over the crank.";
  return text + ": the head comes " + fixed(std::abs(lowered), 2) + " mm " + (lowered > 0 ? "nearer to" : "further from") + " the crank.";
}

std::vector<std::string> cut_remedies(const assess::AfterSkim& answer) {
  std::vector<std::string> out;
  if (!answer.grade.empty()) out.push_back(capitalised(answer.grade));
  for (const assess::CutLine& line : answer.lines)
    if (line.gasket_to_suffice_mm)
      out.push_back("A gasket of " + enough(*line.gasket_to_suffice_mm, answer) + " clamped brings just inside its limit: " + line.name);
  for (const auto& [thickness, names] : restoring_gaskets(answer))
    out.push_back("A gasket of " + fixed(thickness, 2) + " mm clamped puts back as it was: " + listed(names));
  std::set<std::string> said;
  for (const assess::CutLine& line : answer.lines)
    for (const std::string& remedy : line.remedies)
      if (said.insert(remedy).second) out.push_back(capitalised(line.name) + ": " + remedy);
  if (!restoring_gaskets(answer).empty()) out.push_back("Only a thickness that the maker lists; clamped thickness, not thickness as sold");
  return out;
}

std::vector<std::string> cut_unknowns(const assess::AfterSkim& answer) {
  std::map<std::string, std::vector<std::string>> by_missing;
  for (const assess::CutLine& line : answer.lines)
    if (line.verdict == "cannot_say") by_missing[listed(line.missing)].push_back(line.name);
  std::vector<std::string> out;
  for (const auto& [missing, names] : by_missing) out.push_back(capitalised(listed(names)) + ": missing " + missing);
  return out;
}

std::vector<std::string> cut_limit_sources(const assess::AfterSkim& answer) {
  std::map<std::string, std::vector<std::string>> by_source;
  for (const assess::CutLine& line : answer.lines) {
    std::string rest = line.limit_source;
    while (!rest.empty()) {
      const std::size_t end = rest.find("; ");
      const std::string one = rest.substr(0, end);
      rest = end == std::string::npos ? "" : rest.substr(end + 2);
      const std::size_t colon = one.find(": ");
      const std::string key = one.substr(0, colon);
      const std::string source = colon == std::string::npos ? "engine file, origin not given" : one.substr(colon + 2);
      std::vector<std::string>& keys = by_source[source];
      if (std::find(keys.begin(), keys.end(), key) == keys.end()) keys.push_back(key);
    }
  }
  std::vector<std::string> out;
  for (const auto& [source, keys] : by_source) out.push_back(capitalised(source) + ": " + listed(keys));
  return out;
}

std::vector<std::string> cut_assumptions(const assess::AfterSkim& answer) {
  std::set<std::string> all;
  for (const assess::CutLine& line : answer.lines)
    if (line.after) all.insert(line.assumed.begin(), line.assumed.end());
  return {all.begin(), all.end()};
}

std::vector<std::string> cut_notes(const assess::AfterSkim& answer) {
  std::vector<std::string> out;
  for (const assess::CutLine& line : answer.lines) {
    if (!line.note.empty()) out.push_back(capitalised(line.name) + ": " + line.note);
    if (!line.at_deg_after) continue;
    const double at = *line.at_deg_after;
    out.push_back(capitalised(line.name) + ": closest " + fixed(std::abs(at), 1) + " deg " + (at < 0 ? "before" : "after") +
                  " top dead centre of gas exchange");
  }
  out.insert(out.end(), answer.hints.begin(), answer.hints.end());
  return out;
}

}  // namespace headjoint::report
