// Networks of more than twenty nodes against posteriors of another program. bench/outside/weka.csv: weka 3.6.14 (Debian 12), junction tree,
// made by bench/outside/compare.py. monitor37: the patient-monitoring network of Beinlich, Suermondt, Chavez & Cooper 1989 with its
// published tables; random30 and random48: drawn by bench/outside/generate.py.

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <string>
#include <vector>

#include "headjoint/base/file.h"
#include "headjoint/base/text.h"
#include "headjoint/diagnosis/network.h"

namespace headjoint::diagnosis {
namespace {

constexpr double kSame = 1e-12;  // weka prints about sixteen digits

struct Line {
  std::string node, state;
  double probability = 0;
};

/// [network, what was seen] the lines of the other program.
std::map<std::pair<std::string, std::string>, std::vector<Line>> reference() {
  std::map<std::pair<std::string, std::string>, std::vector<Line>> result;
  const std::string text = read_file(std::string(HEADJOINT_SOURCE_DIR) + "/bench/outside/weka.csv");
  for (std::string_view line : split(text, '\n')) {
    if (line.empty() || line.front() == '#' || line.starts_with("network,")) continue;
    // What was seen may hold commas, and stands in quotes then.
    const std::size_t first = line.find(',');
    const bool is_quoted = line[first + 1] == '"';
    const std::size_t end = is_quoted ? line.find('"', first + 2) : line.find(',', first + 1);
    const std::string seen(line.substr(first + 1 + (is_quoted ? 1 : 0), end - first - 1 - (is_quoted ? 1 : 0)));
    const auto rest = split(line.substr(end + (is_quoted ? 2 : 1)), ',');
    result[{std::string(line.substr(0, first)), seen}].push_back(
        {std::string(rest.at(0)), std::string(rest.at(1)), std::stod(std::string(rest.at(2)))});
  }
  return result;
}

TEST(NetworkOutside, PosteriorsOfLargerNetworksAreThoseOfAnotherProgram) {
  const auto lines = reference();
  ASSERT_EQ(lines.size(), 7U);
  for (const auto& [question, expected] : lines) {
    const auto& [name, seen] = question;
    const std::string path = std::string(HEADJOINT_SOURCE_DIR) + "/bench/outside/networks/" + name + ".json";
    const auto document = read_json(read_file(path), path);
    ASSERT_TRUE(document);
    const auto network = read_network(*document);
    ASSERT_TRUE(network) << name;
    EXPECT_GT(network->nodes.size(), 20U);
    const auto evidence = read_evidence(*network, seen == "-" ? "" : seen);
    ASSERT_TRUE(evidence) << seen;
    const NetworkPosterior found = infer(*network, *evidence);
    ASSERT_EQ(found.status, Status::kDone);
    for (const Line& line : expected) {
      const auto node = static_cast<std::size_t>(network->find(line.node));
      const auto& states = network->nodes[node].states;
      const auto state = static_cast<std::size_t>(std::find(states.begin(), states.end(), line.state) - states.begin());
      EXPECT_NEAR(found.posteriors[node].at(state), line.probability, kSame) << name << " " << seen << " " << line.node;
    }
  }
}

}  // namespace
}  // namespace headjoint::diagnosis
