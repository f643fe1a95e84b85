#include "headjoint/repair/plan.h"

#include <algorithm>

#include "headjoint/base/table_reader.h"

namespace headjoint::repair {
namespace {

constexpr std::string_view kBlank = "________";

std::vector<std::string_view> split(std::string_view text, char at) {
  std::vector<std::string_view> parts;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(at), text.size());
    if (end > 0) parts.push_back(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return parts;
}

bool holds_one(std::string_view term, const Facts& facts) {
  if (term.starts_with('!')) return !facts.contains(std::string(term.substr(1)));
  const auto choices = split(term, '|');
  return std::any_of(choices.begin(), choices.end(), [&](std::string_view word) { return facts.contains(std::string(word)); });
}

}  // namespace

bool holds(std::string_view when, const Facts& facts) {
  const auto terms = split(when, ' ');
  return std::all_of(terms.begin(), terms.end(), [&](std::string_view term) { return holds_one(term, facts); });
}

std::vector<std::string> words_of(std::string_view when) {
  std::vector<std::string> words;
  for (const std::string_view term : split(when, ' '))
    for (const std::string_view word : split(term.starts_with('!') ? term.substr(1) : term, '|')) words.emplace_back(word);
  return words;
}

std::string filled(std::string_view text, const Figures& figures) {
  std::string out;
  while (!text.empty()) {
    const std::size_t open = text.find('{');
    const std::size_t close = open == std::string_view::npos ? open : text.find('}', open);
    if (close == std::string_view::npos) return out.append(text);
    const auto figure = figures.find(std::string(text.substr(open + 1, close - open - 1)));
    out.append(text.substr(0, open));
    out.append(figure == figures.end() || figure->second.empty() ? kBlank : std::string_view(figure->second));
    text.remove_prefix(close + 1);
  }
  return out;
}

Result<PlanBook> read_plan_book(std::string_view toml, const std::string& source) {
  const auto document = read_toml(toml, source);
  if (!document) return document.problems();
  Problems problems;
  PlanBook book;
  TableReader reader(*document, {}, problems);
  reader.tables("part", book.parts, [](TableReader& inner, PlanPart& part) {
    inner.text("name", part.name);
    inner.text("title", part.title);
  });
  reader.tables("line", book.lines, [&](TableReader& inner, PlanLine& line) {
    inner.text("part", line.part);
    inner.text("when", line.when);
    inner.text("text", line.text);
    inner.text("why", line.why);
    inner.texts("cautions", line.cautions);
    inner.text("source", line.source);
    const bool is_known = std::any_of(book.parts.begin(), book.parts.end(), [&](const PlanPart& part) { return part.name == line.part; });
    if (!is_known) inner.refuse(inner.document(), "a line of no part: \"" + line.part + "\"");
    if (line.text.empty() || line.source.empty()) inner.refuse(inner.document(), "a line needs a text and a source");
  });
  reader.finish();
  if (has_errors(problems)) return problems;
  return book;
}

std::vector<ChosenPart> plan_of(const PlanBook& book, const Facts& facts, const Figures& figures) {
  std::vector<ChosenPart> chosen;
  for (const PlanPart& part : book.parts) {
    ChosenPart with{part, {}};
    for (PlanLine line : book.lines) {
      if (line.part != part.name || !holds(line.when, facts)) continue;
      line.text = filled(line.text, figures);
      line.why = filled(line.why, figures);
      line.source = filled(line.source, figures);
      with.lines.push_back(std::move(line));
    }
    if (!with.lines.empty()) chosen.push_back(std::move(with));
  }
  return chosen;
}

}  // namespace headjoint::repair
