#include "headjoint/assess/operation.h"

#include <algorithm>
#include <iterator>
#include <vector>

#include "headjoint/assess/operation_table.h"

namespace headjoint::assess {
namespace {

const std::vector<Operation>& table() {
  static const std::vector<Operation> operations = {
      // clang-format off
      assess_operation(),
      finding_operation(),
      next_check_operation(),
      options_operation(), questions_operation(),
      compression_operation(),
      leak_down_operation(),
      pressure_hold_operation(),
      cold_rise_operation(),
      gas_test_operation(),
      oil_water_operation(),
      white_vapour_operation(),
      boiling_operation(),
      trace_operation(),
      coolant_log_operation(),
      flatness_operation(),
      straightedge_operation(),
      skim_operation(),
      after_skim_operation(),
      shims_operation(),
      bolt_operation(),
      clamp_operation(),
      seal_chance_operation(),
      tighten_operation(),
      wrench_log_operation(),
      completeness_operation(),
      gasket_photo_operation(),
      plan_operation(),
      proof_operation(),
      network_operation(),
      shop_record_operation(),
      practice_operation(),
      check_operation(),
      new_operation(),
      // clang-format on
  };
  return operations;
}

}  // namespace

std::string Request::option(const std::string& name, const std::string& otherwise) const {
  const auto [first, last] = options.equal_range(name);
  if (first == last) return otherwise;
  const bool has_commas = std::any_of(first, last, [](const auto& option) { return option.second.find(',') != std::string::npos; });
  std::string values = first->second;
  for (auto option = std::next(first); option != last; ++option) values += (has_commas ? ";" : ",") + option->second;
  return values;
}

std::string_view program_version() { return HEADJOINT_VERSION; }

std::span<const Operation> operations() { return table(); }

const Operation* find_operation(std::string_view name) {
  const auto found = std::find_if(table().begin(), table().end(), [&](const Operation& operation) { return operation.name == name; });
  return found == table().end() ? nullptr : &*found;
}

}  // namespace headjoint::assess
