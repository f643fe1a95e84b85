#include "headjoint/faces/flatness.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"
#include "headjoint/faces/internal/cloud.h"
#include "headjoint/faces/internal/zone_search.h"

namespace headjoint::faces {
namespace {

using namespace internal;

constexpr double kMillimetre = 1e-3;
constexpr int kMostStarts = 4;   // searches from tilts where a zone as thin may lie; more than two are rare
constexpr double kTouch = 1e-9;  // share of the width within which a point touches its plane

Length from_mm(double value) { return Length::from_si(value * kMillimetre); }

Cloud cloud_of(const FacePoints& points) { return {points.x_mm, points.y_mm, points.z_mm}; }

Plane plane_at(const Frame& frame, const Vector3& normal, double offset) {
  return {plus(frame.origin, offset - dot(normal, frame.origin), normal), normal};
}

Moments checked_moments(const Cloud& cloud) {
  const Moments found = moments(cloud);
  if (const auto why = why_no_plane(cloud, found)) throw InputError("points", *why);
  return found;
}

ContactKind kind_of(std::size_t upper, std::size_t lower) {
  if (upper == 3 && lower == 1) return ContactKind::kThreeOne;
  if (upper == 1 && lower == 3) return ContactKind::kOneThree;
  if (upper == 2 && lower == 2) return ContactKind::kTwoTwo;
  if (upper == 2 && lower == 1) return ContactKind::kTwoOne;
  if (upper == 1 && lower == 2) return ContactKind::kOneTwo;
  if (upper == 1 && lower == 1) return ContactKind::kOneOne;
  return ContactKind::kNone;
}

void collect_touching(const Cloud& cloud, const FoundZone& found, double tolerance, MinimumZone& zone) {
  for (std::size_t i = 0; i < cloud.size(); ++i) {
    const double s = dot(found.normal, cloud.at(i));
    if (s >= found.range.high - tolerance) zone.upper_touch.push_back(i);
    if (s <= found.range.low + tolerance) zone.lower_touch.push_back(i);
  }
}

ZoneStatus status_of(const ZoneProof& proof) {
  if (!proof.holds_all_points || !proof.contacts_touch || !proof.contacts_overlap) return ZoneStatus::kNotCertified;
  if (proof.no_thinner_zone) return ZoneStatus::kOptimal;
  return proof.at_least > Length{} ? ZoneStatus::kDegenerate : ZoneStatus::kNotCertified;
}

/// The zone with its contacts, not proved yet.
MinimumZone zone_from(const Cloud& cloud, const Frame& frame, const FoundZone& found, double rounding) {
  const double width = found.range.high - found.range.low;
  MinimumZone zone;
  zone.flatness = from_mm(width);
  zone.mid_plane = plane_at(frame, found.normal, (found.range.high + found.range.low) / 2);
  zone.walks = found.walks;
  if (width <= rounding) return zone;
  zone.upper = found.upper;
  zone.lower = found.lower;
  zone.contact = kind_of(zone.upper.size(), zone.lower.size());
  collect_touching(cloud, found, rounding + kTouch * width, zone);
  return zone;
}

/// Searches from the frame; where a zone as thin may lie at another tilt, searches from there as well and keeps the thinner.
MinimumZone minimum_zone_of(const FacePoints& points, const Moments& found_moments) {
  const Cloud cloud = cloud_of(points);
  Frame frame = least_squares_frame(found_moments);
  const double rounding = rounding_of(cloud, std::sqrt(found_moments.second[0] + found_moments.second[3]));
  MinimumZone best;
  int walks = 0;
  for (int start = 0; start < kMostStarts; ++start) {
    const FoundZone found = search_minimum_zone(cloud, frame);
    MinimumZone zone = zone_from(cloud, frame, found, rounding);
    walks += found.walks;
    if (zone.upper_touch.empty()) {
      zone.status = ZoneStatus::kOptimal;  // all points in one plane
      zone.at_least = Length{};
      return zone;
    }
    const ZoneProof proof = prove_minimum_zone(points, zone);
    zone.status = found.is_solved ? status_of(proof) : ZoneStatus::kNotCertified;
    zone.at_least = zone.status == ZoneStatus::kNotCertified ? Length{} : proof.at_least;
    const bool is_thinner = start == 0 || zone.flatness < best.flatness;
    if (is_thinner) best = std::move(zone);
    if (best.status == ZoneStatus::kOptimal || !is_thinner || !proof.rival_normal) break;
    frame = turned_to(frame, *proof.rival_normal);
  }
  best.walks = walks;
  return best;
}

}  // namespace

std::string contact_text(ContactKind kind) {
  switch (kind) {
    case ContactKind::kThreeOne:
      return "3-1";
    case ContactKind::kOneThree:
      return "1-3";
    case ContactKind::kTwoTwo:
      return "2-2";
    case ContactKind::kTwoOne:
      return "2-1";
    case ContactKind::kOneTwo:
      return "1-2";
    case ContactKind::kOneOne:
      return "1-1";
    case ContactKind::kNone:
      break;
  }
  return "none";
}

LeastSquaresFlatness least_squares_flatness(const FacePoints& points) {
  const Cloud cloud = cloud_of(points);
  const Moments found = checked_moments(cloud);
  const Frame frame = least_squares_frame(found);
  const double offset = dot(frame.normal, frame.origin);
  const Range range = extremes(cloud, frame.normal).range;
  LeastSquaresFlatness flatness;
  flatness.plane = {frame.origin, frame.normal};
  flatness.peak_to_reference = from_mm(range.high - offset);
  flatness.reference_to_valley = from_mm(offset - range.low);
  flatness.peak_to_valley = from_mm(range.high - range.low);
  flatness.root_mean_square = from_mm(std::sqrt(sum_of_squares(cloud, frame.normal, offset) / static_cast<double>(cloud.size())));
  return flatness;
}

MinimumZone minimum_zone_flatness(const FacePoints& points) { return minimum_zone_of(points, checked_moments(cloud_of(points))); }

std::vector<double> residuals_mm(const FacePoints& points, const Plane& plane) {
  const Cloud cloud = cloud_of(points);
  require(cloud.x.size() == cloud.size() && cloud.y.size() == cloud.size(), "coordinates are equally many");
  const double offset = dot(plane.normal, plane.through_mm);
  std::vector<double> residuals(cloud.size());
  for (std::size_t i = 0; i < residuals.size(); ++i)
    residuals[i] = plane.normal[0] * cloud.x[i] + plane.normal[1] * cloud.y[i] + plane.normal[2] * cloud.z[i] - offset;
  return residuals;
}

std::vector<LeftOut> flatness_without_each_contact(const FacePoints& points, const MinimumZone& zone) {
  std::vector<std::size_t> contacts = zone.upper;
  contacts.insert(contacts.end(), zone.lower.begin(), zone.lower.end());
  FacePoints others;
  others.x_mm = points.x_mm;
  others.y_mm = points.y_mm;
  others.z_mm = points.z_mm;
  std::vector<LeftOut> found;
  for (const std::size_t i : contacts) {
    require(i < points.size() && points.size() > 1, "the zone is of the same points");
    const std::size_t twin = i == 0 ? 1 : i - 1;  // a point counted twice changes no zone, so it may stand in for the one left out
    const auto put = [&](std::size_t from) {
      others.x_mm[i] = points.x_mm[from];
      others.y_mm[i] = points.y_mm[from];
      others.z_mm[i] = points.z_mm[from];
    };
    put(twin);
    LeftOut left{i};
    const Moments rest = moments(cloud_of(others));
    if (!why_no_plane(cloud_of(others), rest)) {
      const MinimumZone thinner = minimum_zone_of(others, rest);
      left.status = thinner.status;
      left.flatness = thinner.flatness;
    }
    found.push_back(left);
    put(i);
  }
  std::stable_sort(found.begin(), found.end(), [](const LeftOut& a, const LeftOut& b) {
    const bool a_known = a.status != ZoneStatus::kNotRun;
    const bool b_known = b.status != ZoneStatus::kNotRun;
    return a_known != b_known ? a_known : a_known && a.flatness < b.flatness;
  });
  return found;
}

}  // namespace headjoint::faces
