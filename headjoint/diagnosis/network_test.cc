#include "headjoint/diagnosis/network.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace headjoint::diagnosis {
namespace {

constexpr double kSame = 1e-11;

Problems problems_of(const std::string& text) {
  const auto document = read_json(text, "net.json");
  EXPECT_TRUE(document) << to_string(document.problems());
  const auto read = read_network(*document);
  EXPECT_FALSE(read) << text;
  return read.problems();
}

std::string node(const std::string& name, const std::string& parents, const std::string& table) {
  return R"({"name": ")" + name + R"(", "states": ["yes", "no"], "parents": )" + parents + ", \"table\": " + table + "}";
}

void expect_problem(const std::string& nodes, const std::string& pointer, const std::string& what) {
  const Problems problems = problems_of(R"({"format": 1, "nodes": [)" + nodes + "]}");
  const std::string all = to_string(problems);
  EXPECT_NE(all.find(what), std::string::npos) << all;
  bool placed = false;
  for (const Problem& problem : problems) placed = placed || problem.place.pointer.starts_with(pointer);
  EXPECT_TRUE(placed) << all << " not at " << pointer;
}

TEST(NetworkFile, EveryMistakeIsToldWithItsPointer) {
  const std::string a = node("A", "[]", "[[0.5, 0.5]]");
  expect_problem(node("A", "[\"B\"]", "[[1, 0], [0, 1]]") + "," + node("B", "[\"A\"]", "[[1, 0], [0, 1]]"), "/nodes/0", "its own ancestor");
  expect_problem(a + "," + node("B", "[\"C\"]", "[[1, 0], [0, 1]]"), "/nodes/1/parents/0", "no node is called");
  expect_problem(a + "," + node("B", "[\"A\"]", "[[1, 0]]"), "/nodes/1/table", "1 rows");
  expect_problem(a + "," + a, "/nodes/1/name", "two nodes");
  expect_problem(node("A", "[]", "[[0.5, 0.6]]"), "/nodes/0/table/0", "sums to 1.1");
  expect_problem(node("A", "[]", "[[-0.5, 1.5]]"), "/nodes/0/table/0/0", "not a probability");
  expect_problem(node("A", "[]", "[[null, 1]]"), "/nodes/0/table/0/0", "not a probability");
  expect_problem(node("A", "[]", "[[1]]"), "/nodes/0/table/0", "wrong row");
  expect_problem(R"({"name": "A", "states": ["x", "x"], "parents": [], "table": [[0.5, 0.5]]})", "/nodes/0/states/1", "stands twice");
  expect_problem(R"({"name": "A", "states": ["x"], "parents": [], "table": [[1]]})", "/nodes/0/states", "wrong number of states");
  expect_problem(R"({"name": "A", "status": ["x", "y"], "parents": [], "table": [[1, 0]]})", "/nodes/0/status", "did you mean \"states\"");
  expect_problem("7", "/nodes/0", "a node is a table");
  EXPECT_FALSE(problems_of("[]").empty());
  EXPECT_FALSE(problems_of(R"({"format": 2, "nodes": []})").empty());
}

TEST(NetworkFile, AllProblemsComeAtOnce) {
  EXPECT_EQ(problems_of(R"({"format": 1, "nodes": [)" + node("A", "[]", "[[2, 0]]") + "," + node("B", "[\"Z\"]", "[[1, 1], [1, 0]]") + "]}")
                .size(),
            4U);
}

TEST(NetworkFile, EvidenceNamesUnknownNodesAndStates) {
  const Network network{{{"rain", {"yes", "no"}, {}, {.2, .8}}}};
  EXPECT_TRUE(read_evidence(network, " rain = yes ")->at(0).likelihood[0] == 1);
  EXPECT_TRUE(read_evidence(network, "")->empty());
  EXPECT_NE(to_string(read_evidence(network, "rian=yes").problems()).find("rain"), std::string::npos);
  EXPECT_FALSE(read_evidence(network, "rain=maybe"));
  EXPECT_FALSE(read_evidence(network, "rain"));
  EXPECT_FALSE(read_evidence(network, "rain=yes,rain=no"));
}

/// Random network with node sizes 2 or 3 and up to three parents among the nodes before.
Network random_network(std::mt19937& random, std::size_t count) {
  Network network;
  for (std::size_t i = 0; i < count; ++i) {
    NetworkNode made{"n" + std::to_string(i), {}, {}, {}};
    for (std::size_t s = 0; s < 2 + random() % 2; ++s) made.states.push_back("s" + std::to_string(s));
    std::size_t rows = 1;
    for (std::size_t p = 0; p < i && made.parents.size() < 3; ++p)
      if (random() % 3 == 0) {
        made.parents.push_back(p);
        rows *= network.nodes[p].states.size();
      }
    for (std::size_t r = 0; r < rows; ++r) {
      std::vector<double> row;
      double sum = 0;
      for (std::size_t s = 0; s < made.states.size(); ++s) sum += row.emplace_back(static_cast<double>(1 + random() % 1000));
      for (double value : row) made.table.push_back(value / sum);
    }
    network.nodes.push_back(made);
  }
  return network;
}

/// Joint probability of one state of everything times the likelihood of the evidence.
double joint(const Network& network, const std::vector<NodeEvidence>& evidence, const std::vector<std::size_t>& state) {
  double product = 1;
  for (std::size_t i = 0; i < network.nodes.size(); ++i) {
    std::size_t row = 0;
    for (std::size_t p : network.nodes[i].parents) row = row * network.nodes[p].states.size() + state[p];
    product *= network.nodes[i].table[row * network.nodes[i].states.size() + state[i]];
  }
  for (const NodeEvidence& piece : evidence) product *= piece.likelihood[state[piece.node]];
  return product;
}

TEST(Inference, AgreesWithEnumerationOnRandomNetworks) {
  for (unsigned seed = 1; seed <= 40; ++seed) {
    std::mt19937 random(seed);
    const Network network = random_network(random, 8);
    std::vector<NodeEvidence> evidence;
    for (std::size_t i = 0; i < network.nodes.size(); ++i) {
      if (random() % 3 != 0) continue;
      NodeEvidence piece{i, {}};
      for (std::size_t s = 0; s < network.nodes[i].states.size(); ++s)
        piece.likelihood.push_back(static_cast<double>(random() % 100 + 1) / 100);
      evidence.push_back(piece);
    }
    const NetworkPosterior result = infer(network, evidence);
    ASSERT_EQ(result.status, Status::kDone);
    std::vector<std::vector<double>> sums;
    for (const NetworkNode& n : network.nodes) sums.emplace_back(n.states.size(), 0.0);
    double whole = 0;
    std::vector<std::size_t> state(network.nodes.size(), 0);
    for (bool more = true; more;) {
      const double p = joint(network, evidence, state);
      whole += p;
      for (std::size_t i = 0; i < state.size(); ++i) sums[i][state[i]] += p;
      more = false;
      for (std::size_t i = 0; i < state.size() && !more; ++i) {
        more = ++state[i] < network.nodes[i].states.size();
        if (!more) state[i] = 0;
      }
    }
    EXPECT_NEAR(result.log_evidence, std::log(whole), kSame) << "seed " << seed;
    for (std::size_t i = 0; i < sums.size(); ++i)
      for (std::size_t s = 0; s < sums[i].size(); ++s) EXPECT_NEAR(result.posteriors[i][s], sums[i][s] / whole, kSame) << "seed " << seed;
  }
}

TEST(Inference, TinyEvidenceDoesNotUnderflow) {
  Network network{{{"n0", {"a", "b"}, {}, {.5, .5}}}};
  std::vector<NodeEvidence> evidence;
  for (std::size_t i = 1; i <= 400; ++i) {
    network.nodes.push_back({"n" + std::to_string(i), {"a", "b"}, {i - 1}, {.9, .1, .2, .8}});
    evidence.push_back({i, {1e-3, 2e-3}});
  }
  const NetworkPosterior result = infer(network, evidence);
  ASSERT_EQ(result.status, Status::kDone);
  EXPECT_LT(result.log_evidence, -2000);
  EXPECT_NEAR(result.posteriors[200][0] + result.posteriors[200][1], 1, kSame);
}

TEST(Inference, ANetworkTooLargeIsRefusedNotTried) {
  // Forty roots, every two of them joined by a child: all forty end up in one table.
  Network network;
  constexpr std::size_t kRoots = 40;
  for (std::size_t i = 0; i < kRoots; ++i) network.nodes.push_back({"r" + std::to_string(i), {"a", "b"}, {}, {.5, .5}});
  std::vector<NodeEvidence> evidence;
  for (std::size_t i = 0; i < kRoots; ++i)
    for (std::size_t j = 0; j < i; ++j) {
      evidence.push_back({network.nodes.size(), {1, 0}});
      network.nodes.push_back({"c" + std::to_string(i) + "_" + std::to_string(j), {"a", "b"}, {i, j}, {.1, .9, .2, .8, .3, .7, .4, .6}});
    }
  EXPECT_EQ(infer(network, evidence).status, Status::kTooLarge);
}

TEST(Inference, AHostileNetworkIsRefusedSoon) {
  // Three thousand nodes, each with up to eight parents spread over all the nodes before it.
  Network network;
  std::mt19937 random(7);
  for (std::size_t i = 0; i < 3000; ++i) {
    NetworkNode made{"n" + std::to_string(i), {"a", "b"}, {}, {}};
    for (std::size_t p = 0; p < std::min<std::size_t>(i, 8); ++p) {
      const std::size_t parent = random() % i;
      if (std::find(made.parents.begin(), made.parents.end(), parent) == made.parents.end()) made.parents.push_back(parent);
    }
    for (std::size_t r = 0; r < std::size_t{1} << made.parents.size(); ++r) made.table.insert(made.table.end(), {.5, .5});
    network.nodes.push_back(made);
  }
  EXPECT_EQ(infer(network, {}).status, Status::kTooLarge);
}

TEST(Inference, EvidenceThatDoesNotFitIsABrokenContract) {
  const Network network{{{"a", {"x", "y"}, {}, {.5, .5}}}};
  EXPECT_THROW((void)infer(network, {{1, {1, 0}}}), ContractError);
  EXPECT_THROW((void)infer(network, {{0, {1, 0, 0}}}), ContractError);
  EXPECT_THROW((void)infer(network, {{0, {1, std::nan("")}}}), ContractError);
}

}  // namespace
}  // namespace headjoint::diagnosis
