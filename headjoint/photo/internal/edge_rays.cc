#include "headjoint/photo/internal/edge_rays.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace headjoint::photo::internal {
namespace {

constexpr double kSamplesPerPixel = 2;
constexpr int kMostSamples = 6000;
constexpr double kAboveNoise = 3;   // deviations of the noise's slope
constexpr double kFilterReach = 3;  // standard deviations

/// Slope of a Gaussian, sampled; antisymmetric, gives brightness per pixel.
std::vector<double> slope_filter(double blur_px) {
  const double sigma = blur_px * kSamplesPerPixel;
  const int reach = static_cast<int>(std::ceil(kFilterReach * sigma));
  std::vector<double> filter(static_cast<std::size_t>(2 * reach + 1));
  double moment = 0;
  for (int k = -reach; k <= reach; ++k) {
    const double value = k * std::exp(-0.5 * k * k / (sigma * sigma));
    filter[static_cast<std::size_t>(k + reach)] = value;
    moment += value * k;
  }
  for (double& value : filter) value *= kSamplesPerPixel / moment;
  return filter;
}

struct Ray {
  int number = 0;
  double dx = 0;
  double dy = 0;
  std::vector<double> slope;
};

/// Brightness along a ray, as far as it stays in the picture.
std::vector<double> profile_along(const GreyPicture& picture, const PlanMap& map, PlanPlace from, const Ray& ray, double first, double step,
                                  int count) {
  std::vector<double> profile;
  for (int i = 0; i < count; ++i) {
    const double r = first + i * step;
    const auto at = map.picture({from.x_mm + r * ray.dx, from.y_mm + r * ray.dy});
    if (!at || at->x_px < 0 || at->y_px < 0 || at->x_px > picture.width - 1 || at->y_px > picture.height - 1) break;
    profile.push_back(picture.between(at->x_px, at->y_px));
  }
  return profile;
}

/// The slope where the whole filter lies on the profile: the first value belongs to the sample at half the filter.
std::vector<double> filtered(const std::vector<double>& profile, const std::vector<double>& filter) {
  std::vector<double> slope;
  for (std::size_t i = 0; i + filter.size() <= profile.size(); ++i) {
    double sum = 0;
    for (std::size_t k = 0; k < filter.size(); ++k) sum += filter[k] * profile[i + k];
    slope.push_back(sum);
  }
  return slope;
}

/// What a slope must exceed: the least contrast spread over the filter's width, and the noise of this picture. Edges are few
/// among the samples, so that the median slope is noise.
double least_slope_of(const std::vector<Ray>& rays, const CircleSearch& search) {
  std::vector<double> all;
  for (const Ray& ray : rays) {
    for (const double slope : ray.slope) all.push_back(std::abs(slope));
  }
  const double least = search.least_contrast / (std::sqrt(2 * std::numbers::pi) * search.edge_blur_px);
  if (all.empty()) return least;
  const auto middle = all.begin() + static_cast<std::ptrdiff_t>(all.size() / 2);
  std::nth_element(all.begin(), middle, all.end());
  return std::max(least, kAboveNoise * 1.4826 * *middle);
}

/// Top of the parabola through three values, in steps from the middle one.
double summit(double before, double here, double after) {
  const double bend = before - 2 * here + after;
  return bend < 0 ? 0.5 * (before - after) / bend : 0;
}

}  // namespace

RayEdges edges_on_rays(const GreyPicture& picture, const PlanMap& map, PlanPlace centre, double least_mm, double most_mm,
                       const CircleSearch& search, std::optional<double> least_slope) {
  RayEdges found;
  const auto centre_px = map.picture(centre);
  if (!centre_px) return found;
  const double step = map.mm_per_px(*centre_px) / kSamplesPerPixel;
  if (!(step > 0)) return found;
  const std::vector<double> filter = slope_filter(search.edge_blur_px);
  const int reach = static_cast<int>(filter.size() / 2);
  const double first = std::max(0.0, least_mm - reach * step);
  const int count = std::min(kMostSamples, static_cast<int>((most_mm - first) / step) + reach + 1);
  std::vector<Ray> rays;
  for (int ray = 0; ray < search.rays; ++ray) {
    const double angle = 2 * std::numbers::pi * ray / search.rays;
    rays.push_back({ray, std::cos(angle), std::sin(angle), {}});
    rays.back().slope = filtered(profile_along(picture, map, centre, rays.back(), first, step, count), filter);
  }
  found.least_slope = least_slope ? *least_slope : least_slope_of(rays, search);
  for (const Ray& ray : rays) {
    const std::vector<double>& slope = ray.slope;
    for (std::size_t i = 1; i + 1 < slope.size(); ++i) {
      const double here = std::abs(slope[i]);
      if (here < found.least_slope || here < std::abs(slope[i - 1]) || here <= std::abs(slope[i + 1])) continue;
      const double r = first + (static_cast<double>(i) + reach + summit(std::abs(slope[i - 1]), here, std::abs(slope[i + 1]))) * step;
      if (r < least_mm || r > most_mm) continue;
      found.edges.push_back({ray.number, r, {centre.x_mm + r * ray.dx, centre.y_mm + r * ray.dy}, slope[i]});
    }
  }
  return found;
}

}  // namespace headjoint::photo::internal
