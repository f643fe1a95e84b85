#include "headjoint/photo/circle_finder.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <set>

#include "headjoint/base/error.h"
#include "headjoint/photo/circle_fit.h"
#include "headjoint/photo/internal/edge_rays.h"

namespace headjoint::photo {
namespace {

using internal::Edge;

constexpr double kFoundShare = 0.70;
constexpr double kPartlyShare = 0.35;
constexpr double kAsGoodAsBest = 0.80;  ///< share of the best circle's support with which a smaller one is preferred
constexpr double kNearEdge_px = 1.5;    ///< an edge this near a circle supports it
constexpr int kTrials = 1500;
constexpr int kRefinements = 3;
constexpr int kRimPoints = 72;
constexpr std::uint32_t kSeed = 1;  ///< the same picture always gives the same circle

struct Candidate {
  PlanPlace centre;
  double radius_mm = 0;
  int support = 0;  ///< rays with an edge near it
};

/// The circle through three places; radius 0 when they lie on a line.
Candidate through(const PlanPlace& a, const PlanPlace& b, const PlanPlace& c) {
  const double bx = b.x_mm - a.x_mm, by = b.y_mm - a.y_mm, cx = c.x_mm - a.x_mm, cy = c.y_mm - a.y_mm;
  const double cross = 2 * (bx * cy - by * cx);
  if (!(std::abs(cross) > 1e-9)) return {};
  const double x = (cy * (bx * bx + by * by) - by * (cx * cx + cy * cy)) / cross;
  const double y = (bx * (cx * cx + cy * cy) - cx * (bx * bx + by * by)) / cross;
  return {{a.x_mm + x, a.y_mm + y}, std::hypot(x, y), 0};
}

double away_from(const Candidate& circle, const PlanPlace& place) {
  return std::abs(std::hypot(place.x_mm - circle.centre.x_mm, place.y_mm - circle.centre.y_mm) - circle.radius_mm);
}

int support_of(const Candidate& circle, const std::vector<Edge>& edges, double near_mm) {
  int support = 0;
  int last_ray = -1;
  for (const Edge& edge : edges) {
    if (edge.ray == last_ray || away_from(circle, edge.at) > near_mm) continue;
    last_ray = edge.ray;
    ++support;
  }
  return support;
}

/// Circles through three edges of one kind that go round the tap, the best supported of each radius class.
void propose(const std::vector<Edge>& edges, PlanPlace tap, const CircleSearch& search, double near_mm, std::vector<Candidate>& all) {
  if (edges.size() < 12) return;
  std::mt19937 random(kSeed);
  const auto any = [&] { return edges[random() % edges.size()]; };
  for (int trial = 0; trial < kTrials; ++trial) {
    const Edge a = any(), b = any(), c = any();
    if (a.ray == b.ray || b.ray == c.ray || a.ray == c.ray) continue;
    Candidate circle = through(a.at, b.at, c.at);
    if (!(circle.radius_mm >= search.least_radius_mm && circle.radius_mm <= search.most_radius_mm)) continue;
    // The tap stands well inside: nobody taps a hole at its rim.
    if (std::hypot(circle.centre.x_mm - tap.x_mm, circle.centre.y_mm - tap.y_mm) > 0.75 * circle.radius_mm) continue;
    circle.support = support_of(circle, edges, near_mm);
    all.push_back(circle);
  }
}

/// Of the circles nearly as good as the best the innermost; of those that lie with it the best supported.
Candidate choose(const std::vector<Candidate>& all, double near_mm) {
  int best = 0;
  for (const Candidate& circle : all) best = std::max(best, circle.support);
  const auto is_good = [&](const Candidate& circle) { return circle.support >= kAsGoodAsBest * best; };
  double innermost = HUGE_VAL;
  for (const Candidate& circle : all) {
    if (is_good(circle)) innermost = std::min(innermost, circle.radius_mm);
  }
  Candidate chosen;
  for (const Candidate& circle : all) {
    if (is_good(circle) && circle.radius_mm <= innermost + 2 * near_mm && circle.support > chosen.support) chosen = circle;
  }
  return chosen;
}

/// The strongest edge near the rim on every ray.
std::vector<Edge> edges_near(const std::vector<Edge>& edges, const Candidate& circle, double near_mm, int sign) {
  std::vector<Edge> near;
  for (const Edge& edge : edges) {
    if (away_from(circle, edge.at) > near_mm || edge.slope * sign < 0) continue;
    if (near.empty() || near.back().ray != edge.ray)
      near.push_back(edge);
    else if (std::abs(edge.slope) > std::abs(near.back().slope))
      near.back() = edge;
  }
  return near;
}

struct Proposal {
  Candidate circle;
  int sign = 0;  ///< of the slope at its edge, 0 = both kinds
};

Proposal best_proposal(const std::vector<Edge>& edges, PlanPlace tap, const CircleSearch& search, double near_mm) {
  Proposal best;
  std::vector<Candidate> all;
  std::vector<std::pair<int, Candidate>> chosen;
  for (const int sign : {1, -1, 0}) {
    std::vector<Edge> of_sign;
    std::copy_if(edges.begin(), edges.end(), std::back_inserter(of_sign), [&](const Edge& e) { return sign == 0 || e.slope * sign > 0; });
    all.clear();
    propose(of_sign, tap, search, near_mm, all);
    // Both kinds together only serve where neither kind alone goes round.
    if (sign == 0 && std::any_of(chosen.begin(), chosen.end(), [&](const auto& c) { return c.second.support > kFoundShare * search.rays; }))
      break;
    if (!all.empty()) chosen.emplace_back(sign, choose(all, near_mm));
  }
  int most = 0;
  for (const auto& [sign, circle] : chosen) most = std::max(most, circle.support);
  for (const auto& [sign, circle] : chosen) {
    if (circle.support < kAsGoodAsBest * most || circle.support == 0) continue;
    if (best.circle.support == 0 || circle.radius_mm < best.circle.radius_mm) best = {circle, sign};
  }
  return best;
}

std::vector<PicturePoint> rim_of(const PlanMap& map, const Candidate& circle) {
  std::vector<PicturePoint> rim;
  for (int i = 0; i < kRimPoints; ++i) {
    const double angle = 2 * std::numbers::pi * i / kRimPoints;
    const auto at =
        map.picture({circle.centre.x_mm + circle.radius_mm * std::cos(angle), circle.centre.y_mm + circle.radius_mm * std::sin(angle)});
    if (at) rim.push_back(*at);
  }
  return rim;
}

bool lies_inside(const GreyPicture& picture, const PicturePoint& point) {
  return point.x_px >= 0 && point.y_px >= 0 && point.x_px <= picture.width - 1 && point.y_px <= picture.height - 1;
}

void add_bands(FoundCircle& found, const FittedCircle& fitted, const PlanMap& map, const CircleSearch& search) {
  const double floor_mm = search.edge_floor_px * map.mm_per_px(found.centre_px);
  const auto opposite = [&](std::size_t i) { return map.distance_uncertainty_mm(found.rim[i], found.rim[i + found.rim.size() / 2]); };
  double of_map = 0;
  for (std::size_t i = 0; i < found.rim.size() / 2; i += found.rim.size() / 4) of_map = std::max(of_map, opposite(i));
  found.diameter_uncertainty_mm = std::hypot(2 * 2 * fitted.radius_deviation_mm, 2 * floor_mm, of_map);
  const auto placed = map.placed(found.centre_px, 0);
  found.edge_uncertainty_mm = std::hypot(2 * fitted.centre_deviation_mm, floor_mm);
  found.centre_uncertainty_mm = std::hypot(found.edge_uncertainty_mm, placed ? placed->uncertainty_mm : 0);
}

}  // namespace

std::string_view text_of(CircleStatus status) {
  constexpr std::string_view kTexts[] = {"not run", "found", "partly seen", "cut off", "not found", "off the plan"};
  return kTexts[static_cast<std::size_t>(status)];
}

FoundCircle find_circle(const GreyPicture& picture, const PlanMap& map, PicturePoint tap, const CircleSearch& search) {
  require(search.rays >= 24 && search.rays <= 720, "24 to 720 rays");
  FoundCircle found;
  const auto start = map.place(tap);
  if (!lies_inside(picture, tap) || !start) {
    found.status = CircleStatus::kOffPlan;
    return found;
  }
  found.status = CircleStatus::kNotFound;
  const double px = map.mm_per_px(tap);
  const double near = kNearEdge_px * px;
  const double least = std::max(search.least_radius_mm, 2.5 * px);
  // From an edge that the tap is off-centre towards, the rim is up to 1.75 radii away.
  const auto wide = internal::edges_on_rays(picture, map, *start, 0.2 * least, 1.8 * search.most_radius_mm, search);
  const Proposal proposal = best_proposal(wide.edges, *start, search, near);
  Candidate circle = proposal.circle;
  if (circle.support < kPartlyShare * search.rays) return found;
  FittedCircle fitted;
  std::vector<Edge> rim_edges;
  for (int round = 0; round < kRefinements; ++round) {
    const double reach = (round == 0 ? 2 : 1.3) * near;
    const auto fresh = internal::edges_on_rays(picture, map, circle.centre, std::max(0.2 * least, circle.radius_mm - reach),
                                               circle.radius_mm + reach, search, wide.least_slope);
    rim_edges = edges_near(fresh.edges, circle, reach, proposal.sign);
    std::vector<PlanPlace> places;
    for (const Edge& edge : rim_edges) places.push_back(edge.at);
    fitted = fit_circle(places, true);
    if (!fitted.converged) return found;
    circle = {fitted.centre, fitted.radius_mm, 0};
  }
  const auto centre_px = map.picture(circle.centre);
  std::set<int> rays;
  for (const Edge& edge : rim_edges) {
    if (away_from(circle, edge.at) > near) continue;
    rays.insert(edge.ray);
    if (const auto at = map.picture(edge.at)) found.edge.push_back(*at);
  }
  found.seen_share = static_cast<double>(rays.size()) / search.rays;
  found.rim = rim_of(map, circle);
  if (!centre_px || found.seen_share < kPartlyShare || static_cast<int>(found.rim.size()) < kRimPoints) {
    found.rim.clear();
    found.edge.clear();
    return found;
  }
  found.centre = circle.centre;
  found.centre_px = *centre_px;
  found.diameter_mm = 2 * circle.radius_mm;
  add_bands(found, fitted, map, search);
  const bool is_inside = std::all_of(found.rim.begin(), found.rim.end(), [&](const PicturePoint& p) { return lies_inside(picture, p); });
  found.status = !is_inside ? CircleStatus::kCutOff : found.seen_share >= kFoundShare ? CircleStatus::kFound : CircleStatus::kPartly;
  return found;
}

}  // namespace headjoint::photo
