// The same networks in one run through this project's inference and through the join tree of dlib, a general-purpose library (Debian
// package libdlib-dev): all posteriors, and whether they agree. Without dlib only our own figures are printed. With a network file and what
// was seen ("a=yes,b=no") as arguments: that network alone, for bench/outside/compare.py.

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <functional>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "headjoint/base/file.h"
#include "headjoint/diagnosis/finding.h"
#include "headjoint/diagnosis/internal/evidence.h"
#include "headjoint/diagnosis/network.h"

#if __has_include(<dlib/bayes_utils.h>)
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wall"
#pragma GCC diagnostic ignored "-Wextra"
#pragma GCC diagnostic ignored "-Wpedantic"
#pragma GCC diagnostic ignored "-Wshadow"
#pragma GCC diagnostic ignored "-Wconversion"
#pragma GCC diagnostic ignored "-Wsign-conversion"
#pragma GCC diagnostic ignored "-Wnon-virtual-dtor"
#include <dlib/bayes_utils.h>
#include <dlib/directed_graph.h>
#include <dlib/graph.h>
#include <dlib/graph_utils.h>
#pragma GCC diagnostic pop
#define HEADJOINT_HAS_DLIB 1
#endif

namespace headjoint::diagnosis {
namespace {

/// Median of some runs, in milliseconds; of fewer once they have taken two seconds.
double median_ms(const std::function<void()>& body) {
  std::vector<double> times;
  double spent = 0;
  for (int run = 0; run < 51 && spent < 2000; ++run) {
    const auto start = std::chrono::steady_clock::now();
    body();
    times.push_back(std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count());
    spent += times.back();
  }
  std::sort(times.begin(), times.end());
  return times[times.size() / 2];
}

struct Question {
  std::string name;
  Network network;
  std::vector<NodeEvidence> evidence;
};

Question asia(const std::string& folder) {
  const auto document = read_json(read_file(folder + "asia.json"), "asia.json");
  Question question{"Asia, A and D seen", *read_network(*document), {}};
  question.evidence = *read_evidence(question.network, "A=yes,D=yes");
  return question;
}

/// Binary nodes, each with up to `parents` parents among the `window` before it, random tables.
Question random_network(std::size_t nodes, std::size_t parents, std::size_t window) {
  std::mt19937 random(12345);
  Question question{fmt::format("random, {} nodes, {} parents of the last {}", nodes, parents, window), {}, {}};
  for (std::size_t i = 0; i < nodes; ++i) {
    NetworkNode node{"n" + std::to_string(i), {"no", "yes"}, {}, {}};
    for (std::size_t p = 0; p < std::min(parents, i); ++p) {
      const std::size_t parent = i - 1 - random() % std::min(window, i);
      if (std::find(node.parents.begin(), node.parents.end(), parent) == node.parents.end()) node.parents.push_back(parent);
    }
    for (std::size_t row = 0; row < (std::size_t{1} << node.parents.size()); ++row) {
      const double p = 0.05 + 0.9 * static_cast<double>(random() % 1000) / 1000;
      node.table.insert(node.table.end(), {1 - p, p});
    }
    question.network.nodes.push_back(node);
  }
  return question;
}

/// Eight faults, twelve findings of which nine are seen; drawn once at random, tables spelled out.
Question eight_by_twelve() {
  const std::vector<double> prior{.06, .08, .16, .14, .09, .08, .13, .05};
  const std::vector<double> leak{.01, .02, .01, .05, .01, .02, .03, .01, .02, .05, .01, .02};
  const std::vector<std::vector<double>> strength{{0, .4, .8, .8, 0, 0, .6, 0, .4, .7, .6, .4}, {0, 0, .4, 0, 0, .4, .3, .5, .3, .7, .6, 0},
                                                  {0, .4, .3, 0, 0, .4, .4, 0, .5, .3, .3, .6}, {0, .7, 0, 0, 0, 0, 0, .4, 0, 0, 0, 0},
                                                  {.4, 0, 0, 0, .6, 0, 0, 0, 0, .6, 0, .3},     {0, 0, .3, 0, .9, .4, .2, 0, 0, 0, 0, .2},
                                                  {0, .7, 0, 0, 0, .8, 0, .5, 0, 0, 0, 0},      {.9, 0, 0, .6, .9, 0, 0, 0, .5, 0, 0, .3}};
  const std::map<std::size_t, std::size_t> seen{{0, 1}, {1, 1}, {2, 0}, {3, 1}, {4, 0}, {6, 1}, {8, 0}, {9, 1}, {10, 0}};
  Question question{"8 x 12 noisy-OR, tables spelled out", {}, {}};
  for (std::size_t i = 0; i < 8; ++i)
    question.network.nodes.push_back({"d" + std::to_string(i), {"no", "yes"}, {}, {1 - prior[i], prior[i]}});
  for (std::size_t j = 0; j < 12; ++j) {
    NetworkNode node{"f" + std::to_string(j), {"no", "yes"}, {}, {}};
    std::vector<double> none{1 - leak[j]};
    for (std::size_t i = 0; i < 8; ++i) {
      if (strength[i][j] == 0) continue;
      node.parents.push_back(i);
      std::vector<double> wider;
      for (double value : none) wider.insert(wider.end(), {value, value * (1 - strength[i][j])});
      none = wider;
    }
    for (double value : none) node.table.insert(node.table.end(), {value, 1 - value});
    question.network.nodes.push_back(node);
    if (const auto found = seen.find(j); found != seen.end()) question.evidence.push_back({8 + j, seen_state(2, found->second)});
  }
  return question;
}

#ifdef HEADJOINT_HAS_DLIB
struct ByDlib {
  double make_ms = 0;
  double ask_ms = 0;
  std::vector<double> yes;
};

ByDlib by_dlib(const Question& question) {
  using namespace dlib;
  using namespace dlib::bayes_node_utils;
  using Bayes = directed_graph<bayes_node>::kernel_1a_c;
  using Sets = dlib::set<unsigned long>::compare_1b_c;
  using Tree = graph<Sets, Sets>::kernel_1a_c;
  const auto& nodes = question.network.nodes;
  Bayes net;
  net.set_number_of_nodes(nodes.size());
  for (std::size_t i = 0; i < nodes.size(); ++i)
    for (std::size_t p : nodes[i].parents) net.add_edge(p, i);
  for (std::size_t i = 0; i < nodes.size(); ++i) set_node_num_values(net, i, nodes[i].states.size());
  for (std::size_t i = 0; i < nodes.size(); ++i) {
    const std::size_t own = nodes[i].states.size();
    for (std::size_t row = 0; row * own < nodes[i].table.size(); ++row) {
      assignment parents;
      std::size_t left = row;
      for (std::size_t p = nodes[i].parents.size(); p-- > 0;) {
        const std::size_t count = nodes[nodes[i].parents[p]].states.size();
        parents.add(nodes[i].parents[p], left % count);
        left /= count;
      }
      for (std::size_t s = 0; s < own; ++s) set_node_probability(net, i, s, parents, nodes[i].table[row * own + s]);
    }
  }
  for (const NodeEvidence& piece : question.evidence) {
    const auto state =
        static_cast<unsigned long>(std::max_element(piece.likelihood.begin(), piece.likelihood.end()) - piece.likelihood.begin());
    set_node_value(net, piece.node, state);
    set_node_as_evidence(net, piece.node);
  }
  ByDlib result;
  Tree tree;
  result.make_ms = median_ms([&] {
    Tree fresh;
    create_moral_graph(net, fresh);
    create_join_tree(fresh, fresh);
    tree.clear();
    dlib::swap(tree, fresh);
  });
  result.ask_ms = median_ms([&] {
    bayesian_network_join_tree solution(net, tree);
    result.yes.clear();
    for (std::size_t i = 0; i < nodes.size(); ++i) result.yes.push_back(solution.probability(i)(1));
  });
  return result;
}
#endif

void report(const Question& question) {
  NetworkPosterior own;
  const double ms = median_ms([&] { own = infer(question.network, question.evidence); });
  fmt::print("{:<44} ours, order search included {:8.3f} ms", question.name, ms);
#ifdef HEADJOINT_HAS_DLIB
  const ByDlib other = by_dlib(question);
  double away = 0;
  for (std::size_t i = 0; i < other.yes.size(); ++i) away = std::max(away, std::abs(other.yes[i] - own.posteriors[i][1]));
  fmt::print("   dlib join tree {:9.3f} ms + making it {:8.3f} ms   largest difference {:.1e}", other.ask_ms, other.make_ms, away);
#endif
  fmt::print("\n");
}

}  // namespace
}  // namespace headjoint::diagnosis

