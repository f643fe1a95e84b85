#include "headjoint/assess/face_reading.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "headjoint/faces/coverage.h"
#include "headjoint/faces/decision.h"
#include "headjoint/faces/face_points.h"
#include "headjoint/faces/flatness.h"
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

/// Dial gauge with 0.01 mm steps on a grade 1 plate, wiped face.
Length usual_uncertainty(Length longer_side) {
  return faces::uncertainty_budget({faces::gauge_step(0.01 * unit_of<Length>("mm")),
                                    faces::reference_flatness(faces::plate_flatness(1, longer_side), "DIN 876 grade 1 plate"),
                                    faces::dirt()})
      .expanded;
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
      return "Undecided: " + figures + ". " + decision.to_settle;
  }
  return {};
}

std::vector<int> from_one(const std::vector<std::size_t>& indices) {
  std::vector<int> numbers;
  for (const std::size_t index : indices) numbers.push_back(static_cast<int>(index) + 1);
  return numbers;
}

void add_speck_note(const faces::FacePoints& points, const faces::MinimumZone& zone, Flatness& flatness) {
  const auto without = faces::flatness_without_each_contact(points, zone);
  if (without.empty() || !(mm(without.front().flatness) < 0.7 * mm(zone.flatness))) return;
  const std::size_t point = without.front().point;
  const std::string number = points.name_of(point);
  flatness.notes.push_back(fmt::format("Point {} alone holds much of this: without it {:.3f} mm. Wipe the spot and measure it again.",
                                       number, mm(without.front().flatness)));
}

}  // namespace

Result<Flatness> judge_face(const FaceQuestion& question) {
  const auto points = faces::read_face_points(question.table, question.source);
  if (!points) return points.problems();
  const faces::LeastSquaresFlatness least_squares = faces::least_squares_flatness(*points);
  const faces::MinimumZone zone = faces::minimum_zone_flatness(*points);
  std::vector<faces::OutlinePoint> outline;
  for (const joint::PlanPoint& corner : question.outline) outline.push_back({corner.x_mm, corner.y_mm});
  const faces::Coverage coverage = faces::coverage_of(*points, outline);

  Flatness flatness;
  flatness.part = question.part;
  flatness.head = question.head;
  flatness.source = question.source;
  flatness.points = static_cast<int>(points->size());
  flatness.not_measured = static_cast<int>(points->unmeasured.size());
  flatness.least_squares_FLTt_mm = mm(least_squares.peak_to_valley);
  flatness.FLTp_mm = mm(least_squares.peak_to_reference);
  flatness.FLTv_mm = mm(least_squares.reference_to_valley);
  flatness.FLTq_mm = mm(least_squares.root_mean_square);
  flatness.status = status_text(zone.status);
  flatness.minimum_zone_FLTt_mm = mm(zone.flatness);
  flatness.contact = faces::contact_text(zone.contact);
  flatness.upper_points = from_one(zone.upper);
  flatness.lower_points = from_one(zone.lower);
  flatness.is_certified = zone.status == faces::ZoneStatus::kOptimal;
  flatness.uncertainty_mm = mm(question.uncertainty.value_or(usual_uncertainty(coverage.length)));
  if (!question.uncertainty) {
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
  }
  add_speck_note(*points, zone, flatness);
  for (const Problem& warning : coverage.warnings) flatness.notes.push_back(warning.what);
  const std::vector<double> deviations = faces::residuals_mm(*points, zone.mid_plane);
  for (std::size_t i = 0; i < points->size(); ++i)
    flatness.face.push_back({points->x_mm[i], points->y_mm[i], points->z_mm[i], deviations[i], points->name_of(i)});
  return {std::move(flatness), points.problems()};
}

std::vector<double> face_likelihood(const Flatness& flatness) {
  if (!(flatness.limit_mm > 0) || !(flatness.uncertainty_mm > 0)) return {};
  const double standard = flatness.uncertainty_mm / 2;
  const double out = 0.5 * std::erfc((flatness.limit_mm - flatness.minimum_zone_FLTt_mm) / (standard * std::sqrt(2.0)));
  return {std::max(1 - out, kWrongReading), std::max(out, kWrongReading)};
}

}  // namespace headjoint::assess
