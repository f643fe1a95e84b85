// Lines joined where they cross: bounds on the flatness, unseen shapes, closure.
#include "headjoint/faces/joined_lines.h"

#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <functional>
#include <map>
#include <random>
#include <sstream>

#include "headjoint/base/text.h"
#include "headjoint/faces/flatness.h"
#include "headjoint/faces/test_faces.h"

namespace headjoint::faces {
namespace {

using ::testing::Contains;
using ::testing::Field;
using ::testing::IsEmpty;
using ::testing::SizeIs;

constexpr double kExact_mm = 1e-8;  // slopes of the planes change square distances by less
constexpr double kInside_mm = 1e-7;
constexpr double kMicroinch_mm = 25.4e-6;

using Surface = std::function<double(double, double)>;
using Spot2 = std::pair<double, double>;

/// A line over a surface with the edge p + q s over it; every gap is known to `wide`.
MeasuredLine line_over(const std::string& name, const std::vector<Spot2>& spots, const Surface& surface, double p, double q, double wide,
                       std::mt19937* random = nullptr) {
  MeasuredLine line;
  line.name = name;
  line.has_places = true;
  for (const auto& [x, y] : spots) {
    LineSpot spot;
    spot.x_mm = x;
    spot.y_mm = y;
    spot.along_mm = std::hypot(x - spots[0].first, y - spots[0].second);
    const double gap = p + q * spot.along_mm - surface(x, y);
    const double below = random != nullptr ? std::uniform_real_distribution<double>(0, wide)(*random) : wide / 2;
    spot.low_mm = gap - below;
    spot.high_mm = gap - below + wide;
    line.spots.push_back(spot);
  }
  return line;
}

const std::map<std::string, std::vector<Spot2>> kUnionJack{
    {"left", {{0, 0}, {200, 0}, {400, 0}}},      {"right", {{0, 150}, {200, 150}, {400, 150}}}, {"front", {{0, 0}, {0, 75}, {0, 150}}},
    {"rear", {{400, 0}, {400, 75}, {400, 150}}}, {"D1", {{0, 0}, {200, 75}, {400, 150}}},       {"D2", {{0, 150}, {200, 75}, {400, 0}}},
    {"long", {{0, 75}, {200, 75}, {400, 75}}},   {"cross", {{200, 0}, {200, 75}, {200, 150}}}};

MeasuredLines over(const Surface& surface, const std::vector<std::string>& names, double wide, std::mt19937* random = nullptr) {
  MeasuredLines lines;
  double p = 0.2;
  for (const std::string& name : names) {
    p += 0.01;
    lines.lines.push_back(line_over(name, kUnionJack.at(name), surface, p, 1e-4 * (p - 0.22), wide, random));
  }
  return lines;
}

const std::vector<std::string> kAll{"left", "right", "front", "rear", "D1", "D2", "long", "cross"};
const std::vector<std::string> kSquareOn{"left", "right", "front", "rear", "long", "cross"};

double twist(double x, double y) { return kHeight_mm * (2 * x / 400 - 1) * (2 * y / 150 - 1); }

TEST(JoinLines, ATwistReadExactlyIsTwiceItsCornerHeight) {
  const JoinedLines joined = join_lines(over(twist, kAll, 0));
  EXPECT_EQ(joined.status, JoinStatus::kDone);
  EXPECT_EQ(joined.band_status, BandStatus::kExact);
  EXPECT_NEAR(joined.flatness.low_mm, 2 * kHeight_mm, kExact_mm);
  EXPECT_NEAR(joined.flatness.high_mm, 2 * kHeight_mm, kExact_mm);
  EXPECT_EQ(joined.free_shapes, 0U);
  EXPECT_EQ(joined.places.size(), 9U);
  EXPECT_EQ(joined.closures, 2U);
  EXPECT_NEAR(joined.closure_rms_mm, 0, kExact_mm);
  EXPECT_NEAR(mm(minimum_zone_flatness(joined.places).flatness), 2 * kHeight_mm, kExact_mm);
}

TEST(JoinLines, ATwistShowsNothingOnLinesAlongAndAcross) {
  const MeasuredLines lines = over(twist, kSquareOn, 0);
  for (const MeasuredLine& line : lines.lines) EXPECT_NEAR(straightness_of(line, lines.method).straightness.high_mm, 0, kExact_mm);
  const JoinedLines joined = join_lines(lines);
  EXPECT_EQ(joined.band_status, BandStatus::kUnbounded);
  EXPECT_FALSE(joined.flatness.is_bounded());
  EXPECT_NEAR(joined.flatness.low_mm, 0, kExact_mm);
  ASSERT_THAT(joined.unseen, SizeIs(1));
  EXPECT_EQ(joined.unseen[0].shape, Shape::kTwist);
  EXPECT_NEAR(joined.unseen[0].share, 1, kExact_mm);
}

TEST(JoinLines, OneDiagonalSettlesTheTwist) {
  std::vector<std::string> names = kSquareOn;
  names.push_back("D1");
  const JoinedLines joined = join_lines(over(twist, names, 0));
  EXPECT_THAT(joined.unseen, IsEmpty());
  EXPECT_NEAR(joined.flatness.low_mm, 2 * kHeight_mm, kExact_mm);
  EXPECT_NEAR(joined.flatness.high_mm, 2 * kHeight_mm, kExact_mm);
}

TEST(JoinLines, LengthwiseLinesAloneAreLoose) {
  const JoinedLines joined = join_lines(over(twist, {"left", "right", "long"}, 0));
  EXPECT_THAT(joined.loose, SizeIs(3));
  EXPECT_THAT(joined.unseen, Contains(Field(&UnseenShape::shape, Shape::kTwist)));
  EXPECT_THAT(joined.unseen, Contains(Field(&UnseenShape::shape, Shape::kCrosswiseBow)));
  EXPECT_FALSE(joined.flatness.is_bounded());
}

TEST(JoinLines, BandHoldsTheTrueFlatness) {
  for (unsigned seed = 1; seed <= 40; ++seed) {
    std::mt19937 random(seed);
    std::map<Spot2, double> heights;
    std::uniform_real_distribution<double> u(0, 0.15);
    for (const auto& [name, spots] : kUnionJack)
      for (const Spot2& spot : spots) heights.try_emplace(spot, u(random));
    FacePoints truth;
    for (const auto& [spot, z] : heights) add(truth, spot.first, spot.second, z);
    const auto surface = [&](double x, double y) { return heights.at({x, y}); };
    const double flatness = mm(minimum_zone_flatness(truth).flatness);
    double width = 1e9;
    for (const double wide : {0.05, 0.02, 0.005}) {
      std::mt19937 same(seed);
      const JoinedLines joined = join_lines(over(surface, kAll, wide, &same));
      EXPECT_EQ(joined.contradiction_mm, 0) << "seed " << seed;
      EXPECT_EQ(joined.band_status, BandStatus::kExact) << "seed " << seed << " wide " << wide;
      EXPECT_LE(joined.flatness.low_mm, flatness + kInside_mm) << "seed " << seed;
      EXPECT_GE(joined.flatness.high_mm, flatness - kInside_mm) << "seed " << seed;
      EXPECT_LT(joined.flatness.high_mm - joined.flatness.low_mm, width) << "finer blades narrow the band";
      width = joined.flatness.high_mm - joined.flatness.low_mm;
    }
  }
}

/// Flatness of the five places of two diagonals for chosen gaps: the edges are the height datum.
double flatness_of_diagonals(const std::vector<double>& gaps) {  // D1: corner, centre, corner; D2 the same
  FacePoints points;
  const auto& d1 = kUnionJack.at("D1");
  const auto& d2 = kUnionJack.at("D2");
  const double centre = -gaps[1];
  for (std::size_t i = 0; i < 3; ++i) add(points, d1[i].first, d1[i].second, -gaps[i]);
  const double lift = centre + gaps[4];  // the second edge stands so that both agree in the middle
  for (const std::size_t i : {0U, 2U}) add(points, d2[i].first, d2[i].second, lift - gaps[3 + i]);
  return mm(minimum_zone_flatness(points).flatness);
}

TEST(JoinLines, GreatestFlatnessOfTwoDiagonalsIsReachedAtACornerOfTheIntervals) {
  for (unsigned seed = 1; seed <= 30; ++seed) {
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> u(0, 0.1);
    MeasuredLines lines = over([](double, double) { return 0.0; }, {"D1", "D2"}, 0.04);
    for (MeasuredLine& line : lines.lines) {
      for (LineSpot& spot : line.spots) {
        spot.low_mm = u(random);
        spot.high_mm = spot.low_mm + 0.5 * u(random);
      }
    }
    double most = 0;
    double least = 1e9;
    const auto gap = [&](std::size_t i, double share) {
      const LineSpot& spot = lines.lines[i / 3].spots[i % 3];
      return spot.low_mm + share * (spot.high_mm - spot.low_mm);
    };
    for (int corner = 0; corner < 64; ++corner) {
      std::vector<double> gaps;
      for (std::size_t i = 0; i < 6; ++i) gaps.push_back(gap(i, (corner >> i) & 1));
      most = std::max(most, flatness_of_diagonals(gaps));
      least = std::min(least, flatness_of_diagonals(gaps));
    }
    for (int sample = 0; sample < 300; ++sample) {
      std::vector<double> gaps;
      for (std::size_t i = 0; i < 6; ++i) gaps.push_back(gap(i, 10 * u(random)));
      least = std::min(least, flatness_of_diagonals(gaps));
    }
    const JoinedLines joined = join_lines(lines);
    EXPECT_NEAR(joined.flatness.high_mm, most, kInside_mm) << "seed " << seed;
    EXPECT_LE(joined.flatness.low_mm, least + kInside_mm) << "seed " << seed;
  }
}

TEST(JoinLines, GreatestFlatnessUnderOneClosureIsReachedAtAVertexOfWhatItAllows) {
  // Diagonals, long edges and the cross line close once. All but one free reading at an end of its interval: a vertex.
  const std::vector<std::string> names{"D1", "D2", "left", "right", "cross"};
  for (unsigned seed = 1; seed <= 10; ++seed) {
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> u(0, 0.06);
    std::map<Spot2, double> heights;
    for (const std::string& name : names)
      for (const Spot2& spot : kUnionJack.at(name)) heights.try_emplace(spot, u(random));
    MeasuredLines lines = over([&](double x, double y) { return heights.at({x, y}); }, names, 0);
    std::vector<LineSpot*> free;
    for (MeasuredLine& line : lines.lines) {  // only the middle gaps are doubtful: five readings
      LineSpot& middle = line.spots[1];
      middle.low_mm -= u(random);
      middle.high_mm += u(random);
      free.push_back(&middle);
    }
    const JoinedLines joined = join_lines(lines);
    ASSERT_EQ(joined.closures, 1U);
    // Heights from middle gaps: bend of a line = gap of its middle less the mean gap of its ends, negative up.
    const auto bend = [&](std::size_t l, double gap) {
      return (lines.lines[l].spots[0].low_mm + lines.lines[l].spots[2].low_mm) / 2 - gap;
    };
    // Corners a b c d at (0,0) (400,0) (0,150) (400,150) with a = b = c = 0: D1, D2 give centre and d; the edges their middles.
    const auto flatness_for = [&](const std::array<double, 4>& g) {  // D1, D2, left, right
      const double centre = bend(1, g[1]);                           // over the mean of b and c
      const double d = 2 * (centre - bend(0, g[0]));                 // centre = (a + d) / 2 + bend
      const double low_middle = bend(2, g[2]);
      const double high_middle = d / 2 + bend(3, g[3]);
      const double cross = centre - (low_middle + high_middle) / 2;  // what the cross line must show
      FacePoints points;
      add(points, 0, 0, 0);
      add(points, 400, 0, 0);
      add(points, 0, 150, 0);
      add(points, 400, 150, d);
      add(points, 200, 75, centre);
      add(points, 200, 0, low_middle);
      add(points, 200, 150, high_middle);
      const double needed_gap = (lines.lines[4].spots[0].low_mm + lines.lines[4].spots[2].low_mm) / 2 - cross;
      return std::pair(mm(minimum_zone_flatness(points).flatness), needed_gap);
    };
    double most = 0;
    for (int corner = 0; corner < 16; ++corner) {
      std::array<double, 4> g{};
      for (std::size_t i = 0; i < 4; ++i) g[i] = (corner >> i & 1) != 0 ? free[i]->high_mm : free[i]->low_mm;
      const auto [flatness, needed] = flatness_for(g);
      if (needed >= free[4]->low_mm - 1e-9 && needed <= free[4]->high_mm + 1e-9) most = std::max(most, flatness);
      for (std::size_t loose = 0; loose < 4; ++loose) {  // one of the four between its ends, the cross line at one of its own
        for (const double end : {free[4]->low_mm, free[4]->high_mm}) {
          auto trial = g;
          trial[loose] = free[loose]->low_mm;
          const double at_low = flatness_for(trial).second;
          trial[loose] = free[loose]->high_mm;
          const double at_high = flatness_for(trial).second;
          const double share = (end - at_low) / (at_high - at_low);
          if (!(share >= 0 && share <= 1)) continue;
          trial[loose] = free[loose]->low_mm + share * (free[loose]->high_mm - free[loose]->low_mm);
          most = std::max(most, flatness_for(trial).first);
        }
      }
    }
    EXPECT_NEAR(joined.flatness.high_mm, most, kInside_mm) << "seed " << seed;
    EXPECT_EQ(joined.band_status, BandStatus::kExact);
  }
}

TEST(JoinLines, BandStaysTheSameWhenTheFaceIsTurnedMirroredOrItsLinesReversed) {
  std::mt19937 random(9);
  const Surface bow = [](double x, double y) { return -1e-6 * (x - 200) * (x - 200) + 2e-6 * (y - 60) * (y - 60); };
  const MeasuredLines lines = over(bow, kAll, 0.03, &random);
  const JoinedLines joined = join_lines(lines);
  MeasuredLines changed = lines;
  for (MeasuredLine& line : changed.lines) {
    for (LineSpot& spot : line.spots) {
      const double x = spot.x_mm;
      spot.x_mm = 0.6 * x - 0.8 * spot.y_mm + 40;
      spot.y_mm = -(0.8 * x + 0.6 * spot.y_mm);
    }
    std::reverse(line.spots.begin(), line.spots.end());
    const double length = line.spots.front().along_mm;
    for (LineSpot& spot : line.spots) spot.along_mm = length - spot.along_mm;
  }
  std::reverse(changed.lines.begin(), changed.lines.end());
  const JoinedLines same = join_lines(changed);
  EXPECT_NEAR(same.flatness.low_mm, joined.flatness.low_mm, kInside_mm);
  EXPECT_NEAR(same.flatness.high_mm, joined.flatness.high_mm, kInside_mm);
  EXPECT_NEAR(same.closure_rms_mm, joined.closure_rms_mm, kInside_mm);
}

TEST(JoinLines, SaysByHowMuchReadingsContradictEachOther) {
  MeasuredLines lines = over([](double, double) { return 0.0; }, kAll, 0.02);
  lines.lines[6].spots[1].low_mm += 0.5;  // the middle of the long centre line: no face is low there and level on all other lines
  lines.lines[6].spots[1].high_mm += 0.5;
  const JoinedLines joined = join_lines(lines);
  EXPECT_GT(joined.contradiction_mm, 0.01);
  EXPECT_LT(joined.contradiction_mm, 0.5);
  EXPECT_THAT(joined.largest_closure_at, ::testing::HasSubstr("long"));
  EXPECT_TRUE(joined.flatness.is_bounded());
}

TEST(JoinLines, NamesTheReadingThatWidensTheBandMost) {
  MeasuredLines lines = over([](double, double) { return 0.0; }, kAll, 0.01);
  for (const std::size_t line : {4U, 5U}) lines.lines[line].spots[1].high_mm += 0.2;
  const JoinedLines joined = join_lines(lines);
  ASSERT_FALSE(joined.widest.empty());
  EXPECT_THAT(joined.widest[0].line, ::testing::StartsWith("D"));
  EXPECT_EQ(joined.widest[0].spot, 1U);
}

TEST(JoinLines, NeedsPlacesOnTheFace) {
  MeasuredLines lines = over(twist, kAll, 0.01);
  for (MeasuredLine& line : lines.lines) line.has_places = false;
  EXPECT_EQ(join_lines(lines).status, JoinStatus::kNoPlaces);
  EXPECT_EQ(join_lines(over(twist, {"D1"}, 0.01)).status, JoinStatus::kTooFewPlaces);
  EXPECT_EQ(join_lines({}).status, JoinStatus::kNoPlaces);
}

// ---- Moody's plate: J. C. Moody, The Tool Engineer, Oct 1955, 15-21, as corrected by B. Allen, 2019. The readings are read where the
// ---- reference lies, never kept here.

class MoodysPlate : public ::testing::Test {
 protected:
  void SetUp() override {
    std::ifstream file(std::filesystem::path(HEADJOINT_SHARED_DIR) / "reference" / "faces-and-machining.md");
    if (!file) GTEST_SKIP() << "skipped: no shared data";
    for (std::string text; std::getline(file, text);) {
      for (const char* name : {"NW-SE", "NE-SW", "NE-NW", "NE-SE", "SE-SW", "NW-SW", "E-W centre", "N-S centre"}) {
        const std::string start = std::string("- ") + name + ":";
        if (!text.starts_with(start)) continue;
        std::istringstream numbers(text.substr(start.size()));
        for (double value = 0; numbers >> value;) tilts_[name].push_back(value);
      }
    }
    ASSERT_EQ(tilts_.size(), 8U);
  }

