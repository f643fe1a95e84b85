#include "headjoint/diagnosis/instances.h"

#include <algorithm>
#include <map>

#include "headjoint/base/error.h"

namespace headjoint::diagnosis {
namespace {

/// Builds the instances of one layout.
class Builder {
 public:
  Builder(const Pattern& pattern, const Layout& layout, const std::set<std::string>& facts) : facts_(facts) {
    network_.pattern = pattern;
    network_.layout = layout;
    check_layout();
  }

  InstanceNetwork build() {
    for (std::size_t i = 0; i < network_.pattern.causes.size(); ++i) add_cause(i);
    for (std::size_t i = 0; i < network_.pattern.findings.size(); ++i) add_finding(i);
    for (const Link& link : network_.pattern.links) add_link(link);
    resolve_readings();
    sort_parents_first();
    return std::move(network_);
  }

 private:
  void check_layout() {
    const auto& locations = network_.layout.locations;
    related_.assign(locations.size(), std::vector<bool>(locations.size(), false));
    for (std::size_t i = 0; i < locations.size(); ++i) {
      for (std::size_t j = 0; j < i; ++j)
        require(locations[i].scope != locations[j].scope || locations[i].name != locations[j].name, "two places share scope and name");
      for (std::size_t other : locations[i].related) {
        require(other < locations.size(), "a place is related to one that is not there");
        related_[i][other] = related_[other][i] = true;
      }
    }
  }

  /// Product of the factors of all contexts that hold for a node.
  [[nodiscard]] double factor(const std::string& node) const {
    double product = 1;
    for (const Context& context : network_.pattern.contexts)
      if (context.node == node && facts_.contains(context.fact) != context.when_absent) product *= context.factor;
    return product;
  }

  void add_instances(const std::string& name, const std::string& scope, Instance instance) {
    auto& made = made_[name];
    const auto add = [&](int location, std::string full_name) {
      instance.location = location;
      instance.name = std::move(full_name);
      made.push_back(network_.instances.size());
      network_.instances.push_back(instance);
    };
    if (scope == network_.layout.whole) return add(-1, name);
    for (std::size_t i = 0; i < network_.layout.locations.size(); ++i)
      if (network_.layout.locations[i].scope == scope) add(static_cast<int>(i), name + "@" + network_.layout.locations[i].name);
  }

  void add_cause(std::size_t row) {
    const Cause& cause = network_.pattern.causes[row];
    const double times = factor(cause.name);
    if (times == 0) return;
    Instance instance;
    instance.is_cause = true;
    instance.row = row;
    instance.leak = {times == 1 ? cause.chance : std::min(cause.chance * times, kChanceCap)};
    add_instances(cause.name, cause.scope, std::move(instance));
  }

  void add_finding(std::size_t row) {
    const Finding& finding = network_.pattern.findings[row];
    const double times = factor(finding.name);
    if (times == 0) return;
    Instance instance;
    instance.row = row;
    instance.states = finding.states.size();
    for (double chance : finding.false_positive) instance.leak.push_back(times == 1 ? chance : std::min(chance * times, kChanceCap));
    add_instances(finding.name, finding.scope, std::move(instance));
  }

  [[nodiscard]] bool joined(const Instance& a, const Instance& b) const {
    if (a.location < 0 || b.location < 0 || a.location == b.location) return true;
    return related_[static_cast<std::size_t>(a.location)][static_cast<std::size_t>(b.location)];
  }

  void add_link(const Link& link) {
    for (std::size_t effect : made_[link.effect])
      for (std::size_t cause : made_[link.cause])
        if (joined(network_.instances[cause], network_.instances[effect]))
          network_.instances[effect].parents.push_back({cause, link.strength});
  }

  /// Ties readings to the node they read at the same place; those without one go.
  void resolve_readings() {
    std::vector<bool> keep(network_.instances.size(), true);
    for (std::size_t i = 0; i < network_.instances.size(); ++i) {
      Instance& instance = network_.instances[i];
      if (instance.is_cause || network_.finding(i).measures.empty()) continue;
      for (std::size_t read : made_[network_.finding(i).measures])
        if (network_.instances[read].location == instance.location) instance.measures = static_cast<int>(read);
      keep[i] = instance.measures >= 0;
      instance.parents.clear();
    }
    keep_ = keep;
  }

  void sort_parents_first() {
    const std::size_t count = network_.instances.size();
    std::vector<std::size_t> order;
    std::vector<char> mark(count, 0);
    for (std::size_t i = 0; i < count; ++i)
      if (keep_[i]) visit(i, mark, order);
    std::vector<std::size_t> position(count, count);
    for (std::size_t k = 0; k < order.size(); ++k) position[order[k]] = k;
    std::vector<Instance> sorted;
    for (std::size_t i : order) {
      Instance instance = std::move(network_.instances[i]);
      for (Influence& influence : instance.parents) influence.parent = position[influence.parent];
      if (instance.measures >= 0) instance.measures = static_cast<int>(position[static_cast<std::size_t>(instance.measures)]);
      sorted.push_back(std::move(instance));
    }
    network_.instances = std::move(sorted);
  }

  void visit(std::size_t i, std::vector<char>& mark, std::vector<std::size_t>& order) {
    if (mark[i] == 2) return;
    require(mark[i] == 0, "the pattern has a cycle");
    mark[i] = 1;
    for (const Influence& influence : network_.instances[i].parents) visit(influence.parent, mark, order);
    if (network_.instances[i].measures >= 0) visit(static_cast<std::size_t>(network_.instances[i].measures), mark, order);
    mark[i] = 2;
    order.push_back(i);
  }

  const std::set<std::string>& facts_;
  InstanceNetwork network_;
  std::map<std::string, std::vector<std::size_t>> made_;
  std::vector<std::vector<bool>> related_;
  std::vector<bool> keep_;
};

}  // namespace

int Layout::find(std::string_view scope, std::string_view name) const {
  for (std::size_t i = 0; i < locations.size(); ++i)
    if (locations[i].scope == scope && locations[i].name == name) return static_cast<int>(i);
  return -1;
}

int InstanceNetwork::find(std::string_view name) const {
  for (std::size_t i = 0; i < instances.size(); ++i)
    if (instances[i].name == name) return static_cast<int>(i);
  return -1;
}

int InstanceNetwork::find(std::string_view node, std::string_view place) const {
  return find(place.empty() ? std::string(node) : std::string(node) + "@" + std::string(place));
}

std::string InstanceNetwork::place(std::size_t instance) const {
  const int location = instances[instance].location;
  return location < 0 ? "" : layout.locations[static_cast<std::size_t>(location)].name;
}

std::string InstanceNetwork::text(std::size_t instance) const {
  return text_at(instances[instance].is_cause ? cause(instance).text : finding(instance).text, place(instance));
}

std::string text_at(std::string text, std::string place) {
  if (const std::size_t dash = place.find('-'); dash != std::string::npos) place.replace(dash, 1, " and ");
  constexpr std::string_view kMark = "{place}";
  for (std::size_t at = text.find(kMark); at != std::string::npos; at = text.find(kMark, at + place.size()))
    text.replace(at, kMark.size(), place);
  return text;
}

InstanceNetwork build(const Pattern& pattern, const Layout& layout, const std::set<std::string>& facts) {
  return Builder(pattern, layout, facts).build();
}

}  // namespace headjoint::diagnosis
