#include "headjoint/assess/cut_words.h"

#include <fmt/format.h>

#include <cmath>

namespace headjoint::assess {
namespace {

using machining::Consequence;
using machining::Consequences;
using machining::GradeChoice;
using machining::Matter;
using machining::Verdict;

constexpr double kWorthDoing_mm = 0.005, kWorthDoing_deg = 0.05;

std::string mm(double value) { return cut_number(value, "mm"); }
std::string mm(Length length) { return mm(length.si() * 1e3); }

/// How far a line lies outside its limit; 0 inside.
double beyond(const Consequence& line) {
  if (line.after && line.least && *line.after < line.least->value) return line.least->value - *line.after;
  if (line.after && line.most && *line.after > line.most->value) return *line.after - line.most->value;
  return 0;
}

std::vector<std::string> timing_remedies(const Consequences& all) {
  if (!all.timing || !(std::abs(all.timing->cam.degrees()) >= kWorthDoing_deg)) return {};
  const double cam = all.timing->cam.degrees();
  return {fmt::format("set the cam {} by {:.2f} deg at the cam ({:.2f} deg crank): offset key or dowel, slotted sprocket",
                      cam > 0 ? "forward" : "back", std::abs(cam), std::abs(2 * cam))};
}

std::vector<std::string> gap_remedies(const Consequence& line) {
  if (!line.after_with_cam_set_back || !(std::abs(*line.after_with_cam_set_back - *line.after) >= kWorthDoing_mm)) return {};
  return {fmt::format("with the cam's timing put right the gap is {}", mm(*line.after_with_cam_set_back))};
}

std::vector<std::string> drive_remedies(const Consequence& line, const Consequences& all) {
  if (!all.pushrod_shortening || !(std::abs(all.pushrod_shortening->si() * 1e3) >= kWorthDoing_mm)) return {};
  const std::string change = all.pushrod_shortening->si() > 0 ? "shorter" : "longer";
  const std::string pushrods = fmt::format("pushrods {} by {}", change, mm(std::abs(all.pushrod_shortening->si() * 1e3)));
  const std::string pedestals =
      all.lowered.si() > 0 ? fmt::format(", or shims of {} under the rocker pedestals", mm(all.lowered)) : std::string();
  if (line.matter == Matter::kLifterPreload) return {pushrods + pedestals};
  return {"set the lash again; where the adjuster does not reach: " + pushrods + pedestals};
}

std::vector<std::string> face_remedies(const Consequence& line) {
  if (!line.after || !(std::abs(*line.after) >= kWorthDoing_mm)) return {};
  const std::string where = line.matter == Matter::kIntakeFaceCut ? "each head's intake face, or each side of the manifold"
                                                                  : "the manifold where it sits on the block's end rails";
  if (*line.after > 0) return {fmt::format("take {} off {}", mm(*line.after), where)};
  return {fmt::format("the gap grows by {}: thicker manifold gaskets", mm(-*line.after))};
}

/// Lines that are put right by other work on the castings.
std::vector<std::string> casting_remedies(const Consequence& line) {
  if (!(beyond(line) > 0)) return {};
  const std::string by = mm(beyond(line));
  switch (line.matter) {
    case Matter::kHeadHeight:
    case Matter::kHeadRemoved:
      return {"nothing puts metal back: less cut, or another head"};
    case Matter::kDeckRemoved:
      return {"nothing puts metal back: less cut, or another block"};
    case Matter::kIntakeRecession:
    case Matter::kExhaustRecession:
      return {line.least && *line.after < line.least->value ? "cut the seats deeper by " + by : "new seats, higher by " + by};
    case Matter::kInsertProtrusion:
      return {"set the inserts deeper by " + by};
    case Matter::kDowelSpace:
      return {"deepen the dowel holes or shorten the dowels by " + by + " or more"};
    case Matter::kBoltEndSpace:
      return {"the maker's shorter bolts or thicker washers, " + by + " or more; never deepen a hole on a guess"};
    case Matter::kLinerProtrusion:
      return {line.least && *line.after < line.least->value ? "shims under the liners, " + by : "cut the counterbores deeper by " + by};
    case Matter::kTensionerTakeUp:
      return {"a shorter chain or belt or the maker's longer tensioner, for " + by + " or more"};
    default:
      return {};
  }
}

}  // namespace

std::string name_of(Matter matter) {
  switch (matter) {
    case Matter::kHeadHeight:
      return "head height left";
    case Matter::kHeadRemoved:
      return "off the head in all";
    case Matter::kDeckRemoved:
      return "off the deck in all";
    case Matter::kCompressionRatio:
      return "compression ratio";
    case Matter::kIntakeClosingRatio:
      return "intake-closing ratio";
    case Matter::kCompressionEndTemperature:
      return "end of compression";
    case Matter::kSquish:
      return "squish height";
    case Matter::kPistonProtrusion:
      return "piston above the deck";
    case Matter::kIntakeGap:
      return "intake valve to piston";
    case Matter::kExhaustGap:
      return "exhaust valve to piston";
    case Matter::kCamTiming:
      return "cam late";
    case Matter::kTensionerTakeUp:
      return "tensioner takes up";
    case Matter::kIntakeLash:
      return "intake lash";
    case Matter::kExhaustLash:
      return "exhaust lash";
    case Matter::kLifterPreload:
      return "lifter preload";
    case Matter::kIntakeFaceCut:
      return "manifold off its face";
    case Matter::kEndRailCut:
      return "manifold too high";
    case Matter::kIntakeRecession:
      return "intake valve below face";
    case Matter::kExhaustRecession:
      return "exhaust valve below face";
    case Matter::kInsertProtrusion:
      return "insert beyond face";
    case Matter::kDowelSpace:
      return "space over the dowels";
    case Matter::kBoltEndSpace:
      return "space under the bolts";
    case Matter::kLinerProtrusion:
      return "liner above the deck";
  }
  return {};
}

std::string cut_number(double value, const std::string& unit) {
  if (unit == "degC") return fmt::format("{:.0f} degC", value);
  const double plain = std::abs(value) < 0.0005 ? 0 : value;
  if (unit.empty()) return fmt::format("{:.2f}", plain);
  return fmt::format("{:.{}f} {}", plain, unit == "deg" ? 2 : 3, unit);
}

std::vector<std::string> remedies_of(const Consequence& line, const Consequences& all) {
  switch (line.matter) {
    case Matter::kCamTiming:
      return timing_remedies(all);
    case Matter::kIntakeGap:
    case Matter::kExhaustGap:
      return gap_remedies(line);
    case Matter::kIntakeLash:
    case Matter::kExhaustLash:
    case Matter::kLifterPreload:
      return drive_remedies(line, all);
    case Matter::kIntakeFaceCut:
    case Matter::kEndRailCut:
      return face_remedies(line);
    default:
      return casting_remedies(line);
  }
}

std::string note_of(const Consequence& line) {
  if (!line.fault.empty()) return line.fault;
  if (!line.after || !(*line.after < 0)) return {};
  switch (line.matter) {
    case Matter::kIntakeGap:
    case Matter::kExhaustGap:
      return "valve and piston run into each other";
    case Matter::kIntakeLash:
    case Matter::kExhaustLash:
      return "the valve is held open until the lash is set again";
    case Matter::kDowelSpace:
      return "the dowels hold the head off the gasket";
    case Matter::kBoltEndSpace:
      return "the bolts reach the bottom of their holes before they clamp";
    case Matter::kSquish:
      return "the piston runs into the head";
    default:
      return {};
  }
}

std::string grade_words(const GradeChoice& choice, const std::vector<joint::GasketGrade>& grades) {
  const std::string protrusion = mm(choice.protrusion);
  switch (choice.status) {
    case GradeChoice::Status::kChosen: {
      const joint::GasketGrade& grade = grades[choice.index];
      return fmt::format("pistons {} above the deck ask for the gasket marked {}, {}; {} remains over them", protrusion, grade.mark,
                         mm(grade.thickness->value), mm(choice.clearance_left));
    }
    case GradeChoice::Status::kAboveTable:
      return fmt::format("pistons {} above the deck are beyond the thickest gasket of the table: no gasket puts that right", protrusion);
    case GradeChoice::Status::kBelowTable:
      return fmt::format("pistons {} above the deck are below the table of gaskets: measure again", protrusion);
    case GradeChoice::Status::kBetweenGrades:
      return fmt::format("no gasket of the table is for pistons {} above the deck", protrusion);
    case GradeChoice::Status::kTableIncomplete:
      return "the table of graded gaskets lacks a thickness or a bound";
    case GradeChoice::Status::kNotRun:
      break;
  }
  return {};
}

}  // namespace headjoint::assess
