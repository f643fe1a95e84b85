#pragma once

#include <cmath>
#include <limits>
#include <string>

#include "headjoint/assess/operation.h"
#include "headjoint/assess/results_face_map.h"
#include "headjoint/assess/results_faces.h"
#include "headjoint/assess/results_machining.h"

/// Invented engines and findings for the tests of this module. Their figures mean nothing.
namespace headjoint::report::invented {

inline joint::Passage passage(int number, joint::PassageKind kind, double x, double y, double diameter_mm) {
  joint::Passage passage;
  passage.number = number;
  passage.kind = kind;
  passage.at = joint::PlanPoint{x, y};
  passage.diameter = joint::assumed(Length::from_si(diameter_mm / 1000));
  return passage;
}

/// A four in line with every place given: 80 mm bores on a pitch of 100 mm, deck 430 x 170 mm.
inline joint::Engine inline_four() {
  joint::Engine engine;
  engine.name = "Marlow 1.6";
  engine.general.cylinders = 4;
  engine.general.bore = joint::assumed(Length::from_si(0.080));
  engine.head.emplace();
  engine.head->outline = {{0, 0}, {430, 0}, {430, 170}, {0, 170}};
  engine.bolts.emplace();
  int number = 0;
  for (int i = 0; i < 4; ++i) {
    const double x = 65 + 100.0 * i;
    engine.bores.push_back({i + 1, joint::PlanPoint{x, 85}, std::nullopt});
    for (const auto& [dx, y] : {std::pair{-33.0, 33.0}, {33.0, 33.0}, {0.0, 26.0}, {-33.0, 137.0}, {33.0, 137.0}, {0.0, 144.0}}) {
      engine.passages.push_back(passage(++number, joint::PassageKind::kCoolant, x + dx, y, 9));
    }
  }
  for (const double x : {90.0, 340.0}) engine.passages.push_back(passage(++number, joint::PassageKind::kOilPressure, x, 12, 9));
  for (const double x : {150.0, 282.0}) engine.passages.push_back(passage(++number, joint::PassageKind::kOilDrain, x, 159, 10));
  for (const double y : {15.0, 155.0}) {
    for (int i = 0; i < 5; ++i) engine.bolts->at.push_back({15 + 100.0 * i, y});
  }
  return engine;
}

/// An engine whose file gives no places at all.
inline joint::Engine without_places(int cylinders, joint::Layout layout, joint::HeadArrangement heads) {
  joint::Engine engine;
  engine.name = "Tarn " + std::to_string(cylinders);
  engine.general.cylinders = cylinders;
  engine.general.layout = layout;
  engine.general.heads = heads;
  return engine;
}

inline assess::Suspect suspect(const std::string& name, const std::string& where, const std::string& text, double chance) {
  return {name, where, text, {chance, 0.7 * chance, std::min(1.0, 1.2 * chance + 0.01)}, 0.02};
}

inline assess::Caution cranking() {
  return {"cranking",
          "WARNING",
          "cranking engine",
          "fan, belts and fuel spray can injure badly",
          "switch off ignition and injection, keep hands and clothes clear",
          ""};
}

/// Gas between 2 and 3, with most kinds of path present at least a little.
inline assess::Finding finding() {
  assess::Finding finding;
  finding.status = "done";
  finding.sentence = "The joint has very probably failed between cylinders 2 and 3.";
  finding.log_evidence = -11.2;
  finding.joint_failed = {0.93, 0.85, 0.97};
  finding.paths = {suspect("gas_to_neighbour", "2-3", "gas between cylinders 2 and 3", 0.87),
                   suspect("gas_to_coolant", "3", "gas into the coolant at cylinder 3", 0.11),
                   suspect("coolant_to_cylinder", "3", "coolant into cylinder 3", 0.09),
                   suspect("gas_to_oil", "2", "gas into an oil passage at cylinder 2", 0.06),
                   suspect("coolant_to_outside", "", "coolant to the outside", 0.05),
                   suspect("gas_to_outside", "1", "gas to the outside at cylinder 1", 0.04),
                   suspect("gas_to_coolant", "4", "gas into the coolant at cylinder 4", 0.01)};
  finding.causes = {suspect("overheated", "", "it was overheated", 0.62), suspect("low_clamp", "1", "too little clamp on head 1", 0.21)};
  finding.rivals = {suspect("ring_leak", "2", "worn rings, cylinder 2", 0.05), suspect("head_cracked", "1", "head cracked", 0.04)};
  finding.for_and_against = {
      {"compression", "2", "compression 2: 9.4 bar", "gas between cylinders 2 and 3", 0.9, "for"},
      {"air_at_neighbour", "2-3", "air at the neighbour's plug hole, 2 and 3", "gas between cylinders 2 and 3", 1.6, "strongly for"},
      {"bubbles", "", "no bubbles in the filler neck", "gas into the coolant at cylinder 3", -0.6, "against"},
      {"milky_oil", "", "oil clean under the cover", "gas into an oil passage at cylinder 2", -0.3, "slightly against"}};
  finding.conflicts = {{"misfire", "4", "a misfire at cylinder 4 fits none of the leading explanations", 1.2}};
  finding.not_counted = {"compression 1: void, battery flat"};
  return finding;
}

inline assess::LeakDown leak_down() {
  assess::LeakDown out;
  out.supply_bar = 5.52;
  out.orifice_mm = 1.02;
  out.orifice_area_mm2 = 0.81;
  out.smallest_leak_mm2 = 0.012;
  out.cylinders = {{1, "measured", 5.17, 0.2, 0.06, 0.21, 0.15, 0.27, 12.1, false},
                   {2, "measured", 3.02, 1.4, 0.45, 1.21, 1.02, 1.44, 60.2, true},
                   {3, "measured", 3.10, 1.3, 0.44, 1.14, 0.99, 1.36, 58.0, true},
                   {4, "not taken", 0, 0, 0, 0, 0, 0, 0, false}};
  out.notes = {"The area includes the healthy leak past the rings."};
  out.cautions = {{"air", "WARNING", "compressed air turns the crank", "a bar or spanner on the crank can break an arm",
                   "take it off before the air goes on", ""}};
  return out;
}

inline assess::Compression compression() {
  assess::Compression out;
  out.lowest_over_highest = 0.73;
  out.smallest_leak_mm2 = 0.3;
  out.cylinders = {{1, "measured", 12.8, 12.9, 0.99, 0.1, 0, 0.4},
                   {2, "measured", 9.4, 12.9, 0.73, 1.9, 1.4, 2.5},
                   {3, "measured", 9.3, 12.9, 0.72, 2.0, 1.5, 2.6},
                   {4, "not taken", 0, 0, 0, 0, 0, 0}};
  out.pairs = {{"2-3", "cylinders 2 and 3 are low together and next to each other"}};
  out.notes = {"Lowest under 75 % of highest (common practice, no source)."};
  return out;
}

/// A head face bent along its length, 5 x 3 points.
inline assess::Flatness face() {
  assess::Flatness out;
  out.part = "head";
  out.head = "1";
  out.source = "head.csv";
  out.points = 15;
  out.least_squares_FLTt_mm = 0.0712;
  out.FLTp_mm = 0.0401;
  out.FLTv_mm = 0.0311;
  out.FLTq_mm = 0.0213;
  out.status = "optimal";
  out.minimum_zone_FLTt_mm = 0.0644;
  out.contact = "1-2";
  out.upper_points = {8};
  out.lower_points = {1, 5};
  out.is_certified = true;
  out.limit_mm = 0.05;
  out.limit_source = "workshop manual";
  out.uncertainty_mm = 0.008;
  out.decision = "fail";
  out.decision_text = "0.064 mm is over 0.050 mm by more than the uncertainty";
  for (int row = 0; row < 3; ++row) {
    for (int i = 0; i < 5; ++i) {
      const double s = (i - 2) / 2.0;
      out.face.push_back({15 + 100.0 * i, 20 + 65.0 * row, 0.1 * i, 0.0322 - 0.0644 * s * s + 0.004 * (row - 1)});
    }
  }
  return out;
}

/// The same face with its map: two triangles, one band, a contour and a section.
inline assess::Flatness mapped_face() {
  assess::Flatness out = face();
  out.map.triangles = {{0, 1, 5}, {1, 6, 5}};
  out.map.bands = {{-0.0322, -0.0193, 3250, {{{15, 20}, {115, 20}, {15, 85}}}}};
  out.map.contours = {{-0.0193, false, {{15, 85}, {65, 52}, {115, 20}}}};
  assess::FaceSection section;
  section.name = "left edge, front to rear";
  section.profile = {{0, -0.036}, {200, 0.028}, {400, -0.036}};
  section.straightness_mm = 0.064;
  section.touch_from_mm = 0;
  section.touch_to_mm = 200;
  section.largest_gap_mm = 0.01;
  section.gap_at_mm = 100;
  out.map.sections = {section};
  out.local.window_mm = 100;
  out.local.status = "every position";
  out.local.flatness_mm = 0.02;
  out.local.decision = "pass";
  out.local.decision_text = "Within 100 x 100 mm: within the limit.";
  return out;
}

/// Two lines, one of them without a blade that stops.
inline assess::Straightedge straightedge() {
  assess::Straightedge out;
  out.source = "lines.csv";
  out.method = "straightedge and feelers";
  assess::LineFigure line;
  line.name = "exhaust side <A>";
  line.length_mm = 420;
  line.low_mm = 0.03;
  line.high_mm = std::numeric_limits<double>::infinity();
  line.bend = "hollow";
  line.gap_low_mm = 0.05;
  line.gap_high_mm = line.high_mm;
  line.decision = "undecided";
  line.spots = {{0, 0, 0.02, "measured"}, {210, 0.05, line.high_mm, "measured"}, {300, 0, 0, "not measured"}, {420, 0, 0.02, "measured"}};
  out.lines = {line, line};
  out.lines[1].name = std::string(90, 'w');
  out.worst_line_low_mm = 0.03;
  out.worst_line_high_mm = line.high_mm;
  out.join_status = "not joined: the spots have no place on the face";
  out.flatness_low_mm = 0.03;
  out.flatness_high_mm = line.high_mm;
  out.band_status = "no upper limit";
  out.not_seen = {"a twist, one end turned against the other"};
  out.loose = {"exhaust side <A>"};
  out.uncertainty_mm = 0.01;
  out.limit_mm = 0.05;
  out.decision = "undecided";
  out.decision_text = "Undecided: flatness deviation 0.030 mm or more against a limit of 0.050 mm.";
  out.to_settle = {"both diagonals"};
  return out;
}

inline assess::Skim skim() {
  const double unknown = std::numeric_limits<double>::quiet_NaN();
  assess::Skim out;
  out.engine = "Invented four";
  out.part = "head";
  out.face = mapped_face();
  out.least.held = "free: the machine may tilt the part";
  out.least.status = "proved least";
  out.least.depth_mm = 0.0644;
  out.least.highest = {"8"};
  out.least.deepest = {"1", "5"};
  out.parallel = out.least;
  out.parallel.depth_mm = 0.07;
  out.datum = "the plane the points were measured from";
  out.finish_mm = 0.02;
  out.total_mm = 0.09;
  out.passes = 2;
  out.asked_depth_mm = 0.03;
  assess::CutIsland island;
  island.area_mm2 = 1200;
  island.deepest_mm = 0.02;
  island.points = {"1"};
  out.islands = {island};
  out.height_left_mm = out.removed_before_mm = out.total_removed_mm = out.may_still_go_mm = unknown;
  out.decision = "not known";
  out.decision_text = "A cut of 0.090 mm cleans the face; whether the head has the metal for it is not known.";
  out.missing = {"height of the part"};
  out.assumed = {"the datum"};
  assess::CheckEntry check;
  check.check = "hardness of the face";
  check.why = "a soft head sinks again";
  check.limit = "mean at least 65 HB";
  check.source = "common practice";
  check.state = "to do";
  check.stops_the_cut = true;
  out.checks = {check};
  return out;
}

inline assess::NextCheck camera() {
  assess::NextCheck check;
  check.check = "camera";
  check.where = "2";
  check.text = "look into cylinder 2 with a camera";
  check.question = "a burnt track across the fire ring, or a crown washed clean";
  check.net_value = 61;
  check.value = 81;
  check.cost = 20;
  check.minutes = 20;
  check.why = "it would settle whether the land between 2 and 3 is burnt";
  check.cannot_see = "a leak that opens only hot";
  check.cautions = {cranking()};
  return check;
}

/// Everything at once.
inline assess::Assessment assessment() {
  assess::Assessment all;
  all.job.engine = inline_four();
  all.job.number = "0117";
  all.job.title = "runs on two cylinders after a climb";
  all.job.owner = "R. Fenn";
  all.job.mechanic = "A. Holm";
  all.job.opened = "2026-11-24";
  all.job.history.mileage = "184000 km";
  all.job.history.notes = "Topped up with water twice.";
  all.job.signs = {{"bubbles", "", "absent", "", {}}, {"rough_start", "", "seen", "clears after a minute", {}}};
  all.version = "0.1.0";
  all.finding = finding();
  assess::NextCheck torque = camera();
  torque.check = "release_torque";
  torque.text = "note the torque at which every bolt lets go";
  torque.net_value = 12;
  torque.cautions = {
      {"bolts", "WARNING", "stretched bolts can break", "flying parts and a slipping bar", "eye protection, pull towards you", ""}};
  all.next_checks = {camera(), torque};
  all.options = {{"lift_head", "lift the head, new gasket and bolts", 0.93, 480, 1900, true},
                 {"stop_leak", "stop-leak to get home", 0.93, 20, 2400, false}};
  all.leak_down = leak_down();
  all.compression = compression();
  all.faces = {face()};
  all.warnings = {{{"job.toml", 12, 3, ""},
                   "no resolution given for the gauge",
                   "0.01 bar to 1 bar",
                   "0.1 bar was taken",
                   Problem::Severity::kWarning}};
  return all;
}

inline assess::CutLine cut_line(const std::string& name, const std::string& unit, double before, double after, const std::string& verdict) {
  assess::CutLine line;
  line.line = name;
  line.name = name;
  line.unit = unit;
  line.before = before;
  line.after = after;
  line.band = 0.06;
  line.verdict = verdict;
  return line;
}

/// One line of each verdict.
inline assess::AfterSkim after_skim() {
  assess::AfterSkim answer;
  answer.engine = "Marlow 1.6";
  answer.head_mm = answer.lowered_mm = 0.15;
  answer.gasket_before_mm = answer.gasket_after_mm = 1.2;
  answer.sentence = "Out of limit: squish height.";
  answer.is_out_of_limit = true;
  answer.lines = {cut_line("compression_ratio", "", 9.85, 9.98, "ok"), cut_line("head height left", "mm", 120, 119.62, "near_limit"),
                  cut_line("squish height", "mm", 0.9, 0.75, "out_of_limit"), cut_line("end of compression", "degC", 476, 484, "no_limit")};
  assess::CutLine& squish = answer.lines[2];
  squish.least = 0.8;
  squish.limit_source = "limits.squish_least: workshop manual p. 12";
  squish.gasket_to_restore_mm = 1.35;
  squish.gasket_to_suffice_mm = 1.2501;
  assess::CutLine unknown;
  unknown.line = unknown.name = "intake valve to piston";
  unknown.unit = "mm";
  unknown.verdict = "cannot_say";
  unknown.missing = {"valves.intake.gap_at_dead_centre", "engine.rod_length"};
  answer.lines.push_back(unknown);
  answer.hints = {"Both banks must lose the same."};
  return answer;
}

inline assess::ShimAnswer shims() {
  assess::ShimAnswer answer;
  answer.name = "Job 0117";
  answer.sentence = "1 valve cannot be brought inside with these shims: 1 valve gets another shim, 1 shim to buy.";
  answer.valves = {{"1 intake", 2.45, 0.28, 0.17, 0.23, 0.20, 2.525, 0.205, "buy", true, 2.5, 2.56},
                   {"1 exhaust", 2.40, 0.90, 0.27, 0.33, 0.30, 2.40, 0.90, "own", false, 2.97, 3.03},
                   {"2 intake", 2.40, std::nullopt, 0.17, 0.23, 0.20, 2.40, std::nullopt, "own", false, 0, 0}};
  answer.buy = {{2.525, 1}};
  answer.left_over = {{2.45, 2}};
  answer.outside = 1;
  answer.moved = 1;
  answer.is_proven = true;
  answer.notes = {"valve 2 intake was not measured: it keeps its shim"};
  return answer;
}

}  // namespace headjoint::report::invented
