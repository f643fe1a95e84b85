#pragma once

#include <optional>
#include <string>

#include "headjoint/base/problem.h"
#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

namespace headjoint::joint {

/// Where a figure comes from: whoever reads a result must be able to tell a measured figure from a guess.
enum class FigureStatus { kNotSaid, kMeasured, kPublished, kAssumed };

/// One figure of an engine or a job, with its origin.
///
/// In a file it is either the bare value (`bore = "80.0 mm"`, `poisson_ratio = 0.33`) or a table
/// (`flatness_limit = { value = "0.05 mm", source = "workshop manual p. 12", status = "published" }`).
template <class T>
struct Figure {
  T value{};
  std::string text;    ///< as typed; empty for a figure made by the program
  double step_si = 0;  ///< one unit of the last digit typed, in SI; 0 when unknown
  FigureStatus status = FigureStatus::kNotSaid;
  std::string source;
  Place place;
};

/// A share of one, typed as "12 %": 0.12.
struct Share {
  double fraction = 0;
  constexpr auto operator<=>(const Share&) const = default;
};

template <class T>
using OptionalFigure = std::optional<Figure<T>>;

/// A figure without a typed text: for code and tests.
template <class T>
[[nodiscard]] Figure<T> assumed(T value) {
  return {value, {}, 0, FigureStatus::kAssumed, {}, {}};
}

}  // namespace headjoint::joint
