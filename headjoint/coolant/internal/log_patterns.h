#pragma once

#include "headjoint/coolant/coolant_log.h"

/// One pattern each; every function adds what it sees.
namespace headjoint::coolant {

void find_steps(const CoolantLog& log, LogFinding& finding);
void find_thermostat(const CoolantLog& log, const LogQuestion& question, LogFinding& finding);
void find_fan_cycle(const CoolantLog& log, LogFinding& finding);
void find_hot_by_speed(const CoolantLog& log, const LogQuestion& question, LogFinding& finding);
void find_departure(const CoolantLog& log, const LogQuestion& question, LogFinding& finding);
void find_pressure(const CoolantLog& log, const LogQuestion& question, LogFinding& finding);

}  // namespace headjoint::coolant
