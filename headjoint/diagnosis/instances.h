#pragma once

#include <cstddef>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/diagnosis/pattern.h"

namespace headjoint::diagnosis {

/// One place of a scope: a cylinder, a bridge, a head. The words are the caller's.
struct Location {
  std::string scope;                 ///< as in the pattern's column `scope`
  std::string name;                  ///< "3", "2-3"
  std::vector<std::size_t> related;  ///< indices into Layout::locations of what it touches or holds; one direction is enough
};

/// All places, in an order along which neighbours follow each other (the sweep of the elimination goes that way).
struct Layout {
  std::vector<Location> locations;
  std::string whole = "engine";  ///< scope of nodes that exist once

  /// Index of that place, or -1.
  [[nodiscard]] int find(std::string_view scope, std::string_view name) const;
};

/// Influence of one parent: P(effect at least at state k | only this parent above its lowest state), k = 1 ...
struct Influence {
  std::size_t parent = 0;  ///< index into InstanceNetwork::instances
  std::vector<double> strength;
};

/// One node at one place: a leaky noisy-OR, or noisy-MAX when it has more than two states.
struct Instance {
  std::string name;  ///< "gas_to_coolant@3", engine-wide: "overheated"
  bool is_cause = false;
  std::size_t row = 0;  ///< in Pattern::causes or Pattern::findings
  int location = -1;    ///< in Layout::locations, -1 engine-wide
  std::size_t states = 2;
  std::vector<double> leak;  ///< P(at least state k with no parent active), k = 1 ...
  std::vector<Influence> parents;
  int measures = -1;  ///< the instance this one reads; then `leak` and `parents` are not used
};

/// The pattern laid out over one engine.
struct InstanceNetwork {
  Pattern pattern;
  Layout layout;
  std::vector<Instance> instances;  ///< parents before children

  /// Index of "name@place", or -1 (not there, or taken away by a context).
  [[nodiscard]] int find(std::string_view name) const;
  [[nodiscard]] int find(std::string_view node, std::string_view place) const;
  [[nodiscard]] const Cause& cause(std::size_t instance) const { return pattern.causes[instances[instance].row]; }
  [[nodiscard]] const Finding& finding(std::size_t instance) const { return pattern.findings[instances[instance].row]; }

  /// Name of the place, "" engine-wide.
  [[nodiscard]] std::string place(std::size_t instance) const;
  /// The row's text with {place} filled in ("2-3" reads "2 and 3").
  [[nodiscard]] std::string text(std::size_t instance) const;
};

/// A row's text with {place} filled in: "2-3" reads "2 and 3".
[[nodiscard]] std::string text_at(std::string text, std::string place);

/// Lays the pattern out over the places, with the contexts of the facts applied.
///
/// Chances and false-positive rates are multiplied by the factors of all contexts that hold and capped at kChanceCap; a factor 0
/// takes the node away. A finding that reads a node which is not there is taken away too.
///
/// @param facts  words that hold for this engine and job
/// @throws ContractError when a location's `related` is out of range or two locations share scope and name
[[nodiscard]] InstanceNetwork build(const Pattern& pattern, const Layout& layout, const std::set<std::string>& facts);

inline constexpr double kChanceCap = 0.5;

}  // namespace headjoint::diagnosis
