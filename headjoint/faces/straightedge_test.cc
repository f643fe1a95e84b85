// Reading lines, and the straightness of one line.
#include "headjoint/faces/straightedge.h"

#include <gmock/gmock.h>

#include <cmath>
#include <random>
#include <string>

#include "headjoint/base/error.h"
#include "headjoint/faces/line_straightness.h"

namespace headjoint::faces {
namespace {

using ::testing::AllOf;
using ::testing::Contains;
using ::testing::Field;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

constexpr double kExact_mm = 1e-12;
constexpr double kSixPlaces = 5e-8;  // of a closed form printed with seven decimals

auto says(const std::string& words) { return Field("what", &Problem::what, HasSubstr(words)); }
auto at(int line, int column) {
  return Field("place", &Problem::place, AllOf(Field("line", &Place::line, line), Field("column", &Place::column, column)));
}
Problems problems_of(const std::string& text) { return read_measured_lines(text, "lines.csv").problems(); }

const std::string kThree = "line,x_mm,y_mm,enters_mm,stops_mm\nD1,0,0,0,0.03\nD1,200,75,0.05,0.10\nD1,400,150,0,0.03\n";

TEST(ReadMeasuredLines, ReadsGapsBetweenTheBladeThatEntersAndTheOneThatStops) {
  const auto read = read_measured_lines(kThree, "lines.csv");
  ASSERT_TRUE(read) << to_string(read.problems());
  ASSERT_THAT(read->lines, SizeIs(1));
  EXPECT_EQ(read->method, LineMethod::kFeelers);
  const MeasuredLine& line = read->lines[0];
  EXPECT_EQ(line.name, "D1");
  EXPECT_NEAR(line.length_mm(), std::hypot(400, 150), kExact_mm);
  EXPECT_EQ(line.spots[1].low_mm, 0.05);
  EXPECT_EQ(line.spots[1].high_mm, 0.10);
  EXPECT_THAT(read.problems(), IsEmpty());
}

TEST(ReadMeasuredLines, ReadsThousandthsOfAnInchAndDistancesAlone) {
  const auto read =
      read_measured_lines("line;at_in;enters_thou;stops_thou\nexhaust side;0;0;1,5\nexhaust side;8;2;3\nexhaust side;16;0;1,5\n", "l");
  ASSERT_TRUE(read) << to_string(read.problems());
  EXPECT_FALSE(read->lines[0].has_places);
  EXPECT_NEAR(read->lines[0].spots[1].along_mm, 8 * 25.4, kExact_mm);
  EXPECT_NEAR(read->lines[0].spots[1].high_mm, 3 * 0.0254, kExact_mm);
}

TEST(ReadMeasuredLines, KeepsNotMeasuredAndInaccessibleApartFromZero) {
  const auto read = read_measured_lines(kThree + "D1,410,154,-,\nD1,420,158,,\nD1,430,161,inaccessible,\n", "l");
  ASSERT_TRUE(read) << to_string(read.problems());
  EXPECT_EQ(read->lines[0].spots[3].state, LineSpot::State::kNotMeasured);
  EXPECT_EQ(read->lines[0].spots[5].state, LineSpot::State::kInaccessible);
  EXPECT_NEAR(straightness_of(read->lines[0], read->method).straightness.high_mm, 0.10, kExact_mm) << "they count for nothing";
}

TEST(ReadMeasuredLines, ABladeThatEntersWithoutOneThatStopsHasNoUpperLimit) {
  const auto read = read_measured_lines("line,at_mm,enters_mm,stops_mm\nA,0,0,0.03\nA,200,0.5,\nA,400,0,0.03\n", "l");
  ASSERT_TRUE(read);
  EXPECT_TRUE(std::isinf(read->lines[0].spots[1].high_mm));
  EXPECT_THAT(read.problems(), Contains(AllOf(says("no upper limit"), at(3, 4))));
  EXPECT_FALSE(straightness_of(read->lines[0], read->method).straightness.is_bounded());
}

TEST(ReadMeasuredLines, ListsWhatIsWrongWithLineAndColumn) {
  EXPECT_THAT(problems_of("line,x_mm,y_mm,enters_mm,stops_mm\nA,0,0,0.10,0.05\nA,x,0,0,0.03\nA,9,0,,0.05\n,1,1,0,0.03\nA,5,0,-0.1,1\n"),
              AllOf(Contains(AllOf(says("not thicker"), at(2, 5))), Contains(AllOf(says("\"x\" is not a number"), at(3, 2))),
                    Contains(AllOf(says("which blade entered"), at(4, 4))), Contains(AllOf(says("belongs to no line"), at(5, 1))),
                    Contains(AllOf(says("cannot be negative"), at(6, 4)))));
  EXPECT_THAT(problems_of("line,x,y_mm,enters_mm,stops_mm\n"), Contains(says("has no unit")));
  EXPECT_THAT(problems_of("line,at_mm,enters_mm\nA,0,0\n"), Contains(says("the blade that stops")));
  EXPECT_THAT(problems_of("line,at_mm,enter_mm,stops_mm\nA,0,0,1\n"), Contains(says("\"enter_mm\" is not known")));
  EXPECT_THAT(problems_of("at_mm,enters_mm,stops_mm\n0,0,1\n"), Contains(says("which spots belong together")));
  EXPECT_THAT(problems_of("line,at_mm,enters_mm,stops_mm,tilt_arcsec\nA,0,0,1,2\n"), Contains(says("gaps and tilts")));
  EXPECT_THAT(problems_of("line,at_mm,enters_mm,stops_mm\nA,100,0,1\nA,50,0,1\n"), Contains(says("does not go on")));
  EXPECT_THAT(problems_of("line,at_mm,enters_mm,stops_mm\nA,0,0,1\nA,50,0,1\nB,0,0,1\nB,1,0,1\n"), Contains(says("three measured spots")));
  EXPECT_THAT(problems_of(""), Contains(says("empty")));
}

TEST(ReadMeasuredLines, WarnsWhenTheEdgeTouchesNowhere) {
  EXPECT_THAT(problems_of("line,at_mm,enters_mm,stops_mm\nA,0,0.05,0.06\nA,200,0.10,0.15\nA,400,0.03,0.04\n"),
              Contains(says("touches at none of the spots")));
}

TEST(ReadMeasuredLines, AsksAboutAGapTwentyFiveTimesItsNeighbours) {
  std::string text = "line,at_mm,enters_mm,stops_mm\n";
  for (int i = 0; i < 6; ++i) text += "A," + std::to_string(80 * i) + (i == 3 ? ",0.508,0.6\n" : ",0.02,0.03\n");
  EXPECT_THAT(problems_of(text), Contains(AllOf(says("25 times"), at(5, 3), Field(&Problem::mend, HasSubstr("typed as hundredths")))));
}

TEST(ReadMeasuredLines, WarnsOfASpotBesideTheEdge) {
  EXPECT_THAT(problems_of("line,x_mm,y_mm,enters_mm,stops_mm\nA,0,0,0,0.03\nA,200,20,0,0.03\nA,400,0,0,0.03\n"),
              Contains(says("20 mm beside")));
}

TEST(ReadMeasuredLines, ReadsTiltsAsRises) {
  const auto read = read_measured_lines("line,at_mm,tilt_arcsec,step_mm\nA,0,,\nA,100,10.0,102\nA,200,12.0,102\nA,300,8.0,102\n", "l");
  ASSERT_TRUE(read) << to_string(read.problems());
  const double arcsecond = M_PI / 180 / 3600;
  EXPECT_NEAR((read->lines[0].spots[2].low_mm + read->lines[0].spots[2].high_mm) / 2, 12 * arcsecond * 102, kExact_mm);
  EXPECT_NEAR(read->lines[0].spots[2].high_mm - read->lines[0].spots[2].low_mm, 0.1 * arcsecond * 102, kExact_mm)
      << "the last digit written";
  EXPECT_THAT(problems_of("line,at_mm,tilt_arcsec\nA,0,3\nA,100,4\n"), Contains(says("starts with a tilt")));
  EXPECT_THAT(problems_of("line,at_mm,tilt\nA,0,\nA,100,4\n"), Contains(says("no unit of angle")));
}

TEST(LooksLikeLines, TellsLinesFromPoints) {
  EXPECT_TRUE(looks_like_lines(kThree));
  EXPECT_TRUE(looks_like_lines("# remark\nline;at_mm;tilt_arcsec\n"));
  EXPECT_FALSE(looks_like_lines("x_mm,y_mm,z_mm\n"));
  EXPECT_FALSE(looks_like_lines(""));
}

// ---- Straightness of a line ----

/// Gaps under an edge that lies on a profile at height p + q s; `wide` is the width of each interval.
MeasuredLine line_of(const std::vector<std::pair<double, double>>& profile, double p, double q, double wide = 0) {
  MeasuredLine line;
  line.name = "A";
  for (const auto& [along, height] : profile) {
    LineSpot spot;
    spot.along_mm = along;
    spot.low_mm = p + q * along - height;
    spot.high_mm = spot.low_mm + wide;
    line.spots.push_back(spot);
  }
  return line;
}

std::vector<std::pair<double, double>> parabola(double sag, int spots) {
  std::vector<std::pair<double, double>> profile;
  for (int i = 0; i < spots; ++i) {
    const double u = static_cast<double>(i) / (spots - 1);
    profile.emplace_back(420 * u, -4 * sag * u * (1 - u));
  }
  return profile;
}

double exact_straightness(const MeasuredLine& line) {
  const Band band = straightness_of(line, LineMethod::kFeelers).straightness;
  EXPECT_NEAR(band.low_mm, band.high_mm, kExact_mm);
  return band.low_mm;
}

TEST(Straightness, OfABowIsItsSagWhereverTheEdgeRocksTo) {  // crown: equalised ends show h each, one end held down 4 h at the far end
  EXPECT_NEAR(exact_straightness(line_of(parabola(0.1, 21), 0, 0)), 0.1, kExact_mm);
  const auto crown = parabola(-0.1, 21);
  EXPECT_NEAR(exact_straightness(line_of(crown, 0.1, 0)), 0.1, kExact_mm);
  const MeasuredLine held = line_of(crown, 0, 4 * 0.1 / 420);
  EXPECT_NEAR(held.spots.back().low_mm, 4 * 0.1, kExact_mm);
  EXPECT_NEAR(exact_straightness(held), 0.1, kExact_mm);
  EXPECT_EQ(straightness_of(line_of(parabola(0.1, 21), 0, 0), LineMethod::kFeelers).bend, Bend::kHollow);
  EXPECT_EQ(straightness_of(held, LineMethod::kFeelers).bend, Bend::kCrown);
}

TEST(Straightness, OfAWindowOnABowIsTheSquareOfItsShare) {  // h (w / L)^2
  EXPECT_NEAR(sag_in_window(Length::from_si(0.1e-3), Length::from_si(0.42), Length::from_si(0.15)).si() * 1e3, 0.0127551, kSixPlaces);
  const auto local = straightness_of(line_of(parabola(0.1, 43), 0, 0), LineMethod::kFeelers, Length::from_si(0.140));
  ASSERT_TRUE(local.local);
  EXPECT_NEAR(local.local->low_mm, 0.1 * (140.0 / 420) * (140.0 / 420), kExact_mm);
  EXPECT_LE(local.local_to_mm - local.local_from_mm, 140 + 1e-9);
}

TEST(Straightness, MeetsTheTwoClosestLinesOnRandomProfiles) {  // three-spot deviations against the convex hull
  std::mt19937 random(17);
  std::uniform_real_distribution<double> u(0, 0.1);
  for (int trial = 0; trial < 200; ++trial) {
    std::vector<std::pair<double, double>> profile;
    for (int i = 0; i < 12; ++i) profile.emplace_back(40 * i + 30 * u(random), u(random));
    EXPECT_NEAR(exact_straightness(line_of(profile, u(random), 0.001 * u(random))), straightness_mm(profile), 1e-7);
  }
}

TEST(Straightness, BandHoldsEveryProfileTheReadingsAllowAndIsReached) {
  std::mt19937 random(29);
  std::uniform_real_distribution<double> u(0, 1);
  for (int trial = 0; trial < 30; ++trial) {
    std::vector<std::pair<double, double>> profile;
    for (int i = 0; i < 6; ++i) profile.emplace_back(70 * i, 0.08 * u(random));
    const MeasuredLine line = line_of(profile, 0.1, 0, 0.05);
    const Band band = straightness_of(line, LineMethod::kFeelers).straightness;
    double most = 0;
    for (int corner = 0; corner < 64; ++corner) {  // the greatest stands at a corner of the intervals
      std::vector<std::pair<double, double>> tried;
      for (std::size_t i = 0; i < 6; ++i)
        tried.emplace_back(line.spots[i].along_mm, -((corner >> i & 1) != 0 ? line.spots[i].high_mm : line.spots[i].low_mm));
      most = std::max(most, straightness_mm(tried));
    }
    EXPECT_NEAR(band.high_mm, most, 1e-7);
    for (int sample = 0; sample < 200; ++sample) {
      std::vector<std::pair<double, double>> tried;
      for (const LineSpot& spot : line.spots) tried.emplace_back(spot.along_mm, -(spot.low_mm + u(random) * 0.05));
      const double value = straightness_mm(tried);
      EXPECT_GE(value, band.low_mm - 1e-7);
      EXPECT_LE(value, band.high_mm + 1e-7);
    }
  }
}

TEST(Straightness, OfTiltsIsThatOfTheirSum) {
  MeasuredLine line;
  const double rises[] = {0, 0.01, 0.03, 0.02, -0.01, 0.005};
  std::vector<std::pair<double, double>> profile;
  double height = 0;
  for (int i = 0; i < 6; ++i) {
    LineSpot spot;
    spot.along_mm = 100 * i;
    spot.low_mm = spot.high_mm = rises[i];
    line.spots.push_back(spot);
    height += rises[i];
    profile.emplace_back(100 * i, height);
  }
  EXPECT_NEAR(straightness_of(line, LineMethod::kTilt).straightness.high_mm, straightness_mm(profile), 1e-8);
}

TEST(Straightness, RefusesWhatIsNoLine) {
  EXPECT_THROW((void)straightness_mm({}), InputError);
  EXPECT_THROW((void)straightness_mm({{1, 0}, {1, 2}}), InputError);
  EXPECT_THROW((void)straightness_mm({{1, 0}, {NAN, 2}}), InputError);
  EXPECT_THROW((void)straightness_of(line_of(parabola(0.1, 5), 0, 0), LineMethod::kFeelers, Length::from_si(0)), InputError);
  EXPECT_THROW((void)sag_in_window(Length::from_si(1e-4), Length::from_si(0.1), Length::from_si(0.2)), InputError);
}

}  // namespace
}  // namespace headjoint::faces
