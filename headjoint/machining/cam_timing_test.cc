#include "headjoint/machining/cam_timing.h"

#include <cmath>
#include <numbers>

#include "headjoint/machining/test_engines.h"

namespace headjoint::machining {
namespace {

constexpr double kSixDigits = 1e-6;
constexpr double kPrinted = 5e-3;
constexpr double kFirstOrder = 1e-6;  // relative, for a cut a ten-thousandth of the distance

double exact_cam_deg(double distance, double crank, double cam, double lowered) {
  return timing_shift(mm(lowered), mm(crank), mm(cam), mm(distance)).cam.degrees();
}

// Derived twice; the first row is also the trade's case of 2 mm on a 109 mm sprocket.
TEST(TimingShift, OfAStraightStrandBetweenTwoSprockets) {
  EXPECT_NEAR(exact_cam_deg(400, 27.25, 54.5, 2.0), 2.097688, kSixDigits);
  EXPECT_NEAR(exact_cam_deg(350, 28.6, 57.3, 0.3), 0.298967, kSixDigits);
  EXPECT_NEAR(exact_cam_deg(300, 30, 60, 0.5), 0.475068, kSixDigits);
  EXPECT_NEAR(exact_cam_deg(250, 25, 50, 1.0), 1.140148, kSixDigits);
  EXPECT_NEAR(timing_shift(mm(2.0), mm(27.25), mm(54.5), mm(400)).crank.degrees(), 4.195376, 2 * kSixDigits);
}

TEST(TimingShift, BySimpleFormulaAndByTheStrandsDirection) {
  EXPECT_NEAR(timing_shift(mm(2.0), mm(54.5), deg(0)).cam.degrees(), 2.102597, kSixDigits);
  const Angle strand = Angle::from_radians(std::asin((54.5 - 27.25) / 400));
  EXPECT_NEAR(timing_shift(mm(2.0), mm(54.5), strand).cam.degrees(), 2.097713, kSixDigits);
  EXPECT_NEAR(timing_shift(mm(1.0), mm(180 / std::numbers::pi), deg(0)).cam.degrees(), 1, 1e-12) << "57.3 mm: a degree a millimetre";
}

TEST(TimingShift, OfASmallCutIsThatOfTheStrandsDirection) {
  for (const double cam : {40.0, 57.3, 80.0}) {
    const Angle strand = Angle::from_radians(std::asin((cam - 30) / 350));
    const double lowered = 1e-4;
    const double central = (exact_cam_deg(350, 30, cam, lowered) - exact_cam_deg(350, 30, cam, -lowered)) / 2;
    EXPECT_NEAR(central / timing_shift(mm(lowered), mm(cam), strand).cam.degrees(), 1, kFirstOrder);
  }
}

TEST(TimingShift, AdvancesWithAThickerGasket) { EXPECT_LT(exact_cam_deg(350, 28.6, 57.3, -0.2), 0); }

TEST(TimingShift, RefusesSprocketsThatDoNotFit) {
  EXPECT_THROW((void)timing_shift(mm(1), mm(30), mm(60), mm(30)), InputError);
  EXPECT_THROW((void)timing_shift(mm(1), mm(30), mm(60), mm(30.5)), InputError);
  EXPECT_THROW((void)timing_shift(mm(1), mm(0), deg(0)), InputError);
}

// ISO 606 / ANSI B29.1 pitch diameters, printed for 25.4 mm pitch; the rest by the same formula.
TEST(PitchRadius, OfChainSprocketsAsPrinted) {
  const auto diameter = [](double pitch, int teeth) { return 2 * in_mm(chain_pitch_radius(mm(pitch), teeth)); };
  EXPECT_NEAR(diameter(25.4, 18), 146.27, kPrinted);
  EXPECT_NEAR(diameter(25.4, 20), 162.37, kPrinted);
  EXPECT_NEAR(diameter(25.4, 36), 291.43, kPrinted);
  EXPECT_NEAR(diameter(25.4, 40), 323.74, kPrinted);
  EXPECT_NEAR(diameter(9.525, 36), 109.2871, 1e-4);
  EXPECT_NEAR(diameter(6.35, 40), 80.9339, 1e-4);
}

TEST(PitchRadius, OfToothedBelts) {
  const auto diameter = [](double pitch, int teeth) { return 2 * in_mm(belt_pitch_radius(mm(pitch), teeth)); };
  EXPECT_NEAR(diameter(9.525, 38), 115.2123, 1e-4);
  EXPECT_NEAR(diameter(8, 48), 122.2310, 1e-4);
  EXPECT_LT(diameter(8, 400), 2 * in_mm(chain_pitch_radius(mm(8), 400))) << "a polygon lies outside the circle of its length";
  EXPECT_THROW((void)belt_pitch_radius(mm(8), 0), InputError);
}

}  // namespace
}  // namespace headjoint::machining
