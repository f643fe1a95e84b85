// Windows, outliers.
#include "headjoint/faces/local_flatness.h"

#include <gmock/gmock.h>

#include <cmath>
#include <random>

#include "headjoint/base/error.h"
#include "headjoint/faces/test_faces.h"

namespace headjoint::faces {
namespace {

using ::testing::IsEmpty;
using ::testing::SizeIs;

constexpr double kClosedForm_mm = 1e-7;
constexpr double kRounded_mm = 1e-10;

Length side(double millimetres) { return Length::from_si(millimetres * 1e-3); }

TEST(LocalFlatness, OfABowIsTheSquareOfTheWindowsShare) {  // h (w / L)^2; the middle of the window is a point: pitch 5 mm
  const auto bow = grid(85, 3, 420, 100, [](double x, double) { return -4 * kHeight_mm * (x / 420) * (1 - x / 420); });
  const auto local = local_flatness(bow, side(150));
  EXPECT_EQ(local.status, WindowStatus::kEvery);
  EXPECT_NEAR(mm(local.flatness), 0.0127551, kClosedForm_mm);  // reference case: 0.1, 420, 150
}

TEST(LocalFlatness, FindsADentWhereverItLies) {
  std::mt19937 random(8);
  for (int trial = 0; trial < 10; ++trial) {
    auto face = grid(22, 8, 420, 140, [](double, double) { return 0.0; });
    const std::size_t dent = std::uniform_int_distribution<std::size_t>(0, face.size() - 1)(random);
    face.z_mm[dent] = -0.06;
    const auto local = local_flatness(face, side(60));
    EXPECT_LE(local.low_x_mm, face.x_mm[dent]);
    EXPECT_GE(local.low_x_mm + 60, face.x_mm[dent] - 1e-9);
    EXPECT_GT(mm(local.flatness), 0.06 * 0.4);
    EXPECT_LE(mm(local.flatness), 0.06 + kRounded_mm);
  }
}

TEST(LocalFlatness, MeetsEveryWindowTriedOneByOne) {
  for (unsigned seed = 1; seed <= 5; ++seed) {
    std::mt19937 random(seed);
    const auto face = random_face(random, 40, 200, 150, 0.1);
    double worst = 0;
    for (std::size_t i = 0; i < face.size(); ++i) {
      for (std::size_t j = 0; j < face.size(); ++j) {
        FacePoints inside;
        for (std::size_t k = 0; k < face.size(); ++k)
          if (face.x_mm[k] >= face.x_mm[i] && face.x_mm[k] <= face.x_mm[i] + 90 && face.y_mm[k] >= face.y_mm[j] &&
              face.y_mm[k] <= face.y_mm[j] + 90)
            add(inside, face.x_mm[k], face.y_mm[k], face.z_mm[k]);
        try {
          worst = std::max(worst, mm(minimum_zone_flatness(inside).flatness));
        } catch (const InputError&) {
        }
      }
    }
    EXPECT_NEAR(mm(local_flatness(face, side(90)).flatness), worst, kRounded_mm) << "seed " << seed;
  }
}

TEST(LocalFlatness, OfAWindowOverTheWholeFaceIsItsFlatness) {
  std::mt19937 random(2);
  const auto face = random_face(random, 60, 300, 100, 0.1);
  EXPECT_NEAR(mm(local_flatness(face, side(400)).flatness), mm(minimum_zone_flatness(face).flatness), kRounded_mm);
}

TEST(LocalFlatness, SaysWhenThePatternIsTooWideForTheWindow) {
  const auto face = grid(5, 3, 400, 150, [](double, double) { return 0.0; });
  const auto local = local_flatness(face, side(50));
  EXPECT_EQ(local.status, WindowStatus::kTooSparse);
  EXPECT_TRUE(std::isnan(local.flatness.si()));
  EXPECT_THROW((void)local_flatness(face, side(0)), InputError);
  EXPECT_THROW((void)local_flatness(face, side(NAN)), InputError);
}

TEST(LocalFlatness, SamplesPositionsOfManyPoints) {
  std::mt19937 random(2);
  const auto face = random_face(random, 5000, 400, 150, 0.1);
  const auto local = local_flatness(face, side(100));
  EXPECT_EQ(local.status, WindowStatus::kSampled);
  EXPECT_LE(mm(local.flatness), mm(minimum_zone_flatness(face).flatness) + kRounded_mm);
}

TEST(Outliers, AreThePointsThatStandAlone) {
  auto face = grid(9, 5, 400, 160, [](double x, double y) { return -1e-6 * (x - 200) * (x - 200) + 0.002 * std::sin(x + y); });
  face.z_mm[22] += 0.08;
  const auto found = outliers(face);
  ASSERT_FALSE(found.empty());
  EXPECT_EQ(found[0].point, 22U);
  EXPECT_GT(found[0].off_mm, 0.06);
}

TEST(Outliers, DoNotBlameABowOrATwist) {
  EXPECT_THAT(outliers(grid(9, 5, 400, 160, [](double x, double) { return -2e-6 * (x - 200) * (x - 200); })), IsEmpty());
  EXPECT_THAT(outliers(grid(9, 5, 400, 160, [](double x, double y) { return 1e-6 * (x - 200) * (y - 80); })), IsEmpty());
  EXPECT_THAT(outliers(pyramid5()), IsEmpty());
}

}  // namespace
}  // namespace headjoint::faces
