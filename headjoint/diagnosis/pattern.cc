#include "headjoint/diagnosis/pattern.h"

#include "headjoint/base/error.h"

namespace headjoint::diagnosis {
namespace {

template <class Row>
int index_of(const std::vector<Row>& rows, std::string_view name) {
  for (std::size_t i = 0; i < rows.size(); ++i)
    if (rows[i].name == name) return static_cast<int>(i);
  return -1;
}

}  // namespace

std::string_view to_text(Layer layer) {
  constexpr std::string_view kNames[] = {"root", "weakness", "path", "any", "rival"};
  return kNames[static_cast<std::size_t>(layer)];
}

std::string_view to_text(FindingKind kind) {
  constexpr std::string_view kNames[] = {"symptom", "history", "test", "reading", "hidden"};
  return kNames[static_cast<std::size_t>(kind)];
}

int Pattern::cause(std::string_view name) const { return index_of(causes, name); }
int Pattern::finding(std::string_view name) const { return index_of(findings, name); }
int Pattern::set_up(std::string_view name) const { return index_of(set_ups, name); }

double net_strength(double asked, double leak) {
  require(leak >= 0 && leak < 1, "leak must be 0 to less than 1");
  require(asked >= leak && asked <= 1, "asked strength must be the leak to 1");
  return (asked - leak) / (1 - leak);
}

}  // namespace headjoint::diagnosis
