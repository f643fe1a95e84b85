#pragma once

#include <string>
#include <vector>

/// Small charts of numbers: curves over an axis, and values with their ranges beside each other.
namespace headjoint::report {

struct ChartCurve {
  std::string name;  ///< written at its highest point; empty: nothing is written
  std::vector<double> x;
  std::vector<double> y;
};

struct ChartAxis {
  std::string title;  ///< with the unit
  double low = 0;
  double high = 1;
  double step = 0.25;  ///< between ticks
};

/// An axis that holds 0 and `high` with about five ticks at round numbers.
[[nodiscard]] ChartAxis round_axis(const std::string& title, double high);

/// Curves over x; points outside the x axis are left out. Each has its own dash; names stand apart from each other.
[[nodiscard]] std::string line_chart_svg(const std::vector<ChartCurve>& curves, const ChartAxis& x, const ChartAxis& y,
                                         const std::string& id_prefix, const std::string& title, const std::string& description);

/// One value with the range it may lie in.
struct ChartRange {
  std::string name;
  double value = 0;
  double low = 0;
  double high = 0;        ///< not a number: open upwards
  bool is_known = true;   ///< else only the name stands
  std::string note = {};  ///< beside the name when the value is not known
};

/// Values with their ranges, one row each.
[[nodiscard]] std::string range_chart_svg(const std::vector<ChartRange>& rows, const ChartAxis& x, const std::string& id_prefix,
                                          const std::string& title, const std::string& description);

}  // namespace headjoint::report
