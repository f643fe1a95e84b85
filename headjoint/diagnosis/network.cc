#include "headjoint/diagnosis/network.h"

#include <cmath>
#include <numeric>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/diagnosis/internal/conflict.h"
#include "headjoint/diagnosis/internal/elimination_tree.h"

namespace headjoint::diagnosis {
namespace {

using internal::EliminationTree;
using internal::Factor;
using internal::FactorGraph;

/// Nodes that matter: everything, because all marginals are wanted.
FactorGraph graph_of(const Network& network) {
  FactorGraph graph;
  for (const NetworkNode& node : network.nodes) graph.add_variable(node.states.size());
  for (std::size_t i = 0; i < network.nodes.size(); ++i) {
    Factor factor{network.nodes[i].parents, network.nodes[i].table};
    factor.scope.push_back(i);
    graph.factors.push_back(std::move(factor));
  }
  return graph;
}

void check_evidence(const Network& network, const std::vector<NodeEvidence>& evidence) {
  for (const NodeEvidence& piece : evidence) {
    require(piece.node < network.nodes.size(), "evidence on a node that is not there");
    require(piece.likelihood.size() == network.nodes[piece.node].states.size(), "likelihood needs one number per state");
    for (double value : piece.likelihood) require(value >= 0 && std::isfinite(value), "likelihood must be finite and not negative");
  }
}

internal::Trial trial_of(const std::vector<NodeEvidence>& evidence, const std::vector<bool>& used) {
  internal::Trial trial;
  for (std::size_t i = 0; i < evidence.size(); ++i)
    if (used[i]) trial.weighted.push_back({evidence[i].node, evidence[i].likelihood});
  return trial;
}

}  // namespace

int Network::find(std::string_view name) const {
  for (std::size_t i = 0; i < nodes.size(); ++i)
    if (nodes[i].name == name) return static_cast<int>(i);
  return -1;
}

NetworkPosterior infer(const Network& network, const std::vector<NodeEvidence>& evidence) {
  check_evidence(network, evidence);
  NetworkPosterior result;
  FactorGraph graph = graph_of(network);
  for (const NodeEvidence& piece : evidence) graph.factors.push_back({{piece.node}, piece.likelihood});
  const internal::Elimination order = internal::best_order(graph, {{}});
  if (!(order.cells <= kCellLimit)) {
    result.status = Status::kTooLarge;
    return result;
  }
  EliminationTree tree(graph, order);
  std::vector<internal::Variable> wanted(network.nodes.size());
  std::iota(wanted.begin(), wanted.end(), 0U);
  internal::Marginals marginals = tree.marginals({}, wanted);
  if (marginals.total.sign == 0) {
    result.status = Status::kImpossible;
    EliminationTree unseen(graph_of(network), order);
    result.conflicting = internal::conflicting_pieces(
        evidence.size(), [&](const std::vector<bool>& used) { return unseen.total(trial_of(evidence, used)).sign != 0; });
    return result;
  }
  result.status = marginals.disagreement <= kAccuracy ? Status::kDone : Status::kInaccurate;
  result.log_evidence = marginals.total.log;
  if (result.status == Status::kDone) result.posteriors = std::move(marginals.values);
  return result;
}

Result<std::vector<NodeEvidence>> read_evidence(const Network& network, std::string_view text) {
  std::vector<NodeEvidence> evidence;
  Problems problems;
  std::vector<std::string> names;
  for (const NetworkNode& node : network.nodes) names.push_back(node.name);
  const auto problem = [&](std::string what, const std::string& wrong, const std::vector<std::string>& known) {
    const auto near = nearest_name(wrong, known);
    problems.push_back({{}, std::move(what), "node=state, separated by commas", near ? "did you mean \"" + *near + "\"?" : ""});
  };
  if (trimmed(text).empty()) return evidence;
  for (std::string_view piece : split(text, ',')) {
    const std::size_t equals = piece.find('=');
    const std::string name(trimmed(piece.substr(0, equals)));
    const std::string state(equals == std::string_view::npos ? "" : trimmed(piece.substr(equals + 1)));
    const int node = network.find(name);
    if (equals == std::string_view::npos || node < 0) {
      problem("no node is called \"" + name + "\"", name, names);
      continue;
    }
    const auto at = static_cast<std::size_t>(node);
    for (const NodeEvidence& earlier : evidence)
      if (earlier.node == at) problem("node \"" + name + "\" is given twice", "", {});
    const auto& states = network.nodes[at].states;
    NodeEvidence found{at, std::vector<double>(states.size(), 0.0)};
    bool known = false;
    for (std::size_t s = 0; s < states.size(); ++s)
      if (states[s] == state) {
        found.likelihood[s] = 1;
        known = true;
      }
    if (!known) problem("node \"" + name + "\" has no state \"" + state + "\"", state, states);
    evidence.push_back(std::move(found));
  }
  if (has_errors(problems)) return problems;
  return evidence;
}

}  // namespace headjoint::diagnosis
