#include "headjoint/assess/results_document_photo.h"

#include <cmath>

#include "headjoint/assess/results_document.h"
#include "headjoint/joint/engine_file.h"

namespace headjoint::assess {
namespace {

double rounded(double value, double steps) { return std::round(value * steps) / steps + 0.0; }

Document pair_of(double x, double y, double steps) { return Array{rounded(x, steps), rounded(y, steps)}; }

Document pixels(const std::vector<std::pair<double, double>>& points) {
  Array list;
  for (const auto& [x, y] : points) list.push_back(pair_of(x, y, 1e2));
  return list;
}

Document circle_document(const PhotoCircle& circle) {
  Document document;
  document.set("number", circle.number).set("kind", circle.kind).set("status", circle.status);
  document.set("at", circle.may_be_used ? pair_of(circle.at.x_mm, circle.at.y_mm, 1e3) : Document());
  document.set("at_uncertainty_mm", circle.may_be_used ? Document(rounded(circle.at_uncertainty_mm, 1e4)) : Document());
  const bool has_size = circle.may_be_used && circle.diameter_mm > 0;
  document.set("diameter_mm", has_size ? Document(rounded(circle.diameter_mm, 1e4)) : Document());
  document.set("uncertainty_mm", has_size ? Document(rounded(circle.uncertainty_mm, 1e4)) : Document());
  document.set("seen_share", rounded(circle.seen_share, 1e3));
  document.set("centre_px", pair_of(circle.centre_px.first, circle.centre_px.second, 1e2)).set("rim_px", pixels(circle.rim_px));
  return document;
}

Document keys_document(const std::vector<CalculationNeeds::Key>& keys) {
  Array list;
  for (const auto& key : keys) {
    Document one;
    one.set("key", key.key).set("example", key.example);
    list.push_back(std::move(one));
  }
  return list;
}

Document needs_document(const CalculationNeeds& needs) {
  Document document;
  document.set("calculation", needs.calculation).set("what", needs.what).set("can_run", needs.can_run);
  document.set("missing", keys_document(needs.missing)).set("better_with", keys_document(needs.better_with));
  return document;
}

}  // namespace

Document to_document(const GasketPhoto& answer) {
  Document picture, scale, error, document;
  picture.set("width", answer.width_px).set("height", answer.height_px);
  scale.set("kind", answer.map_kind).set("mm_per_px_least", answer.mm_per_px_least).set("mm_per_px_most", answer.mm_per_px_most);
  error.set("value", answer.error).set("band", answer.error_band).set("unit", answer.error_unit).set("freedom", answer.freedom);
  error.set("residuals", Array(answer.residuals.begin(), answer.residuals.end()));
  Array circles, outline;
  for (const PhotoCircle& circle : answer.circles) circles.push_back(circle_document(circle));
  for (const joint::PlanPoint& corner : answer.outline) outline.push_back(pair_of(corner.x_mm, corner.y_mm, 1e3));
  document.set("sentence", answer.sentence).set("picture", std::move(picture)).set("scale", std::move(scale));
  document.set("homography_error", std::move(error)).set("circles", std::move(circles)).set("outline", std::move(outline));
  document.set("engine_toml", answer.engine_toml);
  document.set("doubts", Array(answer.doubts.begin(), answer.doubts.end())).set("notes", Array(answer.notes.begin(), answer.notes.end()));
  return document;
}

Document to_document(const Completeness& answer) {
  Array calculations;
  for (const CalculationNeeds& needs : answer.calculations) calculations.push_back(needs_document(needs));
  Document document;
  document.set("sentence", answer.sentence).set("calculations", std::move(calculations));
  return document;
}

}  // namespace headjoint::assess
