#include "headjoint/machining/internal/reckoning.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "headjoint/base/error.h"
#include "headjoint/numerics/root.h"

namespace headjoint::machining {
namespace {

constexpr double kSame = 1e-9;                              // in any unit shown: below every digit that means something
constexpr double kExpandUniform = 2 / std::numbers::sqrt3;  // half width of a uniform part to k = 2
constexpr double kThinnestGasket = 0.05e-3, kThickestGasket = 10e-3;

bool uses(const Asked& asked, Ingredient i) { return std::find(asked.needs.begin(), asked.needs.end(), i) != asked.needs.end(); }

/// The formula's value, or empty where the geometry is no engine any more.
std::optional<double> value_of(const Formula& formula, const Values& values, std::string* fault = nullptr) {
  try {
    const double value = formula(values);
    if (std::isfinite(value)) return value;
    if (fault != nullptr) *fault = "the figures make no number";
  } catch (const InputError& error) {
    if (fault != nullptr) *fault = error.what();
  }
  return std::nullopt;
}

double band_of(const Asked& asked, const Figures& figures) {
  double squares = 0;
  for (const Ingredient i : asked.needs) {
    const double half_step = figures[i].half_step;
    if (!(half_step > 0)) continue;
    Values high = figures.after(), low = high;
    figures.move(high, i, half_step);
    figures.move(low, i, -half_step);
    const auto above = value_of(asked.formula, high), below = value_of(asked.formula, low);
    if (above && below) squares += std::pow(0.5 * (shown(asked.matter, *above) - shown(asked.matter, *below)), 2);
  }
  return kExpandUniform * std::sqrt(squares);
}

/// Room left to the nearer limit; negative when it is passed.
double margin_of(const Consequence& line) {
  double margin = std::numeric_limits<double>::infinity();
  if (line.least) margin = std::min(margin, *line.after - line.least->value);
  if (line.most) margin = std::min(margin, line.most->value - *line.after);
  return margin;
}

Verdict judge(const Consequence& line) {
  if (!line.missing.empty()) return Verdict::kCannotSay;
  if (!line.after) return line.fault.empty() ? Verdict::kCannotSay : Verdict::kOutOfLimit;
  if (!line.least && !line.most) return Verdict::kNoLimit;
  const double margin = margin_of(line);
  if (margin < -kSame) return Verdict::kOutOfLimit;
  return margin < line.band ? Verdict::kNearLimit : Verdict::kOk;
}

/// The gasket with which the formula gives `wanted` (in the matter's unit), or empty when none does.
std::optional<double> gasket_for(const Asked& asked, const Values& after, double wanted) {
  const auto off = [&](double thickness) {
    Values values = after;
    values[Ingredient::kGasketAfter] = thickness;
    const auto value = value_of(asked.formula, values);
    return value ? shown(asked.matter, *value) - wanted : std::numeric_limits<double>::quiet_NaN();
  };
  // A thin gasket may leave no room at all: begin at the thinnest that gives a number.
  double thin = kThinnestGasket;
  while (thin < after[Ingredient::kGasketAfter] && !std::isfinite(off(thin))) thin += kThinnestGasket;
  const double low = off(thin), high = off(kThickestGasket);
  if (!std::isfinite(low) || !std::isfinite(high) || low * high > 0) return std::nullopt;
  const numerics::Root root = numerics::bracketed_root(off, thin, kThickestGasket, 1e-12);
  if (root.status != numerics::Root::Status::kConverged) return std::nullopt;
  return root.x * 1e3;
}

void find_gaskets(const Asked& asked, const Figures& figures, Consequence& line) {
  if (!uses(asked, Ingredient::kGasketAfter) || !figures.has(Ingredient::kGasketAfter) || !line.before) return;
  const Values after = figures.after();
  const bool is_changed = !line.after || std::abs(*line.after - *line.before) > kSame;
  if (is_changed) line.gasket_that_restores_mm = gasket_for(asked, after, *line.before);
  if (line.verdict != Verdict::kOutOfLimit || !line.after) return;
  const bool is_below = line.least && *line.after < line.least->value;
  line.gasket_that_is_enough_mm = gasket_for(asked, after, is_below ? line.least->value : line.most->value);
}

}  // namespace

double shown(Matter matter, double si) {
  switch (unit_of(matter)) {
    case MatterUnit::kMillimetre:
      return si * 1e3;
    case MatterUnit::kDegree:
      return si * (180 / std::numbers::pi);
    case MatterUnit::kCelsius:
      return si - 273.15;
    case MatterUnit::kNone:
      return si;
  }
  return si;
}

Consequence reckon(const Asked& asked, const Figures& figures) {
  Consequence line;
  line.matter = asked.matter;
  line.least = asked.least;
  line.most = asked.most;
  line.limit_keys = asked.limit_keys;
  line.missing = asked.missing;
  for (const Ingredient i : asked.needs) {
    if (!figures.has(i)) line.missing.push_back(figures[i].key);
    if (!figures[i].assumed.empty()) line.assumed.push_back(figures[i].assumed);
  }
  const auto once = [](std::vector<std::string>& names) {
    std::vector<std::string> kept;
    for (const std::string& name : names)
      if (std::find(kept.begin(), kept.end(), name) == kept.end()) kept.push_back(name);
    names = std::move(kept);
  };
  for (const auto& bound : {line.least, line.most})
    if (bound && bound->status == joint::FigureStatus::kAssumed) line.assumed.push_back(bound->key);
  if (line.missing.empty()) {
    if (const auto before = value_of(asked.formula, figures.before())) line.before = shown(asked.matter, *before);
    if (const auto after = value_of(asked.formula, figures.after(), &line.fault)) {
      line.after = shown(asked.matter, *after);
      line.band = band_of(asked, figures);
    }
  }
  line.verdict = judge(line);
  find_gaskets(asked, figures, line);
  once(line.missing);
  once(line.assumed);
  return line;
}

template <class T>
void set_bound(std::optional<Bound>& bound, Asked& asked, const char* key, const joint::OptionalFigure<T>& figure) {
  asked.limit_keys.emplace_back(key);
  if (!figure) return;
  double si = 0;
  if constexpr (std::is_same_v<T, double>)
    si = figure->value;
  else if constexpr (std::is_same_v<T, Angle>)
    si = figure->value.radians();
  else
    si = figure->value.si();
  bound = Bound{shown(asked.matter, si), key, figure->source, figure->status};
}

template void set_bound(std::optional<Bound>&, Asked&, const char*, const joint::OptionalFigure<double>&);
template void set_bound(std::optional<Bound>&, Asked&, const char*, const joint::OptionalFigure<Angle>&);
template void set_bound(std::optional<Bound>&, Asked&, const char*, const joint::OptionalFigure<Length>&);

}  // namespace headjoint::machining
