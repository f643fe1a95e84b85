#include "headjoint/machining/compression_ratio.h"

#include <cmath>
#include <numbers>

#include "headjoint/machining/test_engines.h"

namespace headjoint::machining {
namespace {

constexpr double kSixDigits = 1e-6;   // worked examples given to six decimals
constexpr double kPrinted = 5e-3;     // printed to two or three digits
constexpr double kDifference = 1e-6;  // central differences, relative

constexpr double kPi = std::numbers::pi;

CylinderVolumes square_four() { return {mm(86), mm(86), mm(87), mm(0.70), mm(0.20), cm3(47.0), cm3(3.0), cm3(0)}; }
const CrankTrain kSquareTrain = {mm(86), mm(143)};

double ratio_after(double head, double deck, double gasket) {
  return compression_ratio(after_removal(square_four(), mm2(5200), {mm(head), mm(deck), mm(gasket)}));
}

// Worked by hand twice, independently (formulas of the slider crank and the cylinder alone).
TEST(CompressionRatio, OfTheWorkedExampleBeforeAndAfterEachCut) {
  EXPECT_NEAR(swept_volume(mm(86), mm(86)).in(cm3(1)), 499.557214, kSixDigits);
  EXPECT_NEAR(clearance_volume(square_four()).in(cm3(1)), 55.323036, kSixDigits);
  EXPECT_NEAR(ratio_after(0, 0, 0.70), 10.029823, kSixDigits);
  EXPECT_NEAR(ratio_after(0.10, 0, 0.70), 10.115503, kSixDigits);
  EXPECT_NEAR(ratio_after(0.20, 0, 0.70), 10.202824, kSixDigits);
  EXPECT_NEAR(ratio_after(0.30, 0, 0.70), 10.291834, kSixDigits);
  EXPECT_NEAR(ratio_after(0.50, 0, 0.70), 10.475122, kSixDigits);
  EXPECT_NEAR(ratio_after(0, 0.10, 0.70), 10.125640, kSixDigits);
  EXPECT_NEAR(ratio_after(0, 0.20, 0.70), 10.223513, kSixDigits);
  EXPECT_NEAR(ratio_after(0.30, 0, 1.00), 9.993506, kSixDigits);
  EXPECT_NEAR(ratio_after(0.30, 0, 0.962420), 10.029823, kSixDigits);
}

TEST(CompressionRatio, ComesBackWithTheGasketThatMakesUpForTheHead) {
  const CylinderVolumes cut = after_removal(square_four(), mm2(5200), {mm(0.30), mm(0), mm(0.70)});
  const Length gasket = gasket_for_ratio(cut, compression_ratio(square_four()));
  EXPECT_NEAR(in_mm(gasket), 0.962420, kSixDigits);
  EXPECT_NEAR(in_mm(gasket) - 0.70, 5200 * 0.30 / (kPi / 4 * 87 * 87), 1e-9) << "opening times depth over the gasket's bore area";
}

// Printed answers of teaching material: 245 cm3, stroke 1.1... of the bore, clearance 27.2 cm3: 7.00 cm, 6.36 cm, 10.007.
TEST(CompressionRatio, OfAPrintedTextbookCylinder) {
  const Length bore = mm(10) * std::cbrt(245 * 1.1 / (kPi / 4));
  EXPECT_NEAR(bore.in(mm(10)), 7.00, kPrinted);
  EXPECT_NEAR((bore / 1.1).in(mm(10)), 6.36, kPrinted);
  EXPECT_NEAR(compression_ratio(swept_volume(bore, bore / 1.1), cm3(27.2)), 10.007, kPrinted);
}

// 90 x 100 mm with 65 cm3: a tutorial prints 0.159 L by a slip of division; the cylinder has 0.636 L.
TEST(CompressionRatio, IsNotFooledByAKnownSlip) {
  EXPECT_NEAR(swept_volume(mm(90), mm(100)).in(cm3(1000)), 0.636173, kSixDigits);
  EXPECT_NEAR(compression_ratio(swept_volume(mm(90), mm(100)), cm3(65)), 10.7873, 1e-4);
}

TEST(CompressionRatio, FallsWithClearanceAsItsDerivativeSays) {
  const Volume swept = swept_volume(mm(86), mm(86)), clearance = cm3(55), step = cm3(1e-3);
  const double slope = (compression_ratio(swept, clearance + step) - compression_ratio(swept, clearance - step)) / (2 * step.si());
  const double exact = -swept.si() / (clearance.si() * clearance.si());
  EXPECT_NEAR(slope / exact, 1, kDifference);
}

TEST(Removal, TakesTheAreaTimesTheDepth) {
  const double before = clearance_volume(square_four()).si();
  for (const double depth : {1e-6, 1e-3, 0.1, 0.5}) {
    const double head = before - clearance_volume(after_removal(square_four(), mm2(5200), {mm(depth), mm(0), mm(0.70)})).si();
    const double deck = before - clearance_volume(after_removal(square_four(), mm2(5200), {mm(0), mm(depth), mm(0.70)})).si();
    EXPECT_NEAR(head / mm(depth).si(), mm2(5200).si(), 1e-9);
    EXPECT_NEAR(deck / mm(depth).si(), kPi / 4 * 0.086 * 0.086, 1e-9);
  }
}

TEST(Removal, OfAFlatHeadLeavesTheRatio) {
  const CylinderVolumes cut = after_removal(square_four(), mm2(0), {mm(0.4), mm(0), mm(0.70)});
  EXPECT_EQ(compression_ratio(cut), compression_ratio(square_four()));
}

TEST(Removal, RefusesACutThatAddsMetal) {
  EXPECT_THROW((void)after_removal(square_four(), mm2(5200), {mm(-0.1), mm(0), mm(0.7)}), InputError);
  EXPECT_THROW((void)after_removal(square_four(), mm2(5200), {mm(0), mm(std::nan("")), mm(0.7)}), InputError);
}

TEST(Squish, IsDeckClearanceAndGasketAndKnowsNothingOfTheHead) {
  EXPECT_NEAR(in_mm(squish_height(square_four())), 0.90, 1e-12);
  EXPECT_NEAR(in_mm(squish_height(after_removal(square_four(), mm2(5200), {mm(0.5), mm(0.1), mm(0.70)}))), 0.80, 1e-12);
  EXPECT_NEAR(in_mm(squish_height(after_removal(square_four(), mm2(5200), {mm(0.5), mm(0.2), mm(0.70)}))), 0.70, 1e-12);
}

// Printed: stroke 3.48 in, rod 5.7 in, intake closing 70 degrees after bottom: the piston has risen 0.9053 in.
TEST(IntakeClosingRatio, CountsFromWhereThePistonThenStands) {
  const Length inch = headjoint::unit_of<Length>("in");
  const CrankTrain train{3.48 * inch, 5.7 * inch};
  EXPECT_NEAR((train.stroke - piston_drop(train, deg(180 + 70))).in(inch), 0.9053, 5e-5);
}

TEST(IntakeClosingRatio, OfTheWorkedExample) {
  const auto ratio = [](double head, double closes) {
    const Volume left = clearance_volume(after_removal(square_four(), mm2(5200), {mm(head), mm(0), mm(0.70)}));
    return intake_closing_ratio(left, mm(86), kSquareTrain, deg(closes));
  };
  EXPECT_NEAR(in_mm(piston_drop(kSquareTrain, deg(230))), 74.485413, kSixDigits);
  EXPECT_NEAR(ratio(0, 50), 8.820815, kSixDigits);
  EXPECT_NEAR(ratio(0.30, 50), 9.047745, kSixDigits);
  EXPECT_NEAR(ratio(0.30, 50.6), 9.017703, kSixDigits);
  EXPECT_NEAR(ratio(0.30, 51.2), 8.987310, kSixDigits);
}

TEST(IntakeClosingRatio, IsTheCompressionRatioWhenTheValveClosesAtTheBottom) {
  const Volume left = clearance_volume(square_four());
  EXPECT_NEAR(intake_closing_ratio(left, mm(86), kSquareTrain, deg(0)), compression_ratio(square_four()), 1e-12);
}

// Ideal air cycle, closed form: ratio 8 from 290 K gives 666.245 K; ratio 10 from 300 K gives 753.566 K; 7.68 from 298.15 K 673.875 K.
TEST(CompressionEndTemperature, OfTheIdealAirCycle) {
  EXPECT_NEAR(compression_end_temperature(Temperature::from_kelvin(290), 8, 1.4).kelvin(), 666.245, 1e-3);
  EXPECT_NEAR(compression_end_temperature(Temperature::from_kelvin(300), 10, 1.4).kelvin(), 753.566, 1e-3);
  EXPECT_NEAR(compression_end_temperature(Temperature::from_celsius(25), 7.68, 1.4).kelvin(), 673.875, 1e-3);
}

}  // namespace
}  // namespace headjoint::machining
