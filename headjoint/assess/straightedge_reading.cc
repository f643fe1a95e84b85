#include "headjoint/assess/straightedge_reading.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "headjoint/assess/face_map.h"
#include "headjoint/assess/face_reading.h"
#include "headjoint/faces/decision.h"
#include "headjoint/faces/flatness.h"
#include "headjoint/faces/joined_lines.h"
#include "headjoint/faces/line_straightness.h"
#include "headjoint/faces/straightedge.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::assess {
namespace {

constexpr double kMillimetre = 1e-3;
constexpr double kUsualEdge_um = 9;  // band of a shop straightedge: common practice, no source

double mm(Length length) { return length.si() / kMillimetre; }

std::string interval_text(double low, double high) {
  return std::isfinite(high) ? fmt::format("{:.3f} to {:.3f} mm", low, high) : fmt::format("{:.3f} mm or more", low);
}

/// Everything but the step of the blades.
faces::UncertaintyBudget usual_budget() {
  return faces::uncertainty_budget(
      {faces::feeler_blade(),
       faces::reference_flatness(kUsualEdge_um * unit_of<Length>("um"), "shop straightedge, common practice, no source"), faces::dirt()});
}

/// A band against a limit: proved within, proved beyond, or neither.
std::string decision_on(double low, double high, double u, double limit) {
  if (high + u <= limit) return "pass";
  return low - u > limit ? "fail" : "undecided";
}

std::string decision_words(const std::string& decision) {
  if (decision == "pass") return "Within the limit";
  return decision == "fail" ? "Out of limit" : "Undecided";
}

std::string state_text(faces::LineSpot::State state) {
  switch (state) {
    case faces::LineSpot::State::kMeasured:
      return "measured";
    case faces::LineSpot::State::kNotMeasured:
      return "not measured";
    case faces::LineSpot::State::kInaccessible:
      break;
  }
  return "not accessible";
}

/// Spots as they are drawn: gaps, or heights that the tilts add up to.
std::vector<LineSpotFigure> spots_of(const faces::MeasuredLine& line, faces::LineMethod method) {
  std::vector<LineSpotFigure> spots;
  for (const faces::LineSpot& spot : line.spots) spots.push_back({spot.along_mm, spot.low_mm, spot.high_mm, state_text(spot.state)});
  if (method == faces::LineMethod::kFeelers) return spots;
  for (const faces::ProfileSpot& spot : faces::profile_of(line, method)) {
    spots[spot.spot].low_mm = spot.low_mm;
    spots[spot.spot].high_mm = spot.high_mm;
  }
  return spots;
}

LineFigure line_figure(const faces::MeasuredLine& line, const LinesQuestion& question, faces::LineMethod method, double u) {
  const faces::LineStraightness found = faces::straightness_of(line, method, question.window);
  LineFigure figure;
  figure.name = line.name;
  figure.length_mm = line.length_mm();
  figure.low_mm = found.straightness.low_mm;
  figure.high_mm = found.straightness.high_mm;
  figure.bend = faces::bend_text(found.bend);
  figure.gap_low_mm = found.largest_gap.low_mm;
  figure.gap_high_mm = found.largest_gap.high_mm;
  if (found.local) {
    figure.local_low_mm = found.local->low_mm;
    figure.local_high_mm = found.local->high_mm;
  }
  if (question.limit) figure.decision = decision_on(figure.low_mm, figure.high_mm, u, mm(*question.limit));
  if (question.local_limit && found.local) {
    const std::string local = decision_on(figure.local_low_mm, figure.local_high_mm, u, mm(*question.local_limit));
    if (local == "fail" || (local == "undecided" && figure.decision != "fail") || figure.decision.empty()) figure.decision = local;
  }
  figure.spots = spots_of(line, method);
  return figure;
}

void add_lines(const faces::MeasuredLines& measured, const LinesQuestion& question, Straightedge& out) {
  for (const faces::MeasuredLine& line : measured.lines) {
    out.lines.push_back(line_figure(line, question, measured.method, out.uncertainty_mm));
    out.worst_line_low_mm = std::max(out.worst_line_low_mm, out.lines.back().low_mm);
    out.worst_line_high_mm = std::max(out.worst_line_high_mm, out.lines.back().high_mm);
  }
  const auto has = [&](const char* decision) {
    return std::any_of(out.lines.begin(), out.lines.end(), [&](const LineFigure& line) { return line.decision == decision; });
  };
  if (!question.limit && !question.local_limit) return;
  out.lines_decision = has("fail") ? "fail" : has("undecided") ? "undecided" : "pass";
  out.lines_decision_text = fmt::format("{}, line by line: the worst line is out of straight by {}{}.", decision_words(out.lines_decision),
                                        interval_text(out.worst_line_low_mm, out.worst_line_high_mm),
                                        question.limit ? fmt::format(" against {:.3f} mm", mm(*question.limit)) : "");
}

std::string join_text(faces::JoinStatus status) {
  switch (status) {
    case faces::JoinStatus::kDone:
      return "joined";
    case faces::JoinStatus::kNoPlaces:
      return "not joined: the spots have no place on the face";
    case faces::JoinStatus::kTooFewPlaces:
      return "not joined: fewer than four places, or all on one line";
    case faces::JoinStatus::kNotRun:
      break;
  }
  return "not run";
}

std::string band_text(faces::BandStatus status) {
  switch (status) {
    case faces::BandStatus::kExact:
      return "exact";
    case faces::BandStatus::kOuter:
      return "outer limits";
    case faces::BandStatus::kUnbounded:
      return "no upper limit";
    case faces::BandStatus::kNotRun:
      break;
  }
  return "not run";
}

/// The joined heights as a face that can be drawn.
void add_face(const faces::JoinedLines& joined, Straightedge& out) {
  const faces::MinimumZone zone = faces::minimum_zone_flatness(joined.places);
  out.joined_FLTt_mm = mm(zone.flatness);
  const std::vector<double> heights = faces::residuals_mm(joined.places, zone.mid_plane);
  for (std::size_t i = 0; i < joined.places.size(); ++i)
    out.face.push_back({joined.places.x_mm[i], joined.places.y_mm[i], joined.places.z_mm[i], heights[i], std::to_string(i + 1)});
  out.map = face_map(joined.places, heights);
}

void add_notes(const faces::JoinedLines& joined, Straightedge& out) {
  for (const faces::UnseenShape& unseen : joined.unseen)
    out.not_seen.push_back(faces::shape_text(unseen.shape) +
                           (unseen.share < 0.99 ? fmt::format(" ({:.0f} % of it)", 100 * unseen.share) : ""));
  if (joined.free_shapes > 0 && out.not_seen.empty())
    out.not_seen.push_back("lines that are not tied to each other may stand at any height and tilt");
  out.loose = joined.loose;
  if (joined.contradiction_mm > 0)
    out.notes.push_back(
        fmt::format("The readings contradict each other where lines cross: no face gives them all unless each gap is off by {:.3f} mm. "
                    "The worst is {}. Take it again; the band was widened by as much.",
                    joined.contradiction_mm, joined.largest_closure_at));
}

void add_joined(const faces::MeasuredLines& measured, Straightedge& out) {
  const faces::JoinedLines joined = faces::join_lines(measured);
  out.join_status = join_text(joined.status);
  out.flatness_low_mm = out.worst_line_low_mm;  // a zone that holds the face holds every line of it
  out.flatness_high_mm = std::numeric_limits<double>::infinity();
  out.band_status = band_text(faces::BandStatus::kUnbounded);
  if (joined.status != faces::JoinStatus::kDone) {
    out.not_seen.push_back("anything but the lines themselves: a twist, and how the lines stand to each other");
    return;
  }
  out.band_status = band_text(joined.band_status);
  out.flatness_low_mm = std::max(joined.flatness.low_mm, out.worst_line_low_mm * (joined.contradiction_mm > 0 ? 0 : 1));
  out.flatness_high_mm = joined.flatness.high_mm;
  out.closures = static_cast<int>(joined.closures);
  out.closure_rms_mm = joined.closure_rms_mm;
  out.largest_closure_mm = joined.largest_closure_mm;
  out.largest_closure_at = joined.closures > 0 ? joined.largest_closure_at : "";
  out.contradiction_mm = joined.contradiction_mm;
  add_notes(joined, out);
  add_face(joined, out);
  for (const faces::WideReading& wide : joined.widest) {
    const faces::MeasuredLine* line = nullptr;
    for (const faces::MeasuredLine& candidate : measured.lines)
      if (candidate.name == wide.line) line = &candidate;
    if (line == nullptr || measured.method != faces::LineMethod::kFeelers) continue;
    const double low = wide.low_mm;
    const std::string blade = !std::isfinite(wide.high_mm) ? fmt::format("one over {:.3f} mm that does not enter", low)
                              : low > 0                    ? fmt::format("one between {:.3f} and {:.3f} mm", low, wide.high_mm)
                                                           : fmt::format("one thinner than {:.3f} mm", wide.high_mm);
    out.to_settle.push_back(
        fmt::format("a finer blade under line {}, at {:.0f} mm: {}", wide.line, line->spots[wide.spot].along_mm, blade));
  }
}

/// What would settle an undecided face, the most telling first.
void add_settling(Straightedge& out) {
  std::vector<std::string> first;
  const bool hides_twist =
      std::any_of(out.not_seen.begin(), out.not_seen.end(), [](const std::string& s) { return s.find("twist") != std::string::npos; });
  if (out.join_status != "joined")
    first.push_back("write where each spot lies (x and y), with spots in common where lines cross");
  else if (!out.not_seen.empty())
    first.push_back(hides_twist ? "both diagonals, with a spot where they cross and spots in common with the edges: they alone show a twist"
                                : "one more line across those measured, with a spot in common with each");
  else if (!std::isfinite(out.flatness_high_mm))
    first.push_back("thicker blades until one does not enter");
  if (out.join_status == "joined" && out.flatness_high_mm - out.flatness_low_mm < 2 * out.uncertainty_mm)
    first.push_back("a probe grid on a surface plate: blade, edge and dirt are uncertain by more than the steps of the blades");
  out.to_settle.insert(out.to_settle.begin(), first.begin(), first.end());
}

void decide(const LinesQuestion& question, Straightedge& out) {
  if (question.limit) {
    const double limit = mm(*question.limit);
    out.limit_mm = limit;
    out.limit_source = question.limit_source;
    out.decision = decision_on(out.flatness_low_mm, out.flatness_high_mm, out.uncertainty_mm, limit);
    out.decision_text =
        fmt::format("{}: flatness deviation {} (and {:.3f} mm either way for blade, edge and dirt) against a limit of {:.3f} mm.",
                    decision_words(out.decision), interval_text(out.flatness_low_mm, out.flatness_high_mm), out.uncertainty_mm, limit);
  }
  if (out.decision == "undecided" || out.decision.empty())
    add_settling(out);
  else
    out.to_settle.clear();
}

}  // namespace

