#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/document.h"
#include "headjoint/base/result.h"
#include "headjoint/diagnosis/status.h"

namespace headjoint::diagnosis {

/// One variable of a discrete network with its conditional table.
struct NetworkNode {
  std::string name;
  std::vector<std::string> states;   ///< two or more, all different
  std::vector<std::size_t> parents;  ///< indices into Network::nodes
  std::vector<double> table;  ///< P(state | parents): rows over the parents' states (last parent fastest), then the node's own states
};

/// Any discrete Bayesian network: an acyclic set of nodes.
struct Network {
  std::vector<NetworkNode> nodes;

  /// Index of the node of that name, or -1.
  [[nodiscard]] int find(std::string_view name) const;
};

/// Reads the network file: {"format": 1, "nodes": [{"name", "states", "parents", "table": [[...], ...]}, ...]}.
///
/// One row of the table per combination of parent states, the last parent varying fastest; every row sums to 1 within 1e-9.
/// Limits: 10 000 nodes, 64 states, 20 parents, 1 048 576 numbers in one table.
///
/// @returns the network, or every problem with its JSON pointer: cycles, unknown parents, tables of another size, values outside 0 to 1
[[nodiscard]] Result<Network> read_network(const Document& document);

/// What was seen of one node, as a likelihood P(seen | state) for each of its states; a known state is 1 there and 0 elsewhere.
struct NodeEvidence {
  std::size_t node = 0;
  std::vector<double> likelihood;  ///< one per state, >= 0, finite; a common factor changes log_evidence only
};

/// Reads "a=yes,b=no" (blanks allowed, empty text = nothing seen); names and states as in the network.
/// @returns the evidence, or every unknown node or state with the nearest name, and nodes named twice
[[nodiscard]] Result<std::vector<NodeEvidence>> read_evidence(const Network& network, std::string_view text);

/// Marginals of every node given the evidence.
struct NetworkPosterior {
  Status status = Status::kNotRun;
  double log_evidence = 0;                      ///< natural logarithm of P(evidence)
  std::vector<std::vector<double>> posteriors;  ///< [node][state]; empty unless done
  std::vector<std::size_t> conflicting;         ///< when impossible: indices into the evidence, see infer()
};

/// Exact inference: bucket elimination along a weighted min-fill order, upward and downward.
///
/// When the evidence is impossible, `conflicting` names the pieces each of which alone, taken away, makes the rest possible; when
/// there is no such piece, a smallest-by-deletion set that is impossible on its own.
///
/// @throws ContractError when a node index or a likelihood vector does not fit the network
/// @par Source  Zhang & Poole 1996; Dechter 1999 (bucket elimination); Shafer & Shenoy 1990 (messages without division)
/// @par Checked tests/published/network_test.cc
[[nodiscard]] NetworkPosterior infer(const Network& network, const std::vector<NodeEvidence>& evidence);

}  // namespace headjoint::diagnosis
