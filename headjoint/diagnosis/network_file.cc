#include <algorithm>
#include <cmath>
#include <set>

#include "headjoint/base/text.h"
#include "headjoint/diagnosis/network.h"

namespace headjoint::diagnosis {
namespace {

constexpr std::size_t kMostNodes = 10000;
constexpr std::size_t kMostStates = 64;
constexpr std::size_t kMostParents = 20;
constexpr std::size_t kMostNumbers = 1048576;
constexpr double kRowSumTolerance = 1e-9;

/// Reads one network document; keeps all problems.
class NetworkReader {
 public:
  Result<Network> read(const Document& document) {
    if (!document.is_table())
      return Problem{document.place(), "a network is a table, not " + document.kind_text(), "{\"format\": 1, \"nodes\": [...]}", ""};
    check_keys(document, {"format", "nodes"});
    const Document* format = document.find("format");
    if (format == nullptr || !format->is_integer() || format->integer() != 1)
      add(format != nullptr ? *format : document, "format is missing or not 1", "\"format\": 1");
    const Document* nodes = document.find("nodes");
    if (nodes == nullptr || !nodes->is_array() || nodes->array().empty() || nodes->array().size() > kMostNodes) {
      add(nodes != nullptr ? *nodes : document, "nodes must be a list", "1 to 10000 nodes");
      return problems_;
    }
    for (const Document& node : nodes->array()) read_head(node);
    if (has_errors(problems_)) return problems_;
    for (std::size_t i = 0; i < network_.nodes.size(); ++i) read_parents(nodes->array()[i], network_.nodes[i]);
    for (std::size_t i = 0; i < network_.nodes.size(); ++i) read_table(nodes->array()[i], network_.nodes[i]);
    if (!has_errors(problems_)) find_cycle(nodes->array());
    if (has_errors(problems_)) return problems_;
    return std::move(network_);
  }

 private:
  void add(const Document& where, std::string what, std::string allowed = "", std::string mend = "") {
    problems_.push_back({where.place(), std::move(what), std::move(allowed), std::move(mend)});
  }

  void check_keys(const Document& table, const std::vector<std::string>& known) {
    for (const auto& [key, value] : table.table())
      if (std::find(known.begin(), known.end(), key) == known.end()) {
        const auto near = nearest_name(key, known);
        add(value, "unknown key \"" + key + "\"", "", near ? "did you mean \"" + *near + "\"?" : "");
      }
  }

  /// A member that must be a list; null pointer with a problem when it is not.
  const Document* list(const Document& node, const char* key) {
    const Document* found = node.find(key);
    if (found != nullptr && found->is_array()) return found;
    add(found != nullptr ? *found : node, std::string(key) + " must be a list");
    return nullptr;
  }

  /// Name and states; parents need all names first.
  void read_head(const Document& document) {
    NetworkNode node;
    if (!document.is_table()) return add(document, "a node is a table, not " + document.kind_text());
    check_keys(document, {"name", "states", "parents", "table"});
    const Document* name = document.find("name");
    if (name == nullptr || !name->is_text() || trimmed(name->text()).empty())
      add(name != nullptr ? *name : document, "a node needs a name");
    else if (!names_.insert(name->text()).second)
      add(*name, "two nodes are called \"" + name->text() + "\"");
    else
      node.name = name->text();
    if (const Document* states = list(document, "states")) {
      if (states->array().size() < 2 || states->array().size() > kMostStates) add(*states, "wrong number of states", "2 to 64");
      for (const Document& state : states->array()) {
        if (!state.is_text())
          add(state, "a state is text, not " + state.kind_text());
        else if (std::find(node.states.begin(), node.states.end(), state.text()) != node.states.end())
          add(state, "state \"" + state.text() + "\" stands twice");
        else
          node.states.push_back(state.text());
      }
    }
    network_.nodes.push_back(std::move(node));
  }

  void read_parents(const Document& document, NetworkNode& node) {
    const Document* parents = list(document, "parents");
    if (parents == nullptr) return;
    if (parents->array().size() > kMostParents) return add(*parents, "too many parents", "0 to 20");
    for (const Document& parent : parents->array()) {
      const int index = parent.is_text() ? network_.find(parent.text()) : -1;
      if (index < 0) {
        const std::string wrong = parent.is_text() ? parent.text() : parent.kind_text();
        const std::vector<std::string> names(names_.begin(), names_.end());
        const auto near = nearest_name(wrong, names);
        add(parent, "no node is called \"" + wrong + "\"", "", near ? "did you mean \"" + *near + "\"?" : "");
      } else if (std::find(node.parents.begin(), node.parents.end(), static_cast<std::size_t>(index)) != node.parents.end()) {
        add(parent, "parent \"" + parent.text() + "\" stands twice");
      } else {
        node.parents.push_back(static_cast<std::size_t>(index));
      }
    }
  }

  void read_table(const Document& document, NetworkNode& node) {
    const Document* table = list(document, "table");
    if (table == nullptr) return;
    std::size_t rows = 1;
    for (std::size_t parent : node.parents) {
      rows *= network_.nodes[parent].states.size();
      if (rows * node.states.size() > kMostNumbers) return add(*table, "table of \"" + node.name + "\" is too large", "1048576 numbers");
    }
    if (table->array().size() != rows) {
      add(*table, "table of \"" + node.name + "\" has " + std::to_string(table->array().size()) + " rows",
          std::to_string(rows) + " rows, one per combination of parent states");
    }
    for (const Document& row : table->array()) read_row(row, node);
  }

  void read_row(const Document& row, NetworkNode& node) {
    const std::string wanted = std::to_string(node.states.size()) + " numbers, one per state";
    if (!row.is_array() || row.array().size() != node.states.size())
      return add(row, "wrong row in the table of \"" + node.name + "\"", wanted);
    double sum = 0;
    for (const Document& entry : row.array()) {
      const double value = entry.is_number() ? entry.number() : -1;
      if (!(value >= 0 && value <= 1)) return add(entry, "not a probability", "0 to 1");
      sum += value;
      node.table.push_back(value);
    }
    if (!(std::abs(sum - 1) <= kRowSumTolerance)) add(row, "row sums to " + number_text(sum, 12), "1 within 1e-9");
  }

  /// Takes away nodes without parents until none is left; what stays is in a cycle or below one.
  void find_cycle(const Array& documents) {
    std::vector<std::size_t> open(network_.nodes.size());
    std::vector<std::vector<std::size_t>> children(network_.nodes.size());
    std::vector<std::size_t> ready;
    for (std::size_t i = 0; i < network_.nodes.size(); ++i) {
      open[i] = network_.nodes[i].parents.size();
      for (std::size_t parent : network_.nodes[i].parents) children[parent].push_back(i);
      if (open[i] == 0) ready.push_back(i);
    }
    for (std::size_t done = 0; done < ready.size(); ++done)
      for (std::size_t child : children[ready[done]])
        if (--open[child] == 0) ready.push_back(child);
    if (ready.size() == network_.nodes.size()) return;
    for (std::size_t i = 0; i < network_.nodes.size(); ++i)
      if (open[i] != 0) add(documents[i], "node \"" + network_.nodes[i].name + "\" is its own ancestor, or below one that is", "no cycles");
  }

  Network network_;
  Problems problems_;
  std::set<std::string> names_;
};

}  // namespace

Result<Network> read_network(const Document& document) { return NetworkReader().read(document); }

}  // namespace headjoint::diagnosis