Result<Straightedge> judge_lines(const LinesQuestion& question) {
  const auto measured = faces::read_measured_lines(question.table, question.source);
  if (!measured) return measured.problems();
  const bool is_feelers = measured->method == faces::LineMethod::kFeelers;
  Straightedge out;
  out.source = question.source;
  out.method = is_feelers ? "straightedge and feelers" : "tilts of a stepped foot";
  if (question.uncertainty) {
    out.uncertainty_mm = mm(*question.uncertainty);
  } else if (is_feelers) {
    const faces::UncertaintyBudget budget = usual_budget();
    out.uncertainty_mm = mm(budget.expanded);
    for (const faces::Contribution& part : budget.contributions) out.budget.push_back({part.name, mm(part.half_width), part.source});
    out.notes.push_back(fmt::format(
        "Uncertainty beside the steps of the blades not given: {:.3f} mm assumed (blade 5 um, edge 9 um band, dirt 5 um; k = 2).",
        out.uncertainty_mm));
  }
  if (question.window) out.window_mm = mm(*question.window);
  if (question.local_limit) out.local_limit_mm = mm(*question.local_limit);
  add_lines(*measured, question, out);
  add_joined(*measured, out);
  decide(question, out);
  return {std::move(out), measured.problems()};
}

}  // namespace headjoint::assess
