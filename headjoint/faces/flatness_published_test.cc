// Flatness against figures worked out elsewhere. The point sets are read where they lie and never become part of the project.
//
// Sources: plate scans published in 2022 with their least-squares peak-to-valley; J. C. Moody, "How to calibrate surface plates in the
// plant", The Tool Engineer, Oct 1955, column 8 (two misprints put right after B. Allen, "Comments on Moody's method", 2019); coordinate
// measuring machine scans of granite and acrylic published in 2025; closed forms. Minimum zone figures of the table: two independent
// computations (a linear programme in turned frames, and all facets and edge pairs of the convex hull) that agreed to 8 digits.
#include <gmock/gmock.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

#include "headjoint/base/csv.h"
#include "headjoint/base/text.h"
#include "headjoint/faces/flatness.h"

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

}  // namespace
}  // namespace headjoint::faces
