#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/faces/decision.h"
#include "headjoint/units/quantity.h"

/// Whether a part may be cut at all, and what to check before and after, in the order that saves work.
namespace headjoint::faces {

enum class MachinedPart { kHead, kBlock };

/// What is known of the metal that a part has to give. Everything the record does not say stays empty.
struct MetalLeft {
  std::optional<Length> height;          ///< now, measured, or new less what was removed before
  bool is_height_measured = false;       ///< else it is the new height less `removed_before`
  std::optional<Length> least_height;    ///< the maker's
  std::optional<Length> removed_before;  ///< by earlier cuts, from stamps or the record
  std::optional<Length> most_removed;    ///< the maker's limit on all cuts together
};

/// Whether the metal suffices for a cut.
struct HeightLeft {
  std::optional<Length> height_left;    ///< after the cut
  std::optional<Length> total_removed;  ///< with earlier cuts
  std::optional<Length> may_still_go;   ///< the most that may be removed now under both limits; empty without a limit
  std::optional<Verdict> verdict;       ///< empty when the record has no limit to hold against
  std::vector<std::string> because;     ///< each comparison in words, with what it rests on
  std::vector<std::string> missing;     ///< figures that would be needed
};

/// @param cut          all that comes off now, finish pass included; >= 0
/// @param uncertainty  of the cut (expanded, k = 2); >= 0
/// @throws InputError naming the argument
[[nodiscard]] HeightLeft height_left(const MetalLeft& metal, Length cut, Length uncertainty);

/// Depth and passes of a cut.
struct CutPlan {
  Length clean;   ///< that just cleans the face
  Length finish;  ///< last light pass
  Length total;
  int passes = 0;  ///< roughing passes no deeper than 0.10 mm, then the finish pass
};

/// Last pass when the machinist says nothing. Common practice 0.02 to 0.03 mm, no source.
inline constexpr double kUsualFinish_mm = 0.02;

/// @param clean   >= 0
/// @param finish  >= 0
/// @throws InputError naming the argument
[[nodiscard]] CutPlan plan_cut(Length clean, Length finish);

/// What the surface has to be like for a kind of gasket: Ra, trade figures without authority.
struct RoughnessAdvice {
  std::string gasket;
  double least_um = 0;  ///< Ra; 0 = no lower end
  double most_um = 0;   ///< Ra; 0 = no upper end
  std::string note;
};

/// Advice for a kind of gasket and the metal of the face; empty for a kind not listed.
/// @param kind    steel_layers | composite | graphite | copper | elastomer ... as engine files name gaskets, any case
/// @param metal   "aluminium", "iron" or empty
/// @par Source  trade pages and gasket makers' sheets: common practice, no authority. 1 uin = 0.0254 um.
[[nodiscard]] std::optional<RoughnessAdvice> roughness_advice(const std::string& kind, const std::string& metal);

/// Values recorded for the checklist; empty = not yet checked.
struct CheckRecord {
  std::vector<double> hardness_HB = {};  ///< at spots on the face, exhaust and intake side
  std::optional<bool> cracks_found = {};
  std::optional<Length> cam_line_bow = {};  ///< greatest error between journals
  std::optional<Length> valve_recession = {};
  std::optional<Length> roughness = {};    ///< Ra
  std::optional<Length> parallelism = {};  ///< after the cut, end to end
};

/// What the checklist depends on.
struct CheckQuestion {
  MachinedPart part = MachinedPart::kHead;
  bool is_aluminium = false;
  bool has_overhead_cam = false;
  std::string gasket_kind = {};
  std::string metal = {};
  std::optional<Length> roughness_limit = {};  ///< the maker's, Ra
  std::optional<Length> recession_limit = {};  ///< the maker's
  Length bow = {};                             ///< of the face, measured
};

enum class CheckState { kOpen, kGood, kBad };

struct MachineCheck {
  std::string check;  ///< "hardness of the face"
  std::string why;
  std::string limit;     ///< with its unit
  std::string source;    ///< of the limit
  std::string recorded;  ///< what was entered; empty when open
  CheckState state = CheckState::kOpen;
  bool stops_the_cut = false;  ///< when bad, do not machine
};

/// Checks in the order that saves work: what would scrap the part first, what the cut changes last.
[[nodiscard]] std::vector<MachineCheck> machine_checks(const CheckQuestion& question, const CheckRecord& record = {});

}  // namespace headjoint::faces
