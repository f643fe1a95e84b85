#include <algorithm>
#include <cmath>
#include <functional>

#include "headjoint/repair/options.h"

namespace headjoint::repair {
namespace {

using enum ShopFigure;

/// One figure that can be moved, with everything else in place.
struct Lever {
  std::string figure;
  std::string unit;
  double now = 0;
  double low = 0;  ///< usual range, for the weight
  double high = 0;
  double least = 0;  ///< search range, for the turn
  double most = 0;
  std::function<std::vector<OptionCost>(double)> costs;
};

/// Half a decade of the odds.
constexpr double kStep = 3.1622776601683795;

double moved_odds(double chance, double factor) {
  const double odds = chance / std::max(1 - chance, 1e-12) * factor;
  return odds / (1 + odds);
}

std::string unit_of(FigureKind kind, const ShopPrices& prices) {
  switch (kind) {
    case FigureKind::kHours:
      return "h";
    case FigureKind::kPrice:
      return prices.unit;
    case FigureKind::kKilometres:
      return "km";
    case FigureKind::kShare:
      break;
  }
  return "";
}

class Levers {
 public:
  Levers(const RepairCase& repair_case, const ShopPrices& prices, const Cured& cured)
      : case_(repair_case), prices_(prices), cured_(cured) {}

  [[nodiscard]] std::vector<Lever> all(double joint_low, double joint_high) const {
    std::vector<Lever> levers;
    add_joint(levers, joint_low, joint_high);
    for (const ShopFigureRow& row : shop_figures()) add_figure(levers, row);
    add_hour_price(levers);
    if (case_.distance_km > 0) add_distance(levers);
    if (case_.sealing_chance) add_sealing(levers);
    return levers;
  }

 private:
  static constexpr double kReach = 10;  ///< how far a figure is moved in search of a turn

  void add_joint(std::vector<Lever>& levers, double low, double high) const {
    const double now = chance_of_leak(case_.leaks);
    if (!(now > 0)) return;
    levers.push_back({"chance that the joint has failed", "", now, low, high, 0, 1, [this](double chance) {
                        RepairCase moved = case_;
                        moved.leaks = with_chance_of_leak(case_.leaks, chance);
                        return option_costs(moved, prices_, cured_, Detail::kExpectedCost);
                      }});
  }

  /// The whole range is moved with its middle.
  void add_figure(std::vector<Lever>& levers, const ShopFigureRow& row) const {
    const Span span = prices_[row.figure];
    const double now = span.mean();
    if (!(now > 0)) return;
    const bool is_share = row.kind == FigureKind::kShare;
    const bool has_range = span.high > span.low;
    const double low = has_range ? span.low : is_share ? moved_odds(now, 1 / kStep) : now / 2;
    const double high = has_range ? span.high : is_share ? std::min(moved_odds(now, kStep), 1.0) : now * 2;
    levers.push_back({std::string(row.text), unit_of(row.kind, prices_), now, low, high, is_share ? 0 : now / kReach,
                      is_share ? 1 : now * kReach, [this, figure = row.figure, span, now](double value) {
                        ShopPrices moved = prices_;
                        moved[figure] = (value / now) * span;
                        return option_costs(case_, moved, cured_, Detail::kExpectedCost);
                      }});
  }

  void add_hour_price(std::vector<Lever>& levers) const {
    if (prices_.hour_price == 1) return;
    const double now = prices_.hour_price;
    levers.push_back(
        {"price of a workshop hour", prices_.unit, now, now / 1.5, now * 1.5, now / kReach, now * kReach, [this](double value) {
           ShopPrices moved = prices_;
           moved.hour_price = value;
           return option_costs(case_, moved, cured_, Detail::kExpectedCost);
         }});
  }

  void add_distance(std::vector<Lever>& levers) const {
    const double now = case_.distance_km;
    levers.push_back({"distance to be driven on", "km", now, now / 2, now * 2, now / kReach, now * kReach, [this](double value) {
                        RepairCase moved = case_;
                        moved.distance_km = value;
                        return option_costs(moved, prices_, cured_, Detail::kExpectedCost);
                      }});
  }

