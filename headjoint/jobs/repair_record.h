#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "headjoint/joint/engine.h"

/// What was seen with the head off, what was done, and what the first run afterwards showed. Nothing computed.
namespace headjoint::jobs {

/// [[seen]]: one thing seen at strip-down, on one part, at one place of the joint.
struct Seen {
  std::string part;                    ///< word of seen_parts(): "gasket"
  std::string where;                   ///< "2" a cylinder, "2-3" a bridge, "passage 4", "bolt 3", "head 1"; "" the whole part
  std::optional<joint::PlanPoint> at;  ///< on the plan, when no name says it well enough
  std::string kind;                    ///< word of seen_kinds(): "burnt_track"
  std::string note;
  std::string photo;  ///< name of one of the job's photographs
  Place place;
};

/// [[photo]]: what is kept of a photograph in the job; the picture itself is kept by the workbench.
struct Photo {
  std::string name;
  std::string where;  ///< as in Seen
  std::string caption;
  std::string taken;
};

/// [strip_down]: measured on the way down, before anything is cleaned or machined.
struct StripDown {
  std::string date;
  std::string by;
  std::string gasket_side_up;  ///< "right", "wrong" or empty: not looked at
  joint::OptionalFigure<Length> bolt_new_length;
  joint::OptionalFigure<Length> bolt_longest;                    ///< the maker's limit
  joint::OptionalFigure<Length> bolt_uncertainty;                ///< of one measured length
  std::vector<joint::OptionalFigure<Length>> bolt_lengths;       ///< bolt 1 first; empty where not measured
  std::vector<int> bolts_necked;                                 ///< numbers of bolts with a waist, or whose nut does not run freely
  std::vector<joint::OptionalFigure<Length>> liner_protrusions;  ///< cylinder 1 first
  std::string note;
  [[nodiscard]] bool is_empty() const;
};

/// [repair]: what was done, as the one who did it signs it.
struct RepairDone {
  std::string date;
  std::string by;
  std::string mileage;                         ///< as typed
  std::string gasket;                          ///< kind, maker's mark, lot: as the owner would have it on paper
  std::string bolts;                           ///< "new", "measured" (used again after measuring), "used" (used again unmeasured), or empty
  std::vector<std::string> done;               ///< words of repair_work()
  std::vector<std::string> cured;              ///< names of causes put right, as the finding calls them: "thermostat"
  std::vector<std::string> parts;              ///< fitted, in the shop's words
  joint::OptionalFigure<Length> head_removed;  ///< as the machine shop wrote it, where it differs from the order
  joint::OptionalFigure<Length> deck_removed;
  joint::OptionalFigure<Duration> warm_after;     ///< first heat: from starting to the thermostat's opening, at idle
  joint::OptionalFigure<Temperature> started_at;  ///< coolant before it
  joint::OptionalFigure<Temperature> settled;     ///< where the coolant stays, at idle
  joint::OptionalFigure<Volume> topped_up;        ///< after the first heat and cooling down
  std::string warranty;                           ///< "12 months or 20000 km", the shop's own promise
  std::string note;
  Place place;
};

/// "gasket", "head", "block", "bolt", "liner", "piston", "valve", "other"
[[nodiscard]] std::span<const std::string> seen_parts();
/// "burnt_track", "soot_track", "washed", "polished", "crack", "corroded", ...; "sound" is worth writing too.
[[nodiscard]] std::span<const std::string> seen_kinds();
/// What the chance of a second failure turns on: "head_skimmed", "deck_measured", "system_flushed", ...
[[nodiscard]] std::span<const std::string> repair_work();

}  // namespace headjoint::jobs
