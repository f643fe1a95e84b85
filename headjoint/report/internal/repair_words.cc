#include "headjoint/report/internal/repair_words.h"

#include <algorithm>
#include <cmath>

#include "headjoint/assess/knowledge.h"
#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

int decimals_of(const std::string& unit) { return unit == "bar" ? 2 : unit == "%" || unit == "L" ? 1 : 0; }

std::string with_unit(double value, const std::string& unit) { return fixed(value, decimals_of(unit)) + " " + unit; }

}  // namespace

std::string accepted_text(const assess::ProofCheck& check) {
  if (!check.accept_low && !check.accept_high) return check.unit.empty() ? check.expected_text : "not said";
  if (!check.accept_low || (*check.accept_low <= 0 && check.unit != "bar")) return "at most " + with_unit(*check.accept_high, check.unit);
  if (!check.accept_high || (check.unit == "%" && *check.accept_high >= 100)) return "at least " + with_unit(*check.accept_low, check.unit);
  return fixed(*check.accept_low, decimals_of(check.unit)) + " to " + with_unit(*check.accept_high, check.unit);
}

std::string proof_verdict(const assess::ProofCheck& check) {
  if (check.verdict.empty()) return check.reading.empty() ? "not taken" : "not judged";
  if (!check.is_out()) return check.verdict;
  std::string word = check.verdict;
  std::transform(word.begin(), word.end(), word.begin(),
                 [](char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c; });
  return word;
}

std::vector<assess::Caution> new_cautions(const std::vector<std::string>& ids, std::vector<std::string>& shown) {
  std::vector<std::string> fresh;
  for (const std::string& id : ids) {
    if (std::find(shown.begin(), shown.end(), id) != shown.end()) continue;
    shown.push_back(id);
    fresh.push_back(id);
  }
  return assess::cautions_of(fresh);
}

std::string spoken(std::string word) {
  std::replace(word.begin(), word.end(), '_', ' ');
  return word;
}

std::string seen_where(const std::string& where) {
  if (where.empty()) return {};
  const std::size_t dash = where.find('-');
  if (dash != std::string::npos) return "between cylinders " + where.substr(0, dash) + " and " + where.substr(dash + 1);
  const bool is_number = std::all_of(where.begin(), where.end(), [](char c) { return c >= '0' && c <= '9'; });
  return is_number ? "at cylinder " + where : "at " + where;
}

std::string seen_text(const jobs::Seen& seen) {
  std::string text = seen.part == "other" ? capitalised(spoken(seen.kind)) : capitalised(seen.part) + ": " + spoken(seen.kind);
  const std::string where = seen_where(seen.where);
  if (!where.empty()) text += ", " + where;
  return seen.note.empty() ? text : text + "; " + seen.note;
}

}  // namespace headjoint::report
