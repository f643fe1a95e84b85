#include "headjoint/leakage/leak_outlets.h"

#include <gtest/gtest.h>

#include "headjoint/base/error.h"

namespace headjoint::leakage {
namespace {

constexpr double kSame = 1e-12;
GaugePressure psi(double value) { return GaugePressure::from_pascal(value * 6894.757); }
LeakDownTest eighty_psi() { return {.supply = psi(80), .orifice = TesterOrifice::drilled(Length::from_si(1.016e-3))}; }
OutletSplit split(double reading, const std::vector<OutletReading>& outlets) {
  return split_by_outlet(eighty_psi(), leak_area_from_leak_down(eighty_psi(), psi(reading)), psi(reading), outlets);
}
VolumeFlow litres_per_minute(double value) { return VolumeFlow::from_si(value / 6e4); }

TEST(Outlets, AllAirAtOneOutletIsTheWholeLeak) {
  const OutletSplit one = split(
      60, {{Outlet::kCoolant, {}, AirHeard::kStrong}, {Outlet::kExhaust, {}, AirHeard::kNone}, {Outlet::kOilFiller, {}, AirHeard::kNone}});
  const LeakArea whole = leak_area_from_leak_down(eighty_psi(), psi(60)).leak;
  EXPECT_EQ(one.status, OutletSplit::Status::kDone);
  EXPECT_NEAR(one.outlets[0].leak.area / whole.area, 1, kSame);
  EXPECT_NEAR(one.outlets[0].leak.low / whole.low, 1, kSame);
  EXPECT_EQ(one.outlets[1].leak.area.si(), 0);
  EXPECT_TRUE(one.outlets[0].is_never_sound);
  EXPECT_FALSE(one.outlets[1].is_never_sound);
}

TEST(Outlets, SharesByEarAddUpAndKeepTheirOrder) {
  const OutletSplit three = split(
      50,
      {{Outlet::kOilFiller, {}, AirHeard::kFaint}, {Outlet::kExhaust, {}, AirHeard::kClear}, {Outlet::kCoolant, {}, AirHeard::kStrong}});
  double sum = 0;
  for (const OutletLeak& outlet : three.outlets) {
    sum += outlet.share;
    EXPECT_LT(outlet.leak.low, outlet.leak.area);
    EXPECT_GT(*outlet.leak.high, outlet.leak.area);
  }
  EXPECT_NEAR(sum, 1, kSame);
  EXPECT_LT(three.outlets[0].leak.area, three.outlets[1].leak.area);
  EXPECT_LT(three.outlets[1].leak.area, three.outlets[2].leak.area);
}

// The whole flow of a leak-down is known from the tester's orifice: metered at one outlet it must give the same area back.
TEST(Outlets, MeteredFlowGivesItsOwnAreaAndLeavesTheRestToTheEar) {
  const LeakDown whole = leak_area_from_leak_down(eighty_psi(), psi(60));
  const OutletSplit all = split(60, {{Outlet::kOilFiller, whole.flow, {}}});
  EXPECT_NEAR(all.outlets[0].leak.area / whole.leak.area, 1, 1e-9);
  const OutletSplit half =
      split(60, {{Outlet::kOilFiller, VolumeFlow::from_si(whole.flow.si() / 2), {}}, {Outlet::kCoolant, {}, AirHeard::kFaint}});
  EXPECT_NEAR(half.outlets[0].leak.area / whole.leak.area, 0.5, 1e-9);
  EXPECT_NEAR(half.outlets[1].leak.area / whole.leak.area, 0.5, 1e-9);
  EXPECT_EQ(half.status, OutletSplit::Status::kDone);
}

TEST(Outlets, SaysWhenMetersShowMoreThanTheGaugeAndWhenAirGoesUnseen) {
  EXPECT_EQ(split(76, {{Outlet::kOilFiller, litres_per_minute(60), {}}}).status, OutletSplit::Status::kOverfull);
  const OutletSplit unseen = split(60, {{Outlet::kIntake, {}, AirHeard::kNone}, {Outlet::kOilFiller, {}, AirHeard::kNone}});
  EXPECT_EQ(unseen.status, OutletSplit::Status::kNothingHeard);
  EXPECT_NEAR(unseen.not_found.si() * 1e6, 0.687, 0.002);  // 60/80 with the 0.040 in tester
}

TEST(Outlets, RingsTakeTheirShareWhenNobodyListenedThere) {
  const OutletSplit one = split(60, {{Outlet::kCoolant, {}, AirHeard::kClear}});
  ASSERT_EQ(one.outlets.size(), 2u);
  EXPECT_TRUE(one.outlets[1].is_assumed);
  EXPECT_EQ(one.outlets[1].outlet, Outlet::kOilFiller);
  EXPECT_NEAR(one.outlets[0].share, 0.8, kSame);  // 4 : 1
  EXPECT_LT(one.outlets[0].leak.low, 0.8 * leak_area_from_leak_down(eighty_psi(), psi(60)).leak.low);
}

TEST(Outlets, RefusesDoubleAndEmptyOutlets) {
  EXPECT_THROW((void)split(60, {{Outlet::kIntake, {}, AirHeard::kNone}, {Outlet::kIntake, {}, AirHeard::kFaint}}), InputError);
  EXPECT_THROW((void)split(60, {{Outlet::kIntake, {}, {}}}), InputError);
  EXPECT_THROW((void)split(60, {{Outlet::kIntake, litres_per_minute(-1), {}}}), InputError);
}

}  // namespace
}  // namespace headjoint::leakage
