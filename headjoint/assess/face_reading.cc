#include "headjoint/assess/face_reading.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "headjoint/assess/face_map.h"
#include "headjoint/faces/coverage.h"
#include "headjoint/faces/decision.h"
#include "headjoint/faces/face_points.h"
#include "headjoint/faces/flatness.h"
#include "headjoint/faces/local_flatness.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::assess {
namespace {

constexpr double kMillimetre = 1e-3;
/// Chance that a face reading says nothing about the face. Common practice, no source.
constexpr double kWrongReading = 0.01;

double mm(Length length) { return length.si() / kMillimetre; }

std::string status_text(faces::ZoneStatus status) {
  switch (status) {
    case faces::ZoneStatus::kNotRun:
      return "not run";
    case faces::ZoneStatus::kOptimal:
      return "optimal";
    case faces::ZoneStatus::kDegenerate:
      return "several zones equally thin";
    case faces::ZoneStatus::kNotCertified:
      return "upper limit, not proved the thinnest";
  }
  return {};
}

/// Dial gauge with 0.01 mm steps on a grade 1 plate, wiped face.
faces::UncertaintyBudget usual_budget(Length longer_side) {
  return faces::uncertainty_budget({faces::gauge_step(0.01 * unit_of<Length>("mm")),
                                    faces::reference_flatness(faces::plate_flatness(1, longer_side), "DIN 876 grade 1 plate"),
                                    faces::dirt()});
}

std::string decision_sentence(const faces::Decision& decision, Length value) {
  const std::string figures = fmt::format("{:.3f} mm ({:.3f} to {:.3f}) against a limit of {:.3f} mm", mm(value), mm(decision.low),
                                          mm(decision.high), mm(decision.limit));
  switch (decision.verdict) {
    case faces::Verdict::kPass:
      return "Within the limit: " + figures + ".";
    case faces::Verdict::kFail:
      return "Out of limit: " + figures + ".";
    case faces::Verdict::kUndecided:
      return "Undecided: " + figures + ". To settle it: " + decision.to_settle + ".";
  }
  return {};
}

/// Where points stand among those shown, from 1.
std::vector<int> from_one(const std::vector<std::size_t>& points, const std::vector<std::size_t>& shown) {
  std::vector<int> numbers;
  for (const std::size_t point : points)
    numbers.push_back(static_cast<int>(std::lower_bound(shown.begin(), shown.end(), point) - shown.begin()) + 1);
  return numbers;
}

std::string window_status_text(faces::WindowStatus status) {
  switch (status) {
    case faces::WindowStatus::kEvery:
      return "every position";
    case faces::WindowStatus::kSampled:
      return "sampled positions";
    case faces::WindowStatus::kTooSparse:
      return "pattern too wide for this window";
    case faces::WindowStatus::kNotRun:
      break;
  }
  return "not run";
}

void add_local(const FaceQuestion& question, const faces::FacePoints& points, Flatness& flatness) {
  if (!question.window) return;
  const faces::LocalFlatness found = faces::local_flatness(points, *question.window);
  LocalFigure& local = flatness.local;
  local.window_mm = mm(*question.window);
  local.status = window_status_text(found.status);
  local.flatness_mm = mm(found.flatness);
  local.at_x_mm = found.low_x_mm;
  local.at_y_mm = found.low_y_mm;
  if (!question.local_limit) return;
  local.limit_mm = mm(*question.local_limit);
  local.limit_source = question.local_limit_source;
  if (!(found.flatness.si() >= 0)) {
    local.decision = "undecided";
    local.decision_text = fmt::format("Undecided: no window of {:.0f} mm holds four points. Probe closer together.", local.window_mm);
    return;
  }
  const faces::Decision decision =
      faces::decide(found.flatness, Length::from_si(flatness.uncertainty_mm * kMillimetre), *question.local_limit);
  local.decision = verdict_text(decision.verdict);
  local.decision_text = fmt::format("Within {0:.0f} x {0:.0f} mm: {1}", local.window_mm, decision_sentence(decision, found.flatness));
}

void add_outliers(const faces::FacePoints& points, Flatness& flatness) {
  const std::vector<faces::Outlier> found = faces::outliers(points);
  for (const faces::Outlier& outlier : found) flatness.outliers.push_back({points.name_of(outlier.point), outlier.off_mm});
  if (found.empty()) return;
  const faces::Outlier& first = found.front();
  flatness.notes.push_back(
      fmt::format("Point {} stands {:.3f} mm {} its neighbours, {:.0f} times the usual{}: dirt, a burr, a slip or a dent?",
                  points.name_of(first.point), std::abs(first.off_mm), first.off_mm > 0 ? "over" : "under", first.times,
                  found.size() > 1 ? fmt::format(" (and {} more stand out)", found.size() - 1) : ""));
}

void add_speck_note(const faces::FacePoints& points, const faces::MinimumZone& zone, Flatness& flatness) {
  const auto without = faces::flatness_without_each_contact(points, zone);
  for (const faces::LeftOut& left : without)
    if (left.status != faces::ZoneStatus::kNotRun) flatness.without_each_contact.push_back({points.name_of(left.point), mm(left.flatness)});
  if (without.empty() || !(mm(without.front().flatness) < 0.7 * mm(zone.flatness))) return;
  const std::size_t point = without.front().point;
  const std::string number = points.name_of(point);
  flatness.notes.push_back(fmt::format("Point {} alone holds much of this: without it {:.3f} mm. Wipe the spot and measure it again.",
                                       number, mm(without.front().flatness)));
}

/// The points that are shown, with the map over them.
void add_shown(const faces::FacePoints& points, const faces::MinimumZone& zone, const std::vector<std::size_t>& shown, Flatness& flatness) {
  const std::vector<double> deviations = faces::residuals_mm(points, zone.mid_plane);
  faces::FacePoints drawn;
  std::vector<double> heights;
  for (const std::size_t i : shown) {
    flatness.face.push_back({points.x_mm[i], points.y_mm[i], points.z_mm[i], deviations[i], points.name_of(i)});
    drawn.x_mm.push_back(points.x_mm[i]);
    drawn.y_mm.push_back(points.y_mm[i]);
    drawn.z_mm.push_back(points.z_mm[i]);
    heights.push_back(deviations[i]);
  }
  flatness.map = face_map(drawn, heights);
  if (shown.size() < points.size())
    flatness.notes.push_back(fmt::format("{} of {} points are listed and drawn; every figure speaks of all.", shown.size(), points.size()));
}

/// Uncertainty, and the decision at the limit.
void add_decision(const FaceQuestion& question, const faces::MinimumZone& zone, const faces::Coverage& coverage, Flatness& flatness) {
  const faces::UncertaintyBudget budget = usual_budget(coverage.length);
  flatness.uncertainty_mm = mm(question.uncertainty.value_or(budget.expanded));
  if (!question.uncertainty) {
    for (const faces::Contribution& part : budget.contributions) flatness.budget.push_back({part.name, mm(part.half_width), part.source});
    flatness.notes.push_back(
        fmt::format("Uncertainty of the measurement not given: {:.3f} mm assumed (dial gauge 0.01 mm, grade 1 plate, wiped face; k = 2).",
                    flatness.uncertainty_mm));
  }
  if (question.limit) {
    const faces::Decision decision = faces::decide(zone.flatness, Length::from_si(flatness.uncertainty_mm * kMillimetre), *question.limit);
    flatness.limit_mm = mm(*question.limit);
    flatness.limit_source = question.limit_source;
    flatness.decision = verdict_text(decision.verdict);
    flatness.decision_text = decision_sentence(decision, zone.flatness);
    flatness.to_settle = decision.to_settle;
  }
}

}  // namespace

