#pragma once

#include "headjoint/assess/repair_facts.h"
#include "headjoint/repair/plan.h"
#include "headjoint/repair/proof.h"

/// The plan of a job's repair, from the book in data/repair.
namespace headjoint::assess {

/// data/repair/plan.toml, read once. @throws ContractError when the shipped file is faulty (a test reads it)
[[nodiscard]] const repair::PlanBook& plan_book();
/// data/repair/second_failure.toml, likewise.
[[nodiscard]] const repair::SecondFailure& second_failure_table();

/// What to do with this engine, what it needs, in which order. `all` must hold finding, faces and after_skim as far as there are any.
[[nodiscard]] RepairPlan plan_of_repair(const Assessment& all);

/// What a cause or decision of the network is called in data: "renew_thermostat" for "thermostat"; "" when nothing cures it.
[[nodiscard]] std::string decision_of(const std::string& cause);

}  // namespace headjoint::assess
