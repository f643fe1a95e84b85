#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "headjoint/numerics/monotone_curve.h"
#include "headjoint/numerics/root.h"

namespace headjoint::numerics {
namespace {

constexpr double kTightRoot = 1e-14;

TEST(BracketedRoot, FindsKnownRoots) {
  EXPECT_NEAR(bracketed_root([](double x) { return x * x - 2; }, 0, 2).x, std::sqrt(2.0), kTightRoot);
  EXPECT_NEAR(bracketed_root([](double x) { return std::cos(x) - x; }, 0, 1).x, 0.7390851332151607, kTightRoot);  // Dottie number
  EXPECT_EQ(bracketed_root([](double x) { return x; }, 0, 1).x, 0);
  EXPECT_EQ(bracketed_root([](double x) { return x - 1; }, 0, 1).x, 1);
}

TEST(BracketedRoot, ConvergesOnFlatAndSteepFunctions) {
  for (double power : {3.0, 9.0, 21.0}) {
    const Root root = bracketed_root([&](double x) { return std::pow(x, power); }, -1, 4);
    EXPECT_EQ(root.status, Root::Status::kConverged) << power;
    EXPECT_LT(root.steps, 200) << power;
  }
  const Root step = bracketed_root([](double x) { return x < 0.3 ? -1.0 : 1.0; }, 0, 1);
  EXPECT_NEAR(step.x, 0.3, kTightRoot);
}

TEST(BracketedRoot, RefusesABracketWithoutASignChange) {
  EXPECT_THROW((void)bracketed_root([](double x) { return x * x + 1; }, -1, 1), ContractError);
  EXPECT_THROW((void)bracketed_root([](double) { return std::numeric_limits<double>::quiet_NaN(); }, -1, 1), ContractError);
}

TEST(MonotoneCurve, PassesThroughItsPointsAndNeverTurnsBack) {
  const std::vector<MonotoneCurve::Point> points = {{0, 0}, {1, 0.1}, {1.5, 5}, {4, 5.1}, {5, 20}};
  const MonotoneCurve curve(points);
  for (const auto& point : points) EXPECT_DOUBLE_EQ(curve(point.x), point.y);
  double before = curve(0);
  for (double x = 0; x <= 5; x += 0.01) {
    EXPECT_GE(curve(x), before) << x;
    before = curve(x);
  }
  EXPECT_EQ(curve(-1), 0);
  EXPECT_EQ(curve(9), 20);
}

TEST(MonotoneCurve, IsExactForStraightLines) {
  const MonotoneCurve line({{0, 1}, {1, 3}, {5, 11}});
  for (double x : {0.2, 0.9, 1.0, 3.3}) EXPECT_NEAR(line(x), 1 + 2 * x, kTightRoot * 10);
}

// A limited slope keeps at least second order on smooth monotone data: halving the spacing divides the error by four or more.
TEST(MonotoneCurve, ErrorFallsWithTheSquareOfTheSpacing) {
  const auto error = [](int intervals) {
    std::vector<MonotoneCurve::Point> points;
    for (int i = 0; i <= intervals; ++i) points.push_back({2.0 * i / intervals, std::exp(2.0 * i / intervals)});
    const MonotoneCurve curve(points);
    double worst = 0;
    for (double x = 0; x <= 2; x += 0.001) worst = std::max(worst, std::abs(curve(x) - std::exp(x)));
    return worst;
  };
  EXPECT_GT(error(8) / error(16), 4);
  EXPECT_GT(error(16) / error(32), 4);
}

TEST(MonotoneCurve, RefusesBadTables) {
  EXPECT_THROW(MonotoneCurve({{0, 0}}), ContractError);
  EXPECT_THROW(MonotoneCurve({{0, 0}, {0, 1}}), ContractError);
  EXPECT_THROW(MonotoneCurve({{0, 0}, {1, std::numeric_limits<double>::infinity()}}), ContractError);
}

}  // namespace
}  // namespace headjoint::numerics
