#include "headjoint/assess/gasket_photo.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "headjoint/base/text.h"
#include "headjoint/joint/engine_file.h"
#include "headjoint/photo/circle_finder.h"

namespace headjoint::assess {
namespace {

using photo::FoundCircle;
using photo::PicturePoint;
using photo::PlanMap;
using photo::PlanPlace;

constexpr double kStepsPerMillimetre = 10;
constexpr double kAboutShare = 0.25;
constexpr const char* kMapKinds[] = {"one scale", "two scales", "perspective"};

/// How large a hole of a kind may be, in radius (common practice, no source; `about` overrides it).
photo::CircleSearch search_for(const CircleTap& tap) {
  photo::CircleSearch search;
  if (tap.about) {
    const double radius = tap.about->si() * 1e3 / 2;
    search.least_radius_mm = (1 - kAboutShare) * radius;
    search.most_radius_mm = (1 + kAboutShare) * radius;
    return search;
  }
  const bool is_bore = tap.kind == "bore";
  search.least_radius_mm = is_bore ? 15 : 1.2;
  search.most_radius_mm = is_bore ? 90 : tap.kind == "bolt" ? 14 : 20;
  return search;
}

/// Pictures of small bores would be searched far beyond their neighbours: the picture itself says how large a bore can be.
photo::CircleSearch fitted_to(photo::CircleSearch search, const PlanMap& map, const photo::GreyPicture& picture, PicturePoint tap) {
  const double half_picture_mm = map.mm_per_px(tap) * std::max(picture.width, picture.height) / 2;
  if (half_picture_mm > search.least_radius_mm) search.most_radius_mm = std::min(search.most_radius_mm, half_picture_mm);
  return search;
}

struct Placed {
  FoundCircle found;
  const CircleTap* tap = nullptr;
  bool is_by_hand = false;
  [[nodiscard]] bool may_be_used() const { return found.may_be_used(); }
};

Placed placed_by_hand(const PlanMap& map, const CircleTap& tap, double tap_px) {
  Placed placed{{}, &tap, true};
  const auto at = map.placed(tap.tap, tap_px);
  placed.found.status = at ? photo::CircleStatus::kFound : photo::CircleStatus::kOffPlan;
  if (!at) return placed;
  placed.found.centre_px = tap.tap;
  placed.found.edge_uncertainty_mm = tap_px * map.mm_per_px(tap.tap);
  placed.found.diameter_mm = tap.diameter ? tap.diameter->si() * 1e3 : 0;
  for (int i = 0; i < 72 && tap.diameter; ++i) {
    const double angle = 0.0872664626 * i;
    const double r = placed.found.diameter_mm / 2;
    if (const auto rim = map.picture({at->at.x_mm + r * std::cos(angle), at->at.y_mm + r * std::sin(angle)}))
      placed.found.rim.push_back(*rim);
  }
  return placed;
}

std::vector<Placed> place_circles(const photo::GreyPicture& picture, const PlanMap& map, const GasketTaps& taps) {
  std::vector<Placed> all;
  for (const CircleTap& tap : taps.circles) {
    if (tap.snap)
      all.push_back({photo::find_circle(picture, map, tap.tap, fitted_to(search_for(tap), map, picture, tap.tap)), &tap, false});
    else
      all.push_back(placed_by_hand(map, tap, taps.tap_px));
  }
  return all;
}

/// Two places in the picture on the line through the bores, from the lowest number on; nothing with fewer than two.
std::optional<std::pair<PicturePoint, PicturePoint>> line_of_bores(const PlanMap& map, const std::vector<Placed>& circles) {
  std::vector<std::pair<int, PlanPlace>> bores;
  for (const Placed& circle : circles) {
    if (circle.tap->kind != "bore" || !circle.may_be_used()) continue;
    if (const auto at = map.place(circle.found.centre_px)) bores.emplace_back(*circle.tap->number, *at);
  }
  if (bores.size() < 2) return std::nullopt;
  std::sort(bores.begin(), bores.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  double x = 0, y = 0, xx = 0, xy = 0, yy = 0;
  for (const auto& [number, at] : bores) {
    x += at.x_mm / static_cast<double>(bores.size());
    y += at.y_mm / static_cast<double>(bores.size());
  }
  for (const auto& [number, at] : bores) {
    xx += (at.x_mm - x) * (at.x_mm - x);
    xy += (at.x_mm - x) * (at.y_mm - y);
    yy += (at.y_mm - y) * (at.y_mm - y);
  }
  double angle = 0.5 * std::atan2(2 * xy, xx - yy);
  const PlanPlace ends{bores.back().second.x_mm - bores.front().second.x_mm, bores.back().second.y_mm - bores.front().second.y_mm};
  if (std::cos(angle) * ends.x_mm + std::sin(angle) * ends.y_mm < 0) angle += 3.14159265358979;
  const double half = std::hypot(ends.x_mm, ends.y_mm) / 2;
  const auto from = map.picture({x - half * std::cos(angle), y - half * std::sin(angle)});
  const auto to = map.picture({x + half * std::cos(angle), y + half * std::sin(angle)});
  if (!from || !to) return std::nullopt;
  return std::pair{*from, *to};
}

/// Moved so that the least coordinates of all that was found are 0.
PlanMap with_least_corner_at_zero(const PlanMap& map, const std::vector<Placed>& circles, const std::vector<PicturePoint>& outline) {
  double least_x = std::numeric_limits<double>::infinity();
  double least_y = least_x;
  const auto take = [&](const std::optional<PlanPlace>& at, double radius) {
    if (!at) return;
    least_x = std::min(least_x, at->x_mm - radius);
    least_y = std::min(least_y, at->y_mm - radius);
  };
  for (const PicturePoint& corner : outline) take(map.place(corner), 0);
  for (const Placed& circle : circles) {
    if (circle.may_be_used()) take(map.place(circle.found.centre_px), circle.found.diameter_mm / 2);
  }
  return std::isfinite(least_x) ? map.moved(-least_x, -least_y) : map;
}

Result<PlanMap> with_plan_axes(const PlanMap& map, const GasketTaps& taps, const std::vector<Placed>& circles) {
  if (taps.axes) {
    const auto turned = map.with_axes(taps.axes->first, taps.axes->second);
    if (turned) return *turned;
    return Problem{{{}, 0, 0, "/axes"}, "origin and along give no direction", "two places well apart on the gasket", {}};
  }
  if (!taps.points.empty()) return map;
  const auto line = line_of_bores(map, circles);
  const auto turned = line ? map.with_axes(line->first, line->second) : std::nullopt;
  return with_least_corner_at_zero(turned.value_or(map), circles, taps.outline);
}

PhotoCircle circle_of(const Placed& placed, const PlanMap& map) {
  const FoundCircle& found = placed.found;
  PhotoCircle circle;
  circle.number = placed.tap->number.value_or(0);
  circle.kind = placed.tap->kind;
  const auto at = placed.may_be_used() ? map.placed(found.centre_px, 0) : std::nullopt;
  circle.may_be_used = at.has_value();
  circle.status = placed.is_by_hand && at ? "placed by hand" : std::string(photo::text_of(found.status));
  circle.centre_px = at ? std::pair{found.centre_px.x_px, found.centre_px.y_px} : std::pair{placed.tap->tap.x_px, placed.tap->tap.y_px};
  if (!at) return circle;
  circle.at = {at->at.x_mm, at->at.y_mm};
  circle.at_uncertainty_mm = std::hypot(found.edge_uncertainty_mm, at->uncertainty_mm);
  circle.diameter_mm = found.diameter_mm;
  circle.uncertainty_mm = found.diameter_uncertainty_mm;
  circle.seen_share = found.seen_share;
  for (std::size_t i = 0; i < found.rim.size(); i += 2) circle.rim_px.emplace_back(found.rim[i].x_px, found.rim[i].y_px);
  return circle;
}

double in_steps(double mm) { return std::round(mm * kStepsPerMillimetre) / kStepsPerMillimetre + 0.0; }
joint::PlanPoint in_steps(joint::PlanPoint at) { return {in_steps(at.x_mm), in_steps(at.y_mm)}; }

template <class T>
joint::Figure<T> measured(double mm, const std::string& source) {
  joint::Figure<T> figure;
  figure.value = T::from_si(mm / 1e3);
  figure.text = fmt::format("{:.1f} mm", mm);
  figure.source = source;
  figure.status = joint::FigureStatus::kMeasured;
  return figure;
}

joint::PassageKind passage_kind(const std::string& word) {
  const auto kinds = circle_kinds();
  const auto index = std::find(kinds.begin(), kinds.end(), word) - kinds.begin();
  return static_cast<joint::PassageKind>(index - 2);
}

/// Only what the picture gives: bores, bolts, passages, outline, and the gasket's bore.
joint::Engine engine_of(const GasketPhoto& answer) {
  joint::Engine engine;
  engine.name = answer.name;
  double bore_sum = 0;
  int bores = 0;
  std::vector<const PhotoCircle*> bolts;
  for (const PhotoCircle& circle : answer.circles) {
    if (!circle.may_be_used) continue;
    if (circle.kind == "bore") {
      engine.bores.push_back({circle.number, in_steps(circle.at), std::nullopt});
      if (circle.diameter_mm > 0) bore_sum += circle.diameter_mm, ++bores;
    } else if (circle.kind == "bolt") {
      bolts.push_back(&circle);
    } else {
      joint::Passage passage;
      passage.number = static_cast<int>(engine.passages.size()) + 1;
      passage.kind = passage_kind(circle.kind);
      passage.at = in_steps(circle.at);
      if (circle.diameter_mm > 0) passage.diameter = measured<Length>(circle.diameter_mm, "photograph");
      engine.passages.push_back(std::move(passage));
    }
  }
  std::sort(engine.bores.begin(), engine.bores.end(), [](const auto& a, const auto& b) { return a.number < b.number; });
  std::sort(bolts.begin(), bolts.end(), [](const auto* a, const auto* b) { return a->number < b->number; });
  if (!bolts.empty()) engine.bolts.emplace();
  for (const PhotoCircle* bolt : bolts) engine.bolts->at.push_back(in_steps(bolt->at));
  if (!answer.outline.empty()) engine.head.emplace();
  for (const joint::PlanPoint& corner : answer.outline) engine.head->outline.push_back(in_steps(corner));
  if (bores > 0) engine.gasket.emplace().bore = measured<Length>(bore_sum / bores, "photograph of the gasket");
  engine.general.cylinders = static_cast<int>(engine.bores.size());
  return engine;
}

/// The lines of the engine file: only the tables that the picture speaks of.
std::string lines_of(const joint::Engine& engine) {
  const Document whole = joint::write_engine(engine);
  Document lines{Table{}};
  for (const char* key : {"head", "bore", "passage", "gasket", "bolts"}) {
    if (const Document* member = whole.find(key)) lines.set(key, *member);
  }
  return write_toml(lines);
}

void judge(GasketPhoto& answer, const photo::FittedMap& fitted, const GasketTaps& taps) {
  if (!fitted.doubt.empty()) answer.doubts.push_back(fitted.doubt);
  std::vector<std::string> open;
  std::size_t used = 0;
  for (const PhotoCircle& circle : answer.circles) {
    used += circle.may_be_used ? 1 : 0;
    if (circle.status != "found" && circle.status != "placed by hand")
      open.push_back(fmt::format("{} {}: {}",
                                 circle.kind == "oil_pressure" ? "oil pressure"
                                 : circle.kind == "oil_drain"  ? "oil drain"
                                                               : circle.kind,
                                 circle.number, circle.status));
  }
  answer.sentence = fmt::format("{} of {} circle{} on the plan", used, answer.circles.size(), answer.circles.size() == 1 ? "" : "s");
  answer.sentence += open.empty() ? "." : "; look at " + std::to_string(open.size()) + " of them.";
  for (const std::string& text : open) answer.doubts.push_back(text + ".");
  if (fitted.freedom == 0) answer.notes.emplace_back("Just enough known figures: one more would show whether they agree.");
  if (fitted.map.kind() != photo::MapKind::kPerspective)
    answer.notes.emplace_back(
        "Taken as a scan, or as photographed from straight above. Tilted by 10 degrees it would read 1.5 % short one way.");
  else
    answer.notes.emplace_back(
        "Taken as a flat gasket and a lens without distortion: photograph from a metre away and fill the middle of the picture.");
  if (taps.is_seen_from_below) answer.notes.emplace_back("The picture shows the underside: the plan is its mirror image.");
  answer.notes.emplace_back(
      "The bore is the gasket's hole, larger than the cylinder. Old gaskets spread and shrink: measure a new one, or the block, where it "
      "matters.");
}

}  // namespace

Result<GasketPhoto> measure_gasket(const photo::Photo& picture, const GasketTaps& taps) {
  const auto fitted =
      taps.points.empty() ? photo::map_from_distances(taps.distances, taps.tap_px) : photo::map_from_points(taps.points, taps.tap_px);
  if (!fitted) return fitted.problems();
  const PlanMap map = taps.is_seen_from_below && taps.points.empty() ? fitted->map.mirrored() : fitted->map;
  const std::vector<Placed> placed = place_circles(photo::grey(picture), map, taps);
  const auto plan = with_plan_axes(map, taps, placed);
  if (!plan) return plan.problems();

  GasketPhoto answer;
  answer.name = taps.name;
  answer.width_px = picture.width;
  answer.height_px = picture.height;
  answer.map_kind = kMapKinds[static_cast<std::size_t>(fitted->map.kind())];
  answer.mm_per_px_least = std::numeric_limits<double>::infinity();
  for (const double x : {0.0, picture.width - 1.0}) {
    for (const double y : {0.0, picture.height - 1.0}) {
      const double scale = map.mm_per_px({x, y});
      answer.mm_per_px_most = std::max(answer.mm_per_px_most, scale);
      if (scale > 0) answer.mm_per_px_least = std::min(answer.mm_per_px_least, scale);
    }
  }
  answer.error_unit = taps.points.empty() ? "mm" : "px";
  answer.freedom = fitted->freedom;
  answer.error = fitted->freedom > 0 ? fitted->error : std::numeric_limits<double>::quiet_NaN();
  answer.error_band = fitted->freedom > 0 ? fitted->error_band : std::numeric_limits<double>::quiet_NaN();
  answer.residuals = fitted->residual;
  for (const Placed& one : placed) answer.circles.push_back(circle_of(one, *plan));
  for (const PicturePoint& corner : taps.outline) {
    if (const auto at = plan->place(corner)) answer.outline.push_back({at->x_mm, at->y_mm});
  }
  answer.engine = engine_of(answer);
  answer.engine_toml = lines_of(answer.engine);
  judge(answer, *fitted, taps);
  return answer;
}

}  // namespace headjoint::assess
