#include "headjoint/faces/joined_lines.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "headjoint/base/text.h"
#include "headjoint/faces/internal/flatness_band.h"
#include "headjoint/faces/internal/line_system.h"

namespace headjoint::faces {
namespace {

using internal::LinePlace;
using internal::LineSystem;

constexpr double kUnseenShare = 0.5;  // from which a shape counts as one these lines cannot have seen
constexpr std::size_t kListedReadings = 3;
constexpr double kNothing_mm = 1e-6;

/// Value of a shape at a place, from the middle of the face, `along` and `across` in units of its half length.
double shape_at(Shape shape, double along, double across) {
  switch (shape) {
    case Shape::kTwist:
      return along * across;
    case Shape::kLengthwiseBow:
      return along * along;
    case Shape::kCrosswiseBow:
      return across * across;
  }
  return 0;
}

struct Middle {
  double x = 0;
  double y = 0;
  double half = 1;
  bool is_long_in_x = true;
};

Middle middle_of(const std::vector<LinePlace>& places) {
  const auto [low_x, high_x] = std::minmax_element(places.begin(), places.end(), [](auto& a, auto& b) { return a.x < b.x; });
  const auto [low_y, high_y] = std::minmax_element(places.begin(), places.end(), [](auto& a, auto& b) { return a.y < b.y; });
  const double length = high_x->x - low_x->x;
  const double width = high_y->y - low_y->y;
  return {(low_x->x + high_x->x) / 2, (low_y->y + high_y->y) / 2, std::max(length, width) / 2, length >= width};
}

/// Which share of a shape lies in what no reading shows.
double unseen_share(const LineSystem& system, Shape shape) {
  const Middle middle = middle_of(system.places);
  std::vector<double> values;
  for (const LinePlace& place : system.places) {
    const double u = (place.x - middle.x) / middle.half;
    const double v = (place.y - middle.y) / middle.half;
    values.push_back(shape_at(shape, middle.is_long_in_x ? u : v, middle.is_long_in_x ? v : u));
  }
  const std::vector<double> bent = internal::without_plane(system.places, values);
  const double whole = std::inner_product(bent.begin(), bent.end(), bent.begin(), 0.0);
  if (!(whole > 1e-12)) return 1;  // flat at every spot: nobody looked where it bends
  double hidden = 0;
  for (const std::vector<double>& free : system.free_shapes) {
    const double part = std::inner_product(bent.begin(), bent.end(), free.begin(), 0.0);
    hidden += part * part;
  }
  return std::min(1.0, hidden / whole);
}

void add_unseen(const LineSystem& system, JoinedLines& joined) {
  joined.free_shapes = system.free_shapes.size();
  for (const Shape shape : {Shape::kTwist, Shape::kLengthwiseBow, Shape::kCrosswiseBow})
    if (const double share = unseen_share(system, shape); share >= kUnseenShare) joined.unseen.push_back({shape, share});
  std::stable_sort(joined.unseen.begin(), joined.unseen.end(), [](auto& a, auto& b) { return a.share > b.share; });
}

std::vector<double> middles(const LineSystem& system) {
  std::vector<double> values;
  for (const internal::LineReading& reading : system.readings) values.push_back(reading.middle());
  return values;
}

/// Heights by least squares and what the readings had to be moved by.
void add_least_squares(const MeasuredLines& measured, const LineSystem& system, JoinedLines& joined) {
  std::vector<double> read = middles(system);
  std::vector<double> moved(read.size(), 0.0);
  for (const std::vector<double>& closure : system.closures) {
    const double off = std::inner_product(closure.begin(), closure.end(), read.begin(), 0.0);
    for (std::size_t r = 0; r < moved.size(); ++r) moved[r] -= off * closure[r];
  }
  double squares = 0;
  for (std::size_t r = 0; r < moved.size(); ++r) {
    read[r] += moved[r];
    squares += moved[r] * moved[r];
    if (std::abs(moved[r]) <= joined.largest_closure_mm) continue;
    joined.largest_closure_mm = std::abs(moved[r]);
    const MeasuredLine& line = measured.lines[system.readings[r].line];
    joined.largest_closure_at = "line " + line.name + " at " + number_text(line.spots[system.readings[r].spot].along_mm, 4) + " mm";
  }
  joined.closures = system.closures.size();
  joined.closure_rms_mm = std::sqrt(squares / static_cast<double>(moved.size()));
  for (std::size_t k = 0; k < system.places.size(); ++k) {
    joined.places.x_mm.push_back(system.places[k].x);
    joined.places.y_mm.push_back(system.places[k].y);
    joined.places.z_mm.push_back(std::inner_product(read.begin(), read.end(), system.heights[k].begin(), 0.0));
  }
}

void add_band(const MeasuredLines& measured, const LineSystem& system, JoinedLines& joined) {
  const internal::FlatnessBand band = internal::flatness_band(system);
  joined.contradiction_mm = band.widened;
  joined.flatness = {band.low, band.high};
  joined.band_status = !std::isfinite(band.high) ? BandStatus::kUnbounded : band.is_exact ? BandStatus::kExact : BandStatus::kOuter;
  std::vector<WideReading> wide;
  for (std::size_t r = 0; r < system.readings.size(); ++r) {
    const internal::LineReading& reading = system.readings[r];
    if (!(band.widens[r] > kNothing_mm)) continue;
    wide.push_back({measured.lines[reading.line].name, reading.spot, reading.low, reading.high, band.widens[r]});
  }
  std::stable_sort(wide.begin(), wide.end(), [](const WideReading& a, const WideReading& b) { return a.widens_mm > b.widens_mm; });
  if (wide.size() > kListedReadings) wide.resize(kListedReadings);
  joined.widest = std::move(wide);
}

}  // namespace

std::string shape_text(Shape shape) {
  switch (shape) {
    case Shape::kTwist:
      return "a twist, one end turned against the other";
    case Shape::kLengthwiseBow:
      return "a bow or crown lengthwise";
    case Shape::kCrosswiseBow:
      return "a bow or crown crosswise";
  }
  return {};
}

JoinedLines join_lines(const MeasuredLines& measured) {
  JoinedLines joined;
  joined.status = JoinStatus::kNoPlaces;
  if (std::none_of(measured.lines.begin(), measured.lines.end(), [](const MeasuredLine& line) { return line.has_places; })) return joined;
  const LineSystem system = internal::line_system(measured);
  joined.status = JoinStatus::kTooFewPlaces;
  if (!internal::span_a_plane(system.places)) return joined;
  joined.status = JoinStatus::kDone;
  for (std::size_t l = 0; l < measured.lines.size(); ++l)
    if (system.shared_places[l] < 2) joined.loose.push_back(measured.lines[l].name);
  add_unseen(system, joined);
  add_least_squares(measured, system, joined);
  add_band(measured, system, joined);
  return joined;
}

}  // namespace headjoint::faces
