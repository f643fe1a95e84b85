#include "headjoint/leakage/leak_outlets.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "headjoint/leakage/internal/arguments.h"

namespace headjoint::leakage {
namespace {

constexpr double kWordStep = 4, kWordWidth = 2;  // assumption
constexpr double kMeterSpread = 0.10;            // of a flow meter of the workshop; assumption
constexpr double kOverfull = 1.25;               // meters and gauge together may differ by this

double weight(AirHeard heard) {
  switch (heard) {
    case AirHeard::kNone:
      return 0;
    case AirHeard::kFaint:
      return 1;
    case AirHeard::kClear:
      return kWordStep;
    case AirHeard::kStrong:
      return kWordStep * kWordStep;
  }
  return 0;
}

void check_outlets(const std::vector<OutletReading>& outlets) {
  std::set<Outlet> seen;
  for (const OutletReading& outlet : outlets) {
    const char* name = outlet_name(outlet.outlet);
    check_argument(seen.insert(outlet.outlet).second, name, "must be given once");
    check_argument(outlet.flow || outlet.heard, name, "needs a flow or one of none, faint, clear, strong");
    if (outlet.flow) check_not_negative(outlet.flow->si(), name);
  }
}

OutletLeak metered(const LeakDownTest& test, GaugePressure reading, const OutletReading& outlet) {
  OutletLeak leak;
  leak.outlet = outlet.outlet;
  leak.is_metered = true;
  leak.is_never_sound = is_never_sound(outlet.outlet);
  leak.leak.area = leak_area_from_outlet_flow(*outlet.flow, reading, test.ambient, test.gas);
  leak.leak.low = (1 - kMeterSpread) * leak.leak.area;
  leak.leak.high = (1 + kMeterSpread) * leak.leak.area;
  leak.leak.status = leak.leak.area.si() > 0 ? LeakArea::Status::kMeasured : LeakArea::Status::kBelowLimit;
  return leak;
}

/// Shares of the rest by ear; the band lets every other word be off by its width the other way.
OutletLeak heard(const OutletReading& outlet, double weights, const LeakArea& rest) {
  OutletLeak leak;
  leak.outlet = outlet.outlet;
  leak.is_never_sound = is_never_sound(outlet.outlet);
  const double own = weight(*outlet.heard), others = weights - own;
  const auto share = [&](double factor) { return own > 0 ? own * factor / (own * factor + others / factor) : 0.0; };
  leak.leak.area = share(1) * rest.area;
  leak.leak.low = share(1 / kWordWidth) * rest.low;
  if (rest.high) leak.leak.high = share(kWordWidth) * *rest.high;
  leak.leak.status = own > 0 ? LeakArea::Status::kMeasured : LeakArea::Status::kBelowLimit;
  return leak;
}

}  // namespace

const char* outlet_name(Outlet outlet) {
  switch (outlet) {
    case Outlet::kIntake:
      return "intake";
    case Outlet::kExhaust:
      return "exhaust";
    case Outlet::kValve:
      return "intake or exhaust";
    case Outlet::kOilFiller:
      return "oil filler";
    case Outlet::kCoolant:
      return "coolant";
    case Outlet::kNeighbourPlug:
      return "neighbour's plug hole";
    case Outlet::kOutside:
      return "outside of the joint";
  }
  return "";
}

bool is_never_sound(Outlet outlet) { return outlet == Outlet::kCoolant || outlet == Outlet::kNeighbourPlug || outlet == Outlet::kOutside; }

OutletSplit split_by_outlet(const LeakDownTest& test, const LeakDown& result, GaugePressure reading,
                            const std::vector<OutletReading>& given) {
  check_outlets(given);
  std::vector<OutletReading> outlets = given;
  const bool is_filler_given =
      std::any_of(given.begin(), given.end(), [](const OutletReading& o) { return o.outlet == Outlet::kOilFiller; });
  if (!is_filler_given) outlets.push_back({Outlet::kOilFiller, std::nullopt, AirHeard::kFaint});
  check_positive(reading.pascal(), "reading");
  require(result.leak.status != LeakArea::Status::kNotRun, "outlets are split from a leak-down result");
  OutletSplit split;
  split.status = OutletSplit::Status::kDone;
  Area by_meter{};
  double weights = 0;
  for (const OutletReading& outlet : outlets) {
    if (!outlet.flow) weights += weight(*outlet.heard);
    split.outlets.push_back(outlet.flow ? metered(test, reading, outlet) : OutletLeak{});
    by_meter = by_meter + split.outlets.back().leak.area;
  }
  const auto beyond_meters = [&](Area area) { return std::max(Area{}, area - by_meter); };
  LeakArea rest = result.leak;
  rest.area = beyond_meters(rest.area);
  rest.low = beyond_meters(rest.low);
  if (rest.high) rest.high = beyond_meters(*rest.high);
  for (std::size_t i = 0; i < outlets.size(); ++i)
    if (!outlets[i].flow) split.outlets[i] = heard(outlets[i], weights, rest);
  split.outlets.back().is_assumed = !is_filler_given;
  const Area whole = std::max(result.leak.area, by_meter);
  for (OutletLeak& outlet : split.outlets) outlet.share = whole.si() > 0 ? outlet.leak.area / whole : 0;
  if (weights == 0) split.not_found = rest.area;
  const Area most = result.leak.high.value_or(result.leak.area);
  if (by_meter > kOverfull * most) {
    split.status = OutletSplit::Status::kOverfull;
    split.note = fmt::format(
        "the outlets together pass {:.2f} mm², the gauge shows {:.2f} mm²: flow meter, tester orifice or supply is not what was given",
        by_meter.si() * 1e6, result.leak.area.si() * 1e6);
  } else if (weights == 0 && result.leak.low > by_meter) {
    split.status = OutletSplit::Status::kNothingHeard;
    split.note =
        fmt::format("{:.2f} mm² go where nobody looked: listen at every outlet, and at the hose to the tester", split.not_found.si() * 1e6);
  }
  return split;
}

}  // namespace headjoint::leakage