  static constexpr double kFoot_in = 4;

  [[nodiscard]] MeasuredLines lines() const {  // inches: 64 x 40 between the corners of the perimeter lines
    const std::map<std::string, std::pair<Spot2, Spot2>> ends{{"NW-SE", {{0, 40}, {64, 0}}},       {"NE-SW", {{64, 40}, {0, 0}}},
                                                              {"NE-NW", {{64, 40}, {0, 40}}},      {"NE-SE", {{64, 40}, {64, 0}}},
                                                              {"SE-SW", {{64, 0}, {0, 0}}},        {"NW-SW", {{0, 40}, {0, 0}}},
                                                              {"E-W centre", {{64, 20}, {0, 20}}}, {"N-S centre", {{32, 40}, {32, 0}}}};
    std::string table = "line,x_in,y_in,tilt_arcsec,step_in\n";
    for (const auto& [name, values] : tilts_) {
      const auto& [from, to] = ends.at(name);
      for (std::size_t i = 0; i <= values.size(); ++i) {
        const double u = static_cast<double>(i) / static_cast<double>(values.size());
        table += name + "," + number_text(from.first + u * (to.first - from.first)) + "," +
                 number_text(from.second + u * (to.second - from.second)) + "," + (i == 0 ? "," : number_text(values[i - 1]) + ",4") + "\n";
      }
    }
    auto read = read_measured_lines(table, "moody");
    EXPECT_TRUE(read) << to_string(read.problems());
    return read ? std::move(read).value() : MeasuredLines{};
  }

