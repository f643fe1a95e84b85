#include "headjoint/report/internal/breach_lines.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <optional>

#include "headjoint/base/text.h"
#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

using joint::PassageKind;

constexpr std::size_t kLongestLabel = 26;            // characters
constexpr double kLeastTurn = std::numbers::pi / 9;  // between two paths of one bore: 20 degrees
constexpr double kStub = 1.6;                        // bore radii from the centre
constexpr double kEdgeStep = 2;                      // mm between the points of an edge that are tried

/// A place where a path may end: on the way from the bore's centre it stops `radius` short of it.
struct Target {
  Spot at;
  double radius = 0;
};

double distance(Spot a, Spot b) { return std::hypot(a.x - b.x, a.y - b.y); }
double direction(Spot from, Spot to) { return std::atan2(to.y - from.y, to.x - from.x); }
double turn(double a, double b) { return std::abs(std::remainder(a - b, 2 * std::numbers::pi)); }

/// The point `along` from a on the way to b.
Spot towards(Spot a, Spot b, double along) {
  const double length = distance(a, b);
  if (!(length > 0)) return a;
  return {a.x + (b.x - a.x) * along / length, a.y + (b.y - a.y) * along / length};
}

struct FoundBore {
  std::size_t row;
  const PlacedHead* head;
  Spot centre;
  double radius;
};

std::optional<FoundBore> find_bore(const DeckSheet& sheet, int number) {
  for (std::size_t row = 0; row < sheet.rows.size(); ++row) {
    for (const PlacedHead& head : sheet.rows[row].heads) {
      for (const joint::PlanBore& bore : head.plan.bores) {
        if (bore.number == number) return FoundBore{row, &head, head.spot(bore.centre), bore.radius_mm};
      }
    }
  }
  return std::nullopt;
}

std::vector<Target> holes(const PlacedHead& head, bool oil) {
  std::vector<Target> out;
  for (const joint::Passage& passage : head.plan.passages) {
    const bool is_oil =
        passage.kind == PassageKind::kOilPressure || passage.kind == PassageKind::kOilDrain || passage.kind == PassageKind::kPushrod;
    if (oil ? !is_oil : passage.kind != PassageKind::kCoolant) continue;
    if (const auto centre = passage_centre(passage)) out.push_back({head.spot(*centre), passage_radius(passage)});
  }
  return out;
}

std::vector<Target> edge(const PlacedHead& head) {
  std::vector<Target> out;
  const auto& outline = head.plan.outline;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Spot a = head.spot(outline[i]);
    const Spot b = head.spot(outline[(i + 1) % outline.size()]);
    const double length = distance(a, b);
    const int steps = std::clamp(static_cast<int>(length / kEdgeStep), 1, 2000);
    for (int k = 0; k < steps; ++k) out.push_back({towards(a, b, length * k / steps)});
  }
  return out;
}

/// Ends a little outside the bore all round, for a path whose hole the plan does not show.
std::vector<Target> stubs(const FoundBore& bore) {
  std::vector<Target> out;
  for (const double degrees : {-60.0, -120.0, 60.0, 120.0, -30.0, -150.0, 30.0, 150.0}) {
    const double angle = degrees * std::numbers::pi / 180;
    const double reach = kStub * bore.radius;
    out.push_back({{bore.centre.x + reach * std::cos(angle), bore.centre.y + reach * std::sin(angle)}});
  }
  return out;
}

/// The nearest target whose direction no earlier path of this bore has taken; else the nearest of all.
std::optional<Target> choose(std::vector<Target> targets, Spot centre, std::vector<double>& taken) {
  if (targets.empty()) return std::nullopt;
  std::stable_sort(targets.begin(), targets.end(),
                   [&](const Target& a, const Target& b) { return distance(centre, a.at) < distance(centre, b.at) - 1e-6; });
  const auto is_free = [&](const Target& target) {
    return std::all_of(taken.begin(), taken.end(), [&](double used) { return turn(used, direction(centre, target.at)) >= kLeastTurn; });
  };
  const auto found = std::find_if(targets.begin(), targets.end(), is_free);
  const Target chosen = found == targets.end() ? targets.front() : *found;
  taken.push_back(direction(centre, chosen.at));
  return chosen;
}

