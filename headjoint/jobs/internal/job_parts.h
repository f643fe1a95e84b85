#pragma once

#include <string>
#include <vector>

#include "headjoint/base/table_reader.h"
#include "headjoint/base/table_writer.h"
#include "headjoint/jobs/job.h"
#include "headjoint/joint/figure_file.h"
#include "headjoint/joint/places.h"

/// The larger parts of a job file, each read against the engine in hand.
namespace headjoint::jobs {

/// What the parts must know of the engine; `known` is false while the engine itself has errors, and then places go unchecked.
struct EngineInHand {
  const joint::Engine& engine;
  joint::PlaceNames names;
  bool known = false;
};

/// [signs]
void read_signs(TableReader& reader, const std::string& key, std::vector<Sign>& into, const EngineInHand& in_hand);
[[nodiscard]] Document write_signs(const std::vector<Sign>& signs);

/// One [[reading]]
void read_reading(TableReader& reader, Reading& reading, const EngineInHand& in_hand);
[[nodiscard]] Document write_reading(const Reading& reading);

/// One [[face]]
void read_face(TableReader& reader, Face& face, const EngineInHand& in_hand, const joint::ReadBeside& read_beside);
[[nodiscard]] Document write_face(const Face& face);

/// [closure]
void read_closure(TableReader& reader, Closure& closure, const EngineInHand& in_hand);
void write_closure(TableWriter& writer, const Closure& closure);

}  // namespace headjoint::jobs