  void add_sealing(std::vector<Lever>& levers) const {
    const double now = *case_.sealing_chance;
    levers.push_back(
        {"chance that the joint seals as clamped", "", now, moved_odds(now, 1 / kStep), moved_odds(now, kStep), 0, 1, [this](double value) {
           RepairCase moved = case_;
           moved.sealing_chance = value;
           return option_costs(moved, prices_, cured_, Detail::kExpectedCost);
         }});
  }

  const RepairCase& case_;
  const ShopPrices& prices_;
  const Cured& cured_;
};

/// Lead of the choice over one other option.
double lead(const std::vector<OptionCost>& options, std::size_t chosen, std::size_t second) {
  return options[second].expected_cost - options[chosen].expected_cost;
}

/// How far a value is from now, as a factor (chances: of the odds).
double way_off(const Lever& lever, double at) {
  constexpr double kTiny = 1e-9;
  const bool is_chance = lever.unit.empty();
  const double a = is_chance ? lever.now / std::max(1 - lever.now, kTiny) : lever.now;
  const double b = is_chance ? at / std::max(1 - at, kTiny) : at;
  return std::abs(std::log(std::max(a, kTiny) / std::max(b, kTiny)));
}

/// The value nearest to now, on one side, where another option is chosen.
std::optional<Turn> turn_towards(const Lever& lever, double end, std::size_t chosen) {
  constexpr int kLooks = 6;
  constexpr int kHalvings = 30;
  double before = lever.now;
  for (int look = 1; look <= kLooks; ++look) {
    double at = lever.now + (end - lever.now) * look / kLooks;
    if (choice_of(lever.costs(at)) == chosen) {
      before = at;
      continue;
    }
    for (int i = 0; i < kHalvings; ++i) {
      const double middle = (before + at) / 2;
      (choice_of(lever.costs(middle)) == chosen ? before : at) = middle;
    }
    return Turn{lever.figure, lever.unit, lever.now, at, static_cast<Option>(choice_of(lever.costs(at)))};
  }
  return std::nullopt;
}

void add_turn(const Lever& lever, std::size_t chosen, std::vector<Turn>& turns) {
  const auto down = turn_towards(lever, lever.least, chosen);
  const auto up = turn_towards(lever, lever.most, chosen);
  if (down && up)
    turns.push_back(way_off(lever, down->at) <= way_off(lever, up->at) ? *down : *up);
  else if (down || up)
    turns.push_back(down ? *down : *up);
}

}  // namespace

Options repair_options(const RepairCase& repair_case, const ShopPrices& prices, const Cured& cured, double joint_low, double joint_high) {
  Options result;
  result.options = option_costs(repair_case, prices, cured);
  const std::size_t chosen = choice_of(result.options);
  if (chosen == result.options.size()) return result;
  result.chosen = result.options[chosen].option;
  std::vector<OptionCost> others = result.options;
  others[chosen].forbidden = "chosen already";
  const std::size_t second = choice_of(others);
  if (second == others.size()) return result;
  result.second = others[second].option;
  std::vector<std::pair<double, Turn>> turns;
  const Levers levers(repair_case, prices, cured);  // outlives the functions it gave out
  for (const Lever& lever : levers.all(joint_low, joint_high)) {
    const double swing = std::abs(lead(lever.costs(lever.high), chosen, second) - lead(lever.costs(lever.low), chosen, second));
    if (swing > 0) result.weights.push_back({lever.figure, lever.unit, lever.now, lever.low, lever.high, swing});
    std::vector<Turn> found;
    add_turn(lever, chosen, found);
    for (Turn& turn : found) turns.emplace_back(way_off(lever, turn.at), std::move(turn));
  }
  std::stable_sort(turns.begin(), turns.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  for (auto& [away, turn] : turns) result.turns.push_back(std::move(turn));
  std::stable_sort(result.weights.begin(), result.weights.end(), [](const Weight& a, const Weight& b) { return a.swing > b.swing; });
  return result;
}

}  // namespace headjoint::repair