std::optional<BreachLine> neighbour_line(const DeckSheet& sheet, std::string_view where) {
  const auto parts = split(where, '-');
  if (parts.size() != 2) return std::nullopt;
  const auto first = parse_number(parts[0]);
  const auto second = parse_number(parts[1]);
  if (!first || !second) return std::nullopt;
  const auto a = find_bore(sheet, static_cast<int>(*first));
  const auto b = find_bore(sheet, static_cast<int>(*second));
  if (!a || !b || a->row != b->row) return std::nullopt;
  const double land = std::max(0.0, distance(a->centre, b->centre) - a->radius - b->radius);
  const double overlap = std::max(2.0 * sheet.unit, (8 * sheet.unit - land) / 2);  // a narrow land still shows its line
  return BreachLine{a->row, towards(a->centre, b->centre, a->radius - overlap), towards(b->centre, a->centre, b->radius - overlap), {}, 0};
}

std::optional<BreachLine> line_from_bore(const DeckSheet& sheet, const assess::Suspect& path, std::map<int, std::vector<double>>& taken) {
  const auto number = parse_number(path.where);
  if (!number) return std::nullopt;
  const auto bore = find_bore(sheet, static_cast<int>(*number));
  if (!bore) return std::nullopt;
  auto& directions = taken[static_cast<int>(*number)];
  std::optional<Target> target;
  if (path.name == "gas_to_coolant" || path.name == "coolant_to_cylinder")
    target = choose(holes(*bore->head, false), bore->centre, directions);
  if (path.name == "gas_to_oil") target = choose(holes(*bore->head, true), bore->centre, directions);
  if (!target && path.name == "gas_to_outside") target = choose(edge(*bore->head), bore->centre, directions);
  if (!target) target = choose(stubs(*bore), bore->centre, directions);
  if (!target) return std::nullopt;
  const double length = distance(bore->centre, target->at);
  const double end = std::max(bore->radius + 4 * sheet.unit, length - target->radius);
  return BreachLine{bore->row, towards(bore->centre, target->at, bore->radius - sheet.unit), towards(bore->centre, target->at, end), {}, 0};
}

std::optional<BreachLine> line_of(const DeckSheet& sheet, const assess::Suspect& path, std::map<int, std::vector<double>>& taken) {
  if (!(path.chance.value > kLeastDrawnChance) || path.where.empty()) return std::nullopt;
  auto line = path.where.find('-') == std::string::npos ? line_from_bore(sheet, path, taken) : neighbour_line(sheet, path.where);
  if (line) {
    line->label = path_label(path);
    line->chance = path.chance.value;
  }
  return line;
}

}  // namespace

std::string path_label(const assess::Suspect& path) {
  static const std::map<std::string, std::string, std::less<>> kAfterPlace = {
      {"gas_to_coolant", " to coolant"}, {"gas_to_oil", " to oil"}, {"gas_to_outside", " to outside"}};
  if (path.name == "gas_to_neighbour" && !path.where.empty()) {
    std::string label = path.where;
    const auto dash = label.find('-');
    return dash == std::string::npos ? label : label.replace(dash, 1, "–");
  }
  if (path.name == "coolant_to_cylinder" && !path.where.empty()) return "coolant to " + path.where;
  if (const auto known = kAfterPlace.find(path.name); known != kAfterPlace.end() && !path.where.empty()) return path.where + known->second;
  return shortened(path.text.empty() ? path.name : path.text, kLongestLabel);
}

std::vector<BreachLine> breach_lines(const DeckSheet& sheet, const assess::Finding& finding) {
  std::vector<BreachLine> lines;
  std::map<int, std::vector<double>> taken;
  for (const assess::Suspect& path : finding.paths) {
    if (auto line = line_of(sheet, path, taken)) lines.push_back(std::move(*line));
  }
  return lines;
}

std::vector<assess::Suspect> paths_without_line(const DeckSheet& sheet, const assess::Finding& finding) {
  std::vector<assess::Suspect> out;
  std::map<int, std::vector<double>> taken;
  for (const assess::Suspect& path : finding.paths) {
    if (path.chance.value > kLeastDrawnChance && !line_of(sheet, path, taken)) out.push_back(path);
  }
  return out;
}

}  // namespace headjoint::report
