#include "headjoint/faces/internal/flatness_band.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <optional>
#include <utility>

#include "headjoint/faces/internal/linear_programme.h"

namespace headjoint::faces::internal {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr std::size_t kMostForFours = 40;  // places up to which every four are looked at
constexpr std::size_t kMostProgrammes = 4000;
constexpr double kSame_mm = 1e-9;    // dual bound and reached value agree
constexpr double kOnOneLine = 1e-9;  // area of a triangle over the square of the length
constexpr double kWiden_mm = 1e-5;   // to which a contradiction is measured

/// Intervals of the readings, widened.
struct Intervals {
  std::vector<double> low;
  std::vector<double> high;
};

Intervals intervals_of(const LineSystem& system, double widened) {
  Intervals intervals;
  for (const LineReading& reading : system.readings) {
    intervals.low.push_back(reading.low - widened);
    intervals.high.push_back(reading.high + widened);
  }
  return intervals;
}

bool can_be_met(const LineSystem& system, double widened) {
  Intervals intervals = intervals_of(system, widened);
  BoundedProgramme programme(system.closures, std::move(intervals.low), std::move(intervals.high));
  return programme.maximise(std::vector<double>(system.readings.size(), 0.0)).status != ProgrammeStatus::kInfeasible;
}

/// The least by which all intervals must widen before heights meet them all.
double least_widening(const LineSystem& system) {
  if (can_be_met(system, 0)) return 0;
  double low = 0;
  double high = kWiden_mm;
  while (!can_be_met(system, high) && high < 1e3) {
    low = high;
    high *= 2;
  }
  while (high - low > kWiden_mm) {
    const double middle = (low + high) / 2;
    (can_be_met(system, middle) ? high : low) = middle;
  }
  return high;
}

/// A linear form of the readings that the flatness deviation is never less than: three spots against one, or two against two.
struct Four {
  std::vector<double> form;
  double bound = 0;  ///< most it reaches when the closures are left aside
};

double most_between(const std::vector<double>& form, const Intervals& intervals) {
  double most = 0;
  for (std::size_t r = 0; r < form.size(); ++r)
    if (std::abs(form[r]) > 1e-13) most += form[r] * (form[r] > 0 ? intervals.high[r] : intervals.low[r]);
  return most;
}

double triangle(const LinePlace& a, const LinePlace& b, const LinePlace& c) {
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

/// Weights under which the four places balance, the positive ones summing to 1; empty when they lie on one line.
std::optional<std::array<double, 4>> balance(const std::array<const LinePlace*, 4>& p, double length) {
  std::array<double, 4> weight{triangle(*p[1], *p[2], *p[3]), -triangle(*p[0], *p[2], *p[3]), triangle(*p[0], *p[1], *p[3]),
                               -triangle(*p[0], *p[1], *p[2])};
  double positive = 0;
  for (double& w : weight) {
    if (std::abs(w) < kOnOneLine * length * length) w = 0;
    positive += std::max(w, 0.0);
  }
  if (!(positive > 0)) return std::nullopt;
  for (double& w : weight) w /= positive;
  return weight;
}

double longest(const std::vector<LinePlace>& places) {
  double most = 0;
  for (const LinePlace& p : places) most = std::max(most, std::hypot(p.x - places[0].x, p.y - places[0].y));
  return most;
}

/// All fours both ways up, those that can reach most first.
std::vector<Four> fours_of(const LineSystem& system, const Intervals& intervals) {
  const std::vector<LinePlace>& p = system.places;
  const double length = longest(p);
  std::vector<Four> fours;
  for (std::size_t i = 0; i < p.size(); ++i) {
    for (std::size_t j = i + 1; j < p.size(); ++j) {
      for (std::size_t k = j + 1; k < p.size(); ++k) {
        for (std::size_t l = k + 1; l < p.size(); ++l) {
          const auto weight = balance({&p[i], &p[j], &p[k], &p[l]}, length);
          if (!weight) continue;
          const std::array<std::size_t, 4> which{i, j, k, l};
          std::vector<double> form(system.readings.size(), 0.0);
          for (std::size_t c = 0; c < 4; ++c)
            for (std::size_t r = 0; r < form.size(); ++r) form[r] += (*weight)[c] * system.heights[which[c]][r];
          for (int way = 0; way < 2; ++way) {
            fours.push_back({form, most_between(form, intervals)});
            for (double& f : form) f = -f;
          }
        }
      }
    }
  }
  std::sort(fours.begin(), fours.end(), [](const Four& a, const Four& b) { return a.bound > b.bound; });
  return fours;
}

/// Search for the greatest of all fours.
struct Greatest {
  double bound = 0;  ///< proved
  double reached = 0;
  std::vector<double> form;
};

void try_form(BoundedProgramme& programme, const std::vector<double>& form, Greatest& greatest) {
  const ProgrammeSolution solution = programme.maximise(form);
  const double bound = solution.status == ProgrammeStatus::kOptimal ? programme.bound_from(form, solution.row_multipliers) : kInfinity;
  if (bound > greatest.bound || greatest.form.empty()) greatest.form = form;
  greatest.bound = std::max(greatest.bound, bound);
  if (solution.status == ProgrammeStatus::kOptimal) greatest.reached = std::max(greatest.reached, solution.value);
}

Greatest greatest_by_fours(const LineSystem& system, const Intervals& intervals) {
  BoundedProgramme programme(system.closures, intervals.low, intervals.high);
  Greatest greatest;
  std::size_t run = 0;
  for (const Four& four : fours_of(system, intervals)) {
    if (four.bound <= greatest.bound || !std::isfinite(greatest.bound)) break;
    if (++run > kMostProgrammes) {
      greatest.bound = four.bound;
      break;
    }
    try_form(programme, four.form, greatest);
  }
  return greatest;
}

/// For many places: the highest any place can stand less the lowest, over the plane of least squares.
Greatest greatest_by_range(const LineSystem& system, const Intervals& intervals) {
  BoundedProgramme programme(system.closures, intervals.low, intervals.high);
  Greatest up;
  Greatest down;
  for (const std::vector<double>& height : system.heights) {
    try_form(programme, height, up);
    std::vector<double> below = height;
    for (double& f : below) f = -f;
    try_form(programme, below, down);
  }
  Greatest both{up.bound + down.bound, 0, up.form};
  for (std::size_t r = 0; r < both.form.size(); ++r) both.form[r] += down.form[r];
  return both;
}

/// Least flatness: readings, free shapes, a plane and the width as variables, places between two planes as rows.
struct LeastZone {
  double bound = 0;
  double reached = 0;
};

LeastZone least_zone(const LineSystem& system, const Intervals& intervals) {
  const std::size_t readings = system.readings.size();
  const std::size_t places = system.places.size();
  const std::size_t shapes = system.free_shapes.size();
  const std::size_t plane = readings + shapes;
  const std::size_t width = plane + 3;
  const std::size_t under = width + 1;
  const std::size_t columns = under + 2 * places;
  const double length = longest(system.places);
  std::vector<double> low(columns, 0.0);
  std::vector<double> high(columns, kInfinity);
  std::copy(intervals.low.begin(), intervals.low.end(), low.begin());
  std::copy(intervals.high.begin(), intervals.high.end(), high.begin());
  std::fill(low.begin() + static_cast<std::ptrdiff_t>(readings), low.begin() + static_cast<std::ptrdiff_t>(width), -kInfinity);
  std::vector<std::vector<double>> rows;
  for (const std::vector<double>& closure : system.closures) {
    rows.push_back(closure);
    rows.back().resize(columns, 0.0);
  }
  for (std::size_t k = 0; k < places; ++k) {
    std::vector<double> row = system.heights[k];
    row.resize(columns, 0.0);
    for (std::size_t s = 0; s < shapes; ++s) row[readings + s] = system.free_shapes[s][k];
    row[plane] = -1;
    row[plane + 1] = -(system.places[k].x - system.places[0].x) / length;
    row[plane + 2] = -(system.places[k].y - system.places[0].y) / length;
    row[under + 2 * k] = -1;
    rows.push_back(std::move(row));
    std::vector<double> between(columns, 0.0);
    between[under + 2 * k] = 1;
    between[under + 2 * k + 1] = 1;
    between[width] = -1;
    rows.push_back(std::move(between));
  }
  std::vector<double> objective(columns, 0.0);
  objective[width] = -1;
  BoundedProgramme programme(std::move(rows), std::move(low), std::move(high));
  const ProgrammeSolution solution = programme.maximise(objective);
  if (solution.status != ProgrammeStatus::kOptimal) return {0, kInfinity};
  const double bound = -programme.bound_from(objective, solution.row_multipliers);
  return {std::isfinite(bound) ? std::max(0.0, bound) : 0.0, -solution.value};
}

}  // namespace

FlatnessBand flatness_band(const LineSystem& system) {
  FlatnessBand band;
  band.widens.assign(system.readings.size(), 0.0);
  band.widened = least_widening(system);
  const Intervals intervals = intervals_of(system, band.widened);
  const LeastZone least = least_zone(system, intervals);
  band.low = least.bound;
  if (!system.free_shapes.empty()) return band;
  const bool by_fours = system.places.size() <= kMostForFours;
  const Greatest greatest = by_fours ? greatest_by_fours(system, intervals) : greatest_by_range(system, intervals);
  band.high = greatest.bound;
  band.is_exact = by_fours && greatest.bound <= greatest.reached + kSame_mm && least.reached <= least.bound + kSame_mm;
  for (std::size_t r = 0; r < greatest.form.size(); ++r)
    if (std::abs(greatest.form[r]) > 1e-13) band.widens[r] = std::abs(greatest.form[r]) * (intervals.high[r] - intervals.low[r]);
  return band;
}

}  // namespace headjoint::faces::internal
