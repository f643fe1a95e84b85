// 26 real jobs with verified outcomes: where the verified cause stands among all that was suspected. Scenarios, never frequencies: no
// number of the network may be fitted to them. Usage: field_cases

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "headjoint/assess/operation.h"
#include "headjoint/base/csv.h"
#include "headjoint/base/error.h"
#include "headjoint/base/file.h"
#include "headjoint/base/text.h"

namespace headjoint {
namespace {

struct Ranked {
  std::string name;
  double chance = 0;
};

/// Paths and rivals by kind: a path with places by the chance that it leaks anywhere, a rival at its likeliest place.
std::vector<Ranked> ranked(const assess::Finding& finding) {
  std::vector<Ranked> list;
  for (const auto* suspects : {&finding.paths, &finding.rivals, &finding.kinds})
    for (const assess::Suspect& suspect : *suspects) {
      const std::string name = suspect.name.starts_with("any_") ? suspect.name.substr(4) : suspect.name;
      const auto found = std::find_if(list.begin(), list.end(), [&](const Ranked& r) { return r.name == name; });
      if (found == list.end())
        list.push_back({name, suspect.chance.value});
      else
        found->chance = std::max(found->chance, suspect.chance.value);
    }
  std::stable_sort(list.begin(), list.end(), [](const Ranked& a, const Ranked& b) { return a.chance > b.chance; });
  return list;
}

assess::Finding finding_of(const std::string& path) {
  assess::Request request;
  request.input = *read_toml(read_file(path), path);
  request.source = path;
  request.read_beside = joint::beside_file(path);
  const auto reply = assess::find_operation("assess")->run(request);
  require(reply.has_value(), to_string(reply.problems()).c_str());
  return assess::content_of<assess::Assessment>(*reply).finding;
}

struct Score {
  int cases = 0;
  int first = 0;
  int among_three = 0;
};

}  // namespace
}  // namespace headjoint

int main() {
  using namespace headjoint;
  const std::string folder = std::string(HEADJOINT_SOURCE_DIR) + "/bench/field_cases/";
  const auto table = read_csv(read_file(folder + "cases.csv"), "cases.csv");
  if (!table) return fmt::print("{}\n", to_string(table.problems())), 1;
  Score failures;
  Score rivals;
  for (const auto& row : table->rows) {
    const assess::Finding finding = finding_of(folder + row.at(1));
    const std::vector<Ranked> list = ranked(finding);
    const auto wanted = split(row.at(3), '|');
    std::size_t place = list.size();
    for (std::size_t i = list.size(); i-- > 0;)
      if (std::find(wanted.begin(), wanted.end(), list[i].name) != wanted.end()) place = i;
    Score& score = row.at(2) == "rival" ? rivals : failures;
    ++score.cases;
    if (place == 0) ++score.first;
    if (place < 3) ++score.among_three;
    fmt::print("{:<5}{:<8} joint {:.2f}  verified {:<28} place {:>2} ({:.2f})  first {} ({:.2f})\n", row.at(0), row.at(2),
               finding.joint_failed.value, row.at(3), place + 1, list[place].chance, list[0].name, list[0].chance);
  }
  for (const auto& [name, score] : {std::pair{"failures", failures}, std::pair{"rivals", rivals}})
    fmt::print("{:<9} {} cases: verified cause first in {}, among the first three in {}\n", name, score.cases, score.first,
               score.among_three);
}
