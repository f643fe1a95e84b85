#include "headjoint/leakage/sensitivity.h"

#include "headjoint/leakage/internal/arguments.h"

namespace headjoint::leakage {

Area smallest_leak_by_leak_down(const LeakDownTest& test, GaugePressure healthy_reading) {
  const LeakDown healthy = leak_area_from_leak_down(test, healthy_reading);
  check_argument(healthy.leak.high.has_value(), "healthy reading", "must be more than one gauge step above 0");
  return *healthy.leak.high - healthy.leak.area;
}

Area smallest_leak_by_bubbles(GaugePressure cylinder, VolumeFlow slowest_flow, const Ambient& ambient, const Gas& gas) {
  check_positive(slowest_flow.si(), "slowest flow");
  return leak_area_from_outlet_flow(slowest_flow, cylinder, ambient, gas);
}

Area smallest_leak_by_compression(const Cranking& cranking, double visible_drop, const Gas& gas) {
  check_argument(visible_drop > 0 && visible_drop < 0.8, "visible drop", "must be above 0 and below 0.8");
  const double ratio = 1 - visible_drop;
  return extra_leak_from_ratio(ratio, ratio, ratio, cranking, gas).area;
}

}  // namespace headjoint::leakage
