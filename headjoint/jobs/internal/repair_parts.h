#pragma once

#include "headjoint/jobs/internal/job_parts.h"
#include "headjoint/jobs/repair_record.h"

/// The parts of a job file from the strip-down on, each read against the engine in hand.
namespace headjoint::jobs {

/// One [[seen]]
void read_seen(TableReader& reader, Seen& seen, const EngineInHand& in_hand);
[[nodiscard]] Document write_seen(const Seen& seen);

/// One [[photo]]
void read_photo(TableReader& reader, Photo& photo, const EngineInHand& in_hand);
[[nodiscard]] Document write_photo(const Photo& photo);

/// [strip_down]
void read_strip_down(TableReader& reader, StripDown& strip, const EngineInHand& in_hand);
[[nodiscard]] Document write_strip_down(const StripDown& strip);

/// [repair]
void read_repair(TableReader& reader, RepairDone& repair);
[[nodiscard]] Document write_repair(const RepairDone& repair);

}  // namespace headjoint::jobs
