// Flatness against figures worked out elsewhere. The point sets are read where they lie and never become part of the project.
//
// Sources: plate scans published in 2022 with their least-squares peak-to-valley; J. C. Moody, "How to calibrate surface plates in the
// plant", The Tool Engineer, Oct 1955, column 8 (two misprints put right after B. Allen, "Comments on Moody's method", 2019); coordinate
// measuring machine scans of granite and acrylic published in 2025; closed forms. Minimum zone figures of the table: two independent
// computations (a linear programme in turned frames, and all facets and edge pairs of the convex hull) that agreed to 8 digits.
#include <gmock/gmock.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <limits>
#include <map>
#include <sstream>

#include "headjoint/base/csv.h"
#include "headjoint/base/text.h"
#include "headjoint/faces/cut.h"
#include "headjoint/faces/flatness.h"
#include "headjoint/faces/internal/linear_programme.h"

namespace headjoint::faces {
namespace {

constexpr double kNineDigits = 1e-7;              // mm; the table prints 9 significant digits of figures below 1 mm
constexpr double kPublishedVertical = 1e-7;       // mm; the publisher's figure is a vertical distance, ours is square to the plane
constexpr double kMoodyPrinted_mm = 1e-5 * 25.4;  // one unit of the printed integers, 0.00001 inch

std::filesystem::path folder() { return std::filesystem::path(HEADJOINT_SHARED_DIR) / "data" / "flatness"; }

std::string text_of(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

double mm(Length length) { return length.si() * 1e3; }

FacePoints points_of(const std::string& dataset) {
  auto points = read_face_points(text_of(folder() / (dataset + ".csv")), dataset + ".csv");
  EXPECT_TRUE(points) << to_string(points.problems());
  return points ? std::move(points).value() : FacePoints{};
}

class PublishedFlatness : public ::testing::Test {
 protected:
  void SetUp() override {
    if (!std::filesystem::exists(folder() / "expected.csv")) GTEST_SKIP() << "skipped: no shared data";
  }
};

TEST_F(PublishedFlatness, EverySetOfTheTableMeetsBothItsFigures) {
  const auto table = read_csv(text_of(folder() / "expected.csv"), "expected.csv");
  ASSERT_TRUE(table) << to_string(table.problems());
  ASSERT_GE(table->rows.size(), 18U);
  for (std::size_t row = 0; row < table->rows.size(); ++row) {
    const auto cell = [&](const char* column) { return table->rows[row].at(static_cast<std::size_t>(table->column(column))); };
    const auto figure = [&](const char* column) { return parse_number(cell(column)).value(); };
    SCOPED_TRACE(cell("dataset"));
    const FacePoints points = points_of(cell("dataset"));
    ASSERT_EQ(points.size(), static_cast<std::size_t>(figure("points")));
    const auto squares = least_squares_flatness(points);
    EXPECT_NEAR(mm(squares.peak_to_valley), figure("least_squares_FLTt_mm"), kNineDigits);
    EXPECT_NEAR(mm(squares.peak_to_reference), figure("FLTp_mm"), kNineDigits);
    EXPECT_NEAR(mm(squares.reference_to_valley), figure("FLTv_mm"), kNineDigits);
    EXPECT_NEAR(mm(squares.root_mean_square), figure("FLTq_mm"), kNineDigits);
    const auto zone = minimum_zone_flatness(points);
    EXPECT_NEAR(mm(zone.flatness), figure("minimum_zone_FLTt_mm"), kNineDigits);
    EXPECT_EQ(zone.status, ZoneStatus::kOptimal);
    const auto proof = prove_minimum_zone(points, zone);
    EXPECT_TRUE(proof.holds_all_points && proof.contacts_touch && proof.contacts_overlap && proof.no_thinner_zone);
  }
}

TEST_F(PublishedFlatness, PlatesMeetTheirPublishersLeastSquaresFigure) {  // typed from the published records
  const std::map<std::string, double> published{{"PLATE1", 0.264315393},       {"PLATE2", 0.459824989}, {"PLATE3", 0.213608796},
                                                {"PLATE4", 0.565188509},       {"PLATE5", 0.141721472}, {"PLATE4TILT", 0.565188508947},
                                                {"PLATE5TILT", 0.141721471607}};
  for (const auto& [dataset, figure] : published)
    EXPECT_NEAR(mm(least_squares_flatness(points_of(dataset)).peak_to_valley), figure, kPublishedVertical) << dataset;
}

TEST_F(PublishedFlatness, MoodysPlateIsWithinItsPrintedFlatness) {
  const FacePoints plate = points_of("MOODY_COL8");
  const double printed_mm = 18 * kMoodyPrinted_mm;  // 0.00018 in against his datum plane
  const auto zone = minimum_zone_flatness(plate);
  EXPECT_LE(mm(zone.flatness), printed_mm);
  EXPECT_GE(mm(zone.flatness), printed_mm - kMoodyPrinted_mm);
  EXPECT_NEAR(mm(zone.flatness) / kMoodyPrinted_mm, 17.1111111, 1e-5);  // of the table, in printed units
  EXPECT_EQ(zone.contact, ContactKind::kTwoTwo);
}

TEST_F(PublishedFlatness, ContactsAreThoseOfTheReference) {
  const auto touching = [](const std::string& dataset) {
    const auto zone = minimum_zone_flatness(points_of(dataset));
    return std::make_pair(zone.upper_touch, zone.lower_touch);
  };
  using Points = std::vector<std::size_t>;
  const auto either = [](const Points& a, const Points& b) { return ::testing::AnyOf(::testing::Pair(a, b), ::testing::Pair(b, a)); };
  EXPECT_THAT(touching("ENGTIPS5"), either({0, 4}, {1, 2}));
  EXPECT_THAT(touching("MOODY_COL8"), either({63, 93}, {50, 115, 124}));
  EXPECT_THAT(touching("PLATE1"), either({0, 5, 35}, {21}));
  EXPECT_THAT(touching("PLATE3"), either({0, 35}, {15, 20}));
  EXPECT_THAT(touching("PLATE4"), either({24}, {0, 6, 48}));
  EXPECT_THAT(touching("CMM_004"), either({77}, {18, 34, 87}));
  EXPECT_THAT(touching("CMM_Plexi_005"), either({77}, {49, 89, 90}));
}

/// Second method: the plain linear programme over all points, min h with 0 <= z - a x - b y - c <= h, in frames turned to its normal.
double width_by_linear_programme(const FacePoints& points) {
  std::array<double, 3> normal = least_squares_flatness(points).plane.normal;
  double width = 0;
  for (int turn = 0; turn < 3; ++turn) {
    const double flat = std::hypot(normal[0], normal[2]);
    const std::array<double, 3> u{normal[2] / flat, 0, -normal[0] / flat};
    const std::array<double, 3> v{normal[1] * u[2] - normal[2] * u[1], normal[2] * u[0] - normal[0] * u[2],
                                  normal[0] * u[1] - normal[1] * u[0]};
    const auto along = [&](const std::array<double, 3>& d, std::size_t i) {
      return d[0] * (points.x_mm[i] - points.x_mm[0]) + d[1] * (points.y_mm[i] - points.y_mm[0]) + d[2] * (points.z_mm[i] - points.z_mm[0]);
    };
    double length = 0;
    double height = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      length = std::max({length, std::abs(along(u, i)), std::abs(along(v, i))});
      height = std::max(height, std::abs(along(normal, i)));
    }
    // columns: a, b, c, h, one fixed at 1, then how far each point lies over the lower and under the upper plane
    const std::size_t columns = 5 + 2 * points.size();
    constexpr double kAny = std::numeric_limits<double>::infinity();
    std::vector<double> low(columns, 0.0);
    std::vector<double> high(columns, kAny);
    low[0] = low[1] = low[2] = -kAny;
    low[4] = high[4] = 1;
    std::vector<std::vector<double>> rows;
    for (std::size_t i = 0; i < points.size(); ++i) {
      std::vector<double> over(columns, 0.0);
      over[0] = -along(u, i) / length;
      over[1] = -along(v, i) / length;
      over[2] = -1;
      over[4] = along(normal, i) / height;
      over[5 + 2 * i] = -1;
      std::vector<double> between(columns, 0.0);
      between[3] = -1;
      between[5 + 2 * i] = between[6 + 2 * i] = 1;
      rows.push_back(std::move(over));
      rows.push_back(std::move(between));
    }
    std::vector<double> objective(columns, 0.0);
    objective[3] = -1;
    internal::BoundedProgramme programme(std::move(rows), std::move(low), std::move(high));
    const auto solution = programme.maximise(objective);
    EXPECT_EQ(solution.status, internal::ProgrammeStatus::kOptimal);
    const double a = solution.x[0] * height / length;
    const double b = solution.x[1] * height / length;
    width = -solution.value * height / std::hypot(1.0, a, b);
    for (std::size_t k = 0; k < 3; ++k) normal[k] = (normal[k] - a * u[k] - b * v[k]) / std::hypot(1.0, a, b);
  }
  return width;
}

TEST_F(PublishedFlatness, EverySetMeetsThePlainLinearProgramme) {
  int sets = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder())) {
    if (entry.path().extension() != ".csv" || entry.path().stem() == "expected") continue;
    SCOPED_TRACE(entry.path().stem().string());
    const FacePoints points = points_of(entry.path().stem());
    const MinimumZone zone = minimum_zone_flatness(points);
    EXPECT_NEAR(mm(zone.flatness), width_by_linear_programme(points), kNineDigits);
    EXPECT_NEAR(mm(least_cut(points).depth), mm(zone.flatness), kNineDigits) << "the free cut is as deep as the zone is wide";
    const Cut held = least_cut_held(points, measuring_plane());
    const auto [low, high] = std::minmax_element(points.z_mm.begin(), points.z_mm.end());
    EXPECT_NEAR(mm(held.depth), *high - *low, kNineDigits);
    ++sets;
  }
  EXPECT_GE(sets, 23);
}

}  // namespace
}  // namespace headjoint::faces