std::string verdict_text(faces::Verdict verdict) {
  switch (verdict) {
    case faces::Verdict::kPass:
      return "pass";
    case faces::Verdict::kUndecided:
      return "undecided";
    case faces::Verdict::kFail:
      return "fail";
  }
  return {};
}

Result<Flatness> judge_face(const FaceQuestion& question) {
  const auto points = faces::read_face_points(question.table, question.source);
  if (!points) return points.problems();
  return {judge_points(question, *points), points.problems()};
}

Flatness judge_points(const FaceQuestion& question, const faces::FacePoints& points) {
  const faces::LeastSquaresFlatness least_squares = faces::least_squares_flatness(points);
  const faces::MinimumZone zone = faces::minimum_zone_flatness(points);
  std::vector<faces::OutlinePoint> outline;
  for (const joint::PlanPoint& corner : question.outline) outline.push_back({corner.x_mm, corner.y_mm});
  const faces::Coverage coverage = faces::coverage_of(points, outline);

  Flatness flatness;
  flatness.part = question.part;
  flatness.head = question.head;
  flatness.source = question.source;
  flatness.points = static_cast<int>(points.size());
  flatness.not_measured = static_cast<int>(points.unmeasured.size());
  flatness.least_squares_FLTt_mm = mm(least_squares.peak_to_valley);
  flatness.FLTp_mm = mm(least_squares.peak_to_reference);
  flatness.FLTv_mm = mm(least_squares.reference_to_valley);
  flatness.FLTq_mm = mm(least_squares.root_mean_square);
  flatness.status = status_text(zone.status);
  flatness.minimum_zone_FLTt_mm = mm(zone.flatness);
  flatness.contact = faces::contact_text(zone.contact);
  std::vector<std::size_t> contacts = zone.upper;
  contacts.insert(contacts.end(), zone.lower.begin(), zone.lower.end());
  const std::vector<std::size_t> shown = points_to_show(points.size(), contacts);
  flatness.upper_points = from_one(zone.upper, shown);
  flatness.lower_points = from_one(zone.lower, shown);
  flatness.is_certified = zone.status == faces::ZoneStatus::kOptimal;
  add_decision(question, zone, coverage, flatness);
  add_speck_note(points, zone, flatness);
  for (const Problem& warning : coverage.warnings) flatness.notes.push_back(warning.what);
  add_outliers(points, flatness);
  add_local(question, points, flatness);
  add_shown(points, zone, shown, flatness);
  return flatness;
}

std::vector<double> face_likelihood(const Flatness& flatness) {
  if (!(flatness.limit_mm > 0) || !(flatness.uncertainty_mm > 0)) return {};
  const double standard = flatness.uncertainty_mm / 2;
  const double out = 0.5 * std::erfc((flatness.limit_mm - flatness.minimum_zone_FLTt_mm) / (standard * std::sqrt(2.0)));
  return {std::max(1 - out, kWrongReading), std::max(out, kWrongReading)};
}

}  // namespace headjoint::assess
