#include "headjoint/assess/skim.h"

#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "headjoint/assess/face_reading.h"
#include "headjoint/base/error.h"
#include "headjoint/faces/cut.h"
#include "headjoint/faces/surface.h"

namespace headjoint::assess {
namespace {

constexpr double kMillimetre = 1e-3;
constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t kNamedPoints = 6;

double mm(Length length) { return length.si() / kMillimetre; }
Length from_mm(double value) { return Length::from_si(value * kMillimetre); }

std::string origin_of(const joint::OptionalFigure<Length>& figure) {
  if (!figure) return {};
  return figure->source.empty() ? "the engine's record" : figure->source;
}

std::optional<Length> value_of(const joint::OptionalFigure<Length>& figure) { return figure ? std::optional(figure->value) : std::nullopt; }

std::vector<std::string> names_of(const faces::FacePoints& points, const std::vector<std::size_t>& which) {
  std::vector<std::string> names;
  for (const std::size_t i : which)
    if (names.size() < kNamedPoints) names.push_back(points.name_of(i));
  return names;
}

CutFigure figure_of(const faces::FacePoints& points, const faces::Cut& cut, std::string held) {
  CutFigure figure;
  figure.held = std::move(held);
  figure.status = cut.status == faces::CutStatus::kLeast ? "proved least" : "cleans the face, least not proved";
  figure.depth_mm = mm(cut.depth);
  figure.at_least_mm = mm(cut.at_least);
  figure.mean_depth_mm = mm(cut.mean_depth);
  figure.out_of_parallel_mm = mm(cut.out_of_parallel);
  figure.highest = names_of(points, cut.highest);
  figure.deepest = names_of(points, cut.deepest);
  return figure;
}

std::string datum_text(const faces::CutDatum& datum, bool is_over_second_face, Skim& skim) {
  if (datum.points == 0 && is_over_second_face) return "the second face the thickness was measured from";
  if (datum.points == 0) {
    skim.assumed.push_back("the datum: no datum face or cam line was measured, so the plane the points were measured from stands for it");
    return "the plane the points were measured from";
  }
  const char* const what = datum.kind == faces::CutDatum::Kind::kLine ? "line" : "face";
  std::string text = fmt::format("a {} of {} points", what, datum.points);
  if (datum.spread.si() >= 0) {
    text += fmt::format(", itself out of {} by {:.3f} mm", *what == 'l' ? "straight" : "flat", mm(datum.spread));
  }
  return text;
}

/// What the record says of one part.
struct PartRecord {
  std::string name;
  joint::OptionalFigure<Length> height, least_height, removed_before, most_removed, flatness_limit, local_limit, local_window, roughness;
  joint::Material material;
};

PartRecord record_of(const joint::Engine& engine, faces::MachinedPart part) {
  PartRecord record;
  record.name = part == faces::MachinedPart::kHead ? "head" : "block";
  if (part == faces::MachinedPart::kHead && engine.head) {
    const joint::Head& head = *engine.head;
    record.height = head.height;
    record.least_height = head.least_height;
    record.removed_before = head.removed_before;
    record.flatness_limit = head.flatness_limit;
    record.local_limit = head.local_flatness_limit;
    record.local_window = head.local_window;
    record.roughness = head.roughness_limit;
    record.material = head.material;
  }
  if (part == faces::MachinedPart::kBlock && engine.block) {
    record.removed_before = engine.block->deck_removed_before;
    record.flatness_limit = engine.block->flatness_limit;
    record.roughness = engine.block->roughness_limit;
    record.material = engine.block->material;
  }
  if (engine.limits)
    record.most_removed = part == faces::MachinedPart::kHead ? engine.limits->head_removed_most : engine.limits->deck_removed_most;
  return record;
}

/// Height and earlier cuts from what was measured, else from the record, with what is assumed on the way.
faces::MetalLeft metal_of(const SkimQuestion& question, const PartRecord& record, Skim& skim) {
  faces::MetalLeft metal;
  metal.least_height = value_of(record.least_height);
  metal.most_removed = value_of(record.most_removed);
  metal.removed_before = question.removed_before ? question.removed_before : value_of(record.removed_before);
  metal.height = question.height;
  metal.is_height_measured = question.height.has_value();
  skim.height_origin = "measured";
  if (!metal.height && record.height) {
    if (!metal.removed_before) {
      skim.assumed.push_back("that no metal was removed before: neither the record nor a stamp was given");
    }
    metal.height = record.height->value - metal.removed_before.value_or(Length{});
    skim.height_origin = origin_of(record.height) + ", new height less what was removed before";
    skim.assumed.push_back("the height of the " + record.name + ": not measured, taken from the record");
  }
  skim.height_mm = metal.height ? mm(*metal.height) : 0;
  if (!metal.height) skim.height_origin.clear();
  skim.least_height_mm = metal.least_height ? mm(*metal.least_height) : 0;
  skim.removed_before_mm = metal.removed_before ? mm(*metal.removed_before) : kUnknown;
  return metal;
}

void add_islands(const faces::FacePoints& points, const faces::Cut& held, Length depth, Skim& skim) {
  skim.asked_depth_mm = mm(depth);
  if (points.size() > faces::kMostJoined) {
    skim.notes.push_back("Too many points to outline what the asked depth leaves uncut.");
    return;
  }
  const std::vector<double> over = faces::over_cut_mm(points, held.plane.normal, depth);
  for (const faces::Island& island : faces::islands(points, faces::joined_by_triangles(points), over))
    skim.islands.push_back(
        {island.area_mm2, island.deepest_mm, island.deepest_at.x_mm, island.deepest_at.y_mm, names_of(points, island.points)});
}

std::string state_text(faces::CheckState state) {
  switch (state) {
    case faces::CheckState::kGood:
      return "good";
    case faces::CheckState::kBad:
      return "bad";
    case faces::CheckState::kOpen:
      break;
  }
  return "to do";
}

void add_checks(const SkimQuestion& question, const joint::Engine& engine, const PartRecord& record, Length bow, Skim& skim) {
  faces::CheckQuestion asked;
  asked.part = question.part;
  asked.is_aluminium = record.material.name == "aluminium";
  asked.has_overhead_cam = engine.valves && engine.valves->drive == joint::ValveDrive::kOverheadCam;
  if (engine.gasket) asked.gasket_kind = engine.gasket->kind;
  asked.metal = record.material.name;
  asked.roughness_limit = value_of(record.roughness);
  if (engine.limits) asked.recession_limit = value_of(engine.limits->valve_recession_most);
  asked.bow = bow;
  for (const faces::MachineCheck& check : faces::machine_checks(asked, question.record))
    skim.checks.push_back(
        {check.check, check.why, check.limit, check.source, check.recorded, state_text(check.state), check.stops_the_cut});
}

void hold_against_metal(const SkimQuestion& question, const PartRecord& record, Skim& skim) {
  const faces::MetalLeft metal = metal_of(question, record, skim);
  const faces::HeightLeft left = faces::height_left(metal, from_mm(skim.total_mm), from_mm(skim.face.uncertainty_mm));
  skim.height_left_mm = left.height_left ? mm(*left.height_left) : kUnknown;
  skim.total_removed_mm = left.total_removed ? mm(*left.total_removed) : kUnknown;
  skim.may_still_go_mm = left.may_still_go ? mm(*left.may_still_go) : kUnknown;
  skim.because = left.because;
  skim.missing = left.missing;
  skim.decision = left.verdict ? verdict_text(*left.verdict) : "not known";
}

bool is_stopped(const Skim& skim) {
  for (const CheckEntry& check : skim.checks)
    if (check.stops_the_cut && check.state == "bad") return true;
  return false;
}

std::string decision_sentence(const Skim& skim) {
  if (is_stopped(skim)) return "Do not machine this part: a check that comes before the cut is bad.";
  if (skim.cut_needed == "no") return "No cut is needed: the face is within its limit.";
  if (skim.decision == "fail") return fmt::format("The {} has too little metal for a cut of {:.3f} mm.", skim.part, skim.total_mm);
  if (skim.decision == "undecided")
    return fmt::format("Too near to the limit to say whether a cut of {:.3f} mm leaves enough metal.", skim.total_mm);
  if (skim.decision == "not known")
    return fmt::format("A cut of {:.3f} mm cleans the face; whether the {} has the metal for it is not known.", skim.total_mm, skim.part);
  return fmt::format("The {} can be cut by {:.3f} mm.", skim.part, skim.total_mm);
}

std::string need_of(const Flatness& face) {
  if (face.limit_mm <= 0) return "not known";
  if (face.decision == "fail" || face.local.decision == "fail") return "yes";
  return face.decision == "pass" && (face.local.decision.empty() || face.local.decision == "pass") ? "no" : "undecided";
}

FaceQuestion face_question(const SkimQuestion& question, const joint::Engine& engine, const PartRecord& record) {
  FaceQuestion face;
  face.source = question.source;
  face.part = record.name;
  face.head.clear();
  face.limit = value_of(record.flatness_limit);
  face.limit_source = origin_of(record.flatness_limit);
  face.window = value_of(record.local_window);
  face.local_limit = value_of(record.local_limit);
  face.local_limit_source = origin_of(record.local_limit);
  face.uncertainty = question.uncertainty;
  if (engine.head) face.outline = engine.head->outline;
  return face;
}

}  // namespace

Result<Skim> judge_skim(const SkimQuestion& question, const joint::Engine& engine) {
  auto read = faces::read_face_points(question.table, question.source);
  std::optional<Result<faces::FacePoints>> datum_points;
  if (!question.datum_table.empty())
    datum_points = faces::read_face_points(question.datum_table, question.datum_source, faces::PointUse::kDatum);
  if (!read || (datum_points && !*datum_points)) {
    Problems problems = read ? Problems{} : read.problems();
    if (datum_points && !*datum_points) problems.insert(problems.end(), datum_points->problems().begin(), datum_points->problems().end());
    return problems;
  }
  const faces::FacePoints points = question.is_into_metal ? faces::turned_over(*read) : *read;
  faces::CutDatum datum = faces::measuring_plane();
  faces::Cut held;
  try {
    if (datum_points) datum = faces::datum_of(question.is_into_metal ? faces::turned_over(**datum_points) : **datum_points);
    held = faces::least_cut_held(points, datum, question.allowance);
  } catch (const InputError& error) {
    return Problem{{question.datum_source, 0, 0, {}}, error.what(), {}, "measure the datum in the same set-up as the face"};
  }
  const PartRecord record = record_of(engine, question.part);
  Skim skim;
  skim.engine = engine.name;
  skim.part = record.name;
  skim.plan = engine;
  skim.face = judge_points(face_question(question, engine, record), points);
  skim.least = figure_of(points, faces::least_cut(points), "free: the machine may tilt the part");
  skim.datum = datum_text(datum, points.is_over_second_face, skim);
  skim.parallel = figure_of(points, held, "parallel to " + skim.datum);
  skim.allowance_mm = mm(question.allowance);
  const faces::CutPlan plan = faces::plan_cut(held.depth, question.finish);
  skim.finish_mm = mm(plan.finish);
  skim.total_mm = mm(plan.total);
  skim.passes = plan.passes;
  if (question.depth) add_islands(points, held, *question.depth, skim);
  hold_against_metal(question, record, skim);
  add_checks(question, engine, record, from_mm(skim.face.minimum_zone_FLTt_mm), skim);
  if (is_stopped(skim)) skim.decision = "fail";
  skim.cut_needed = need_of(skim.face);
  skim.decision_text = decision_sentence(skim);
  if (!question.uncertainty)
    skim.assumed.push_back(fmt::format("an uncertainty of {:.3f} mm of the measured heights", skim.face.uncertainty_mm));
  if (skim.cut_needed == "undecided")
    skim.notes.push_back("Whether the face is out of limit at all is undecided: measure better before anything is cut.");
  return {std::move(skim), read.problems()};
}

}  // namespace headjoint::assess
