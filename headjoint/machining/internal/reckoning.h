#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "headjoint/machining/internal/figures.h"

namespace headjoint::machining {

/// A matter as a number of the ingredients, in SI units and radians (kelvin for temperatures).
using Formula = std::function<double(const Values&)>;

/// What one line asks for.
struct Asked {
  Matter matter;
  std::vector<Ingredient> needs;  ///< what the formula reads, cuts and gasket left out where they do not matter
  Formula formula;
  std::optional<Bound> least;  ///< in the matter's unit
  std::optional<Bound> most;
  std::vector<std::string> limit_keys;
  std::vector<std::string> missing;  ///< what is missing beside the needs
};

/// Before, after, band, verdict, and the gasket that would restore it.
[[nodiscard]] Consequence reckon(const Asked& asked, const Figures& figures);

/// The matter's unit from SI.
[[nodiscard]] double shown(Matter matter, double si);

/// A limit of the file in the matter's unit; its key joins the keys where a limit would stand.
template <class T>
void set_bound(std::optional<Bound>& bound, Asked& asked, const char* key, const joint::OptionalFigure<T>& figure);

}  // namespace headjoint::machining
