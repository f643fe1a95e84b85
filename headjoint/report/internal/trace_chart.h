#pragma once

#include <string>
#include <utility>
#include <vector>

#include "headjoint/report/internal/line_chart.h"

namespace headjoint::report {

/// A chart over time or angle whose words stand above it, so that they hide nothing.
struct TraceChart {
  struct Curve {
    std::string name;
    std::vector<double> x, y;
    double dash = 0;  ///< 0 = solid
  };
  struct Mark {
    double x = 0;
    std::string text;  ///< "" for a tick alone
    bool is_strong = false;
  };
  ChartAxis x, y;
  std::vector<Curve> curves;
  std::vector<double> band_x, band_low, band_high;  ///< shaded between low and high
  std::string band_name;
  std::vector<std::pair<double, double>> shaded;  ///< stretches of x
  std::string shaded_name;
  std::vector<Mark> marks;  ///< at the foot
  std::string marks_name;
};

[[nodiscard]] std::string trace_chart_svg(const TraceChart& chart, const std::string& id_prefix, const std::string& title,
                                          const std::string& description);

}  // namespace headjoint::report