/// One network from a file and one question, as lines for bench/outside/compare.py.
int answer(const char* path, const char* seen) {
  using namespace headjoint;
  using namespace headjoint::diagnosis;
  const auto document = read_json(read_file(path), path);
  const auto network = document ? read_network(*document) : Result<Network>(document.problems());
  const auto evidence = network ? read_evidence(*network, seen) : Result<std::vector<NodeEvidence>>(network.problems());
  if (!evidence) {
    for (const Problem& problem : evidence.problems()) fmt::print(stderr, "{}\n", problem.what);
    return 1;
  }
  const Question question{path, *network, *evidence};
  NetworkPosterior own;
  const double ms = median_ms([&] { own = infer(question.network, question.evidence); });
  for (std::size_t i = 0; i < own.posteriors.size(); ++i)
    for (std::size_t s = 0; s < own.posteriors[i].size(); ++s)
      fmt::print("posterior;{};{};{:.17g}\n", network->nodes[i].name, network->nodes[i].states[s], own.posteriors[i][s]);
  fmt::print("ours;{}\n", ms);
#ifdef HEADJOINT_HAS_DLIB
  fmt::print("dlib;{}\n", by_dlib(question).ask_ms);
#endif
  return 0;
}

int main(int count, char** arguments) {
  using namespace headjoint::diagnosis;
  if (count == 3) return answer(arguments[1], arguments[2]);
  report(asia(std::string(HEADJOINT_SOURCE_DIR) + "/tests/published/"));
  report(eight_by_twelve());
  report(random_network(30, 2, 6));
  report(random_network(40, 2, 6));
  report(random_network(40, 5, 6));
}
