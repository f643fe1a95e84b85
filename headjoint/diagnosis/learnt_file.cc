#include <array>
#include <set>
#include <string>
#include <tuple>

#include "headjoint/base/error.h"
#include "headjoint/base/table_reader.h"
#include "headjoint/base/table_writer.h"
#include "headjoint/base/text.h"
#include "headjoint/diagnosis/learning.h"

namespace headjoint::diagnosis {
namespace {

constexpr int kMostCases = 1000000;

constexpr std::array kKinds = {LearntKind::kChance, LearntKind::kStrength, LearntKind::kFalsePositive};

Document number_document(const LearntNumber& number) {
  TableWriter writer;
  writer.text("cause", number.cause);
  writer.text("sign", number.sign);
  if (number.kind != LearntKind::kChance) writer.put("grade", number.grade);
  writer.put("shipped", number.shipped);
  writer.put("hits", number.hits);
  writer.put("cases", number.cases);
  writer.put("learnt", number.learnt);
  return writer.take();
}

double share_in(TableReader& reader, const std::string& key) {
  std::optional<double> value;
  (void)reader.required(key);
  reader.number(key, value, kLearntFloor / 1000, 1);
  return value.value_or(0.5);
}

std::size_t count_in(TableReader& reader, const std::string& key, int least) {
  int value = least;
  (void)reader.required(key);
  reader.integer(key, value, least, kMostCases);
  return static_cast<std::size_t>(std::max(value, 0));
}

void check_name(TableReader& reader, const std::string& key, std::string& into, const std::vector<std::string>& names) {
  if (reader.required(key) == nullptr) return;
  reader.text(key, into);
  if (const Document* node = reader.find(key); node->is_text()) check_word(reader, *node, key, into, names);
}

struct Names {
  std::vector<std::string> causes;
  std::vector<std::string> signs;
};

/// Whether the pattern has the link and the grade.
void check_figure(TableReader& reader, const LearntNumber& number, const Pattern& pattern) {
  if (number.kind == LearntKind::kChance || pattern.finding(number.sign) < 0) return;
  const Finding& finding = pattern.findings[static_cast<std::size_t>(pattern.finding(number.sign))];
  if (number.grade > finding.false_positive.size())
    reader.refuse(reader.document(), number.sign + " has no grade " + std::to_string(number.grade),
                  "1 to " + std::to_string(finding.false_positive.size()));
  if (number.kind != LearntKind::kStrength || pattern.cause(number.cause) < 0) return;
  for (const Link& link : pattern.links)
    if (link.cause == number.cause && link.effect == number.sign) return;
  reader.refuse(reader.document(), number.cause + " does not bring " + number.sign + " in this program's network", {},
                "take the entry out: it was learnt with another version");
}

LearntNumber read_number(TableReader& reader, LearntKind kind, const Pattern& pattern, const Names& names) {
  LearntNumber number;
  number.kind = kind;
  if (kind != LearntKind::kFalsePositive) check_name(reader, "cause", number.cause, names.causes);
  if (kind != LearntKind::kChance) {
    check_name(reader, "sign", number.sign, names.signs);
    number.grade = count_in(reader, "grade", 1);
  }
  number.shipped = share_in(reader, "shipped");
  number.hits = count_in(reader, "hits", 0);
  number.cases = count_in(reader, "cases", 1);
  number.learnt = share_in(reader, "learnt");
  for (const auto& [key, value] : {std::pair("learnt", number.learnt), std::pair("shipped", number.shipped)})
    if (!(value < 1)) reader.refuse(reader.document(), std::string(key) + " is 1", "less than 1: nothing that is learnt is certain");
  if (number.hits > number.cases)
    reader.refuse(reader.document(), std::to_string(number.hits) + " hits in " + std::to_string(number.cases) + " cases",
                  "at most as many hits as cases");
  else
    number.seen = wilson_interval(number.hits, number.cases);
  check_figure(reader, number, pattern);
  return number;
}

/// A figure given twice would count twice.
void refuse_twins(TableReader& reader, const Learnt& learnt) {
  std::set<std::tuple<LearntKind, std::string, std::string, std::size_t>> seen;
  for (const LearntNumber& number : learnt.numbers)
    if (!seen.insert({number.kind, number.cause, number.sign, number.grade}).second)
      reader.refuse(reader.document(), std::string(to_text(number.kind)) + " of " + number.cause + (number.cause.empty() ? "" : " ") +
                                           number.sign + " is given twice");
}

}  // namespace

Document write_learnt(const Learnt& learnt) {
  TableWriter writer;
  writer.put("format", 1);
  writer.text("based_on", learnt.based_on);
  writer.put("closures", learnt.closures);
  writer.put("left_out", learnt.left_out);
  writer.put("equivalent_cases", learnt.equivalent_cases);
  for (const LearntKind kind : kKinds) {
    Array list;
    for (const LearntNumber& number : learnt.numbers)
      if (number.kind == kind) list.push_back(number_document(number));
    if (!list.empty()) writer.put(std::string(to_text(kind)), std::move(list));
  }
  return writer.take();
}

Result<Learnt> read_learnt(const Document& document, const Pattern& pattern) {
  Problems problems;
  Learnt learnt;
  TableReader reader(document, {}, problems);
  int format = 1;
  (void)reader.required("format");
  reader.integer("format", format, 1, 1);
  reader.text("based_on", learnt.based_on);
  learnt.closures = count_in(reader, "closures", 0);
  int left_out = 0;
  reader.integer("left_out", left_out, 0, kMostCases);
  learnt.left_out = static_cast<std::size_t>(left_out);
  std::optional<double> equivalent;
  reader.number("equivalent_cases", equivalent, kLeastEquivalentCases, kMostEquivalentCases);
  learnt.equivalent_cases = equivalent.value_or(kEquivalentCases);
  Names names;
  for (const Cause& cause : pattern.causes) names.causes.push_back(cause.name);
  for (const Finding& finding : pattern.findings) names.signs.push_back(finding.name);
  for (const LearntKind kind : kKinds) {
    std::vector<LearntNumber> list;
    reader.tables(std::string(to_text(kind)), list,
                  [&](TableReader& inner, LearntNumber& number) { number = read_number(inner, kind, pattern, names); });
    learnt.numbers.insert(learnt.numbers.end(), list.begin(), list.end());
  }
  refuse_twins(reader, learnt);
  reader.finish();
  if (has_errors(problems)) return problems;
  return Result<Learnt>(std::move(learnt), std::move(problems));
}

}  // namespace headjoint::diagnosis
