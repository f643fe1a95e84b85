#include "headjoint/numerics/banded_cholesky.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace headjoint::numerics {
namespace {

constexpr double kRounding = 1e-11;

/// A random positive definite matrix of that size and band.
BandedMatrix random_matrix(std::size_t size, std::size_t half_band, std::uint32_t seed) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> uniform(-1, 1);
  BandedMatrix matrix(size, half_band);
  for (std::size_t j = 0; j < size; ++j) {
    for (std::size_t i = j + 1; i < std::min(size, j + half_band + 1); ++i) matrix.add(i, j, uniform(random));
    matrix.add(j, j, 2.0 * static_cast<double>(half_band) + 1);
  }
  return matrix;
}

std::vector<double> product(const BandedMatrix& matrix, const std::vector<double>& x) {
  std::vector<double> y(x.size(), 0.0);
  for (std::size_t i = 0; i < x.size(); ++i)
    for (std::size_t j = 0; j < x.size(); ++j) y[i] += matrix.at(i, j) * x[j];
  return y;
}

double greatest_difference(const std::vector<double>& a, const std::vector<double>& b) {
  double greatest = 0;
  for (std::size_t i = 0; i < a.size(); ++i) greatest = std::max(greatest, std::abs(a[i] - b[i]));
  return greatest;
}

struct Shape {
  std::size_t size, half_band;
};
class BandedCholeskyShapes : public testing::TestWithParam<Shape> {};

TEST_P(BandedCholeskyShapes, SolutionGivesBackTheRightSide) {
  const auto [size, half_band] = GetParam();
  const BandedMatrix matrix = random_matrix(size, half_band, 7);
  std::vector<double> expected(size);
  for (std::size_t i = 0; i < size; ++i) expected[i] = std::sin(static_cast<double>(i) + 1);
  std::vector<double> x = product(matrix, expected);
  BandedCholesky cholesky(matrix);
  ASSERT_TRUE(cholesky.factor(matrix));
  cholesky.solve(x);
  EXPECT_LT(greatest_difference(x, expected), kRounding);
}

TEST_P(BandedCholeskyShapes, ManyRightSidesAtOnceAreTheSameAsOneByOne) {
  const auto [size, half_band] = GetParam();
  const BandedMatrix matrix = random_matrix(size, half_band, 11);
  BandedCholesky cholesky(matrix);
  ASSERT_TRUE(cholesky.factor(matrix));
  constexpr std::size_t kSides = BandedCholesky::kRightSides;
  std::vector<double> rows(size * kSides, 0.0);
  const std::size_t first = size / 2;
  for (std::size_t i = first; i < size; ++i)
    for (std::size_t s = 0; s < kSides; ++s) rows[i * kSides + s] = std::cos(static_cast<double>(i * kSides + s));
  std::vector<double> one(size);
  for (std::size_t i = 0; i < size; ++i) one[i] = rows[i * kSides + 3];
  cholesky.solve_lower_block(rows, first);
  cholesky.solve_lower(one, first);
  for (std::size_t i = 0; i < size; ++i) EXPECT_NEAR(rows[i * kSides + 3], one[i], kRounding);
}

TEST_P(BandedCholeskyShapes, ColumnsBeforeTheFirstChangeMayBeKept) {
  const auto [size, half_band] = GetParam();
  BandedMatrix matrix = random_matrix(size, half_band, 3);
  BandedCholesky kept(matrix), anew(matrix);
  ASSERT_TRUE(kept.factor(matrix));
  const std::size_t changed = size * 2 / 3;
  matrix.add(changed, changed, 5);
  ASSERT_TRUE(kept.factor(matrix, changed));
  ASSERT_TRUE(anew.factor(matrix));
  std::vector<double> a(size, 1.0), b(size, 1.0);
  kept.solve(a);
  anew.solve(b);
  EXPECT_LT(greatest_difference(a, b), kRounding);
}

INSTANTIATE_TEST_SUITE_P(Shapes, BandedCholeskyShapes,
                         testing::Values(Shape{1, 0}, Shape{5, 4}, Shape{8, 3}, Shape{31, 7}, Shape{64, 63}, Shape{200, 23},
                                         Shape{333, 50}));

TEST(BandedCholesky, WhatIsNotPositiveDefiniteIsSaid) {
  BandedMatrix matrix(4, 1);
  for (std::size_t i = 0; i < 4; ++i) matrix.add(i, i, i == 2 ? -1.0 : 1.0);
  EXPECT_FALSE(BandedCholesky(matrix).factor(matrix));
  matrix.add(2, 2, std::nan(""));
  EXPECT_FALSE(BandedCholesky(matrix).factor(matrix));
}

TEST(BandedCholesky, AFixedUnknownStaysZero) {
  BandedMatrix matrix = random_matrix(20, 4, 5);
  matrix.fix(7);
  BandedCholesky cholesky(matrix);
  ASSERT_TRUE(cholesky.factor(matrix));
  std::vector<double> x(20, 1.0);
  x[7] = 0;
  cholesky.solve(x);
  EXPECT_EQ(x[7], 0);
}

}  // namespace
}  // namespace headjoint::numerics