  std::map<std::string, std::vector<double>> tilts_;
};

TEST_F(MoodysPlate, LeastSquaresJoinsItWithinItsPrintedClosure) {
  const JoinedLines joined = join_lines(lines());
  ASSERT_EQ(joined.status, JoinStatus::kDone);
  EXPECT_EQ(joined.free_shapes, 0U);
  const double printed_closure_mm = 13.6 * kMicroinch_mm;  // E-W centre; the N-S centre closes at 0.0
  const double printed_flatness_mm = 18e-5 * 25.4;         // 0.00018 in against his datum plane
  const double flatness = mm(minimum_zone_flatness(joined.places).flatness);
  EXPECT_LE(flatness, printed_flatness_mm + printed_closure_mm);
  EXPECT_GE(flatness, printed_flatness_mm - 2 * printed_closure_mm);  // his plane is not the thinnest zone: 17.1 of 18 units
  EXPECT_GT(joined.largest_closure_mm, 0);
  EXPECT_LT(joined.largest_closure_mm, printed_closure_mm);
}

TEST_F(MoodysPlate, BandOfTheLastDigitHoldsTheFlatness) {
  const JoinedLines joined = join_lines(lines());
  const double flatness = mm(minimum_zone_flatness(joined.places).flatness);
  EXPECT_EQ(joined.contradiction_mm, 0);
  EXPECT_LE(joined.flatness.low_mm, flatness);
  EXPECT_GE(joined.flatness.high_mm, flatness);
  EXPECT_EQ(joined.band_status, BandStatus::kOuter) << "126 spots: too many fours to look at each";
}

}  // namespace
}  // namespace headjoint::faces
