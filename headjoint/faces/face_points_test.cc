#include "headjoint/faces/face_points.h"

#include <gmock/gmock.h>

#include <string>

namespace headjoint::faces {
namespace {

using ::testing::AllOf;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::Field;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

const std::string kSquare = "0,0,0.01\n400,0,0.02\n0,150,0.03\n400,150,0.04\n";

auto says(const std::string& words) { return Field("what", &Problem::what, HasSubstr(words)); }
auto at(int line, int column) {
  return Field("place", &Problem::place, AllOf(Field("line", &Place::line, line), Field("column", &Place::column, column)));
}

Problems problems_of(const std::string& text) { return read_face_points(text, "face.csv").problems(); }

TEST(ReadFacePoints, ReadsMillimetres) {
  const auto points =
      read_face_points("# head, exhaust side up\npoint,x_mm,y_mm,z_mm,remark\n" + std::string("A1,0,0,0.01,\nA2,400,0,0.02,burr\n"
                                                                                              "A3,0,150,0.03,\nA4,400,150,0.04,\n"),
                       "face.csv");
  ASSERT_TRUE(points) << to_string(points.problems());
  EXPECT_THAT(points.problems(), IsEmpty());
  EXPECT_THAT(points->x_mm, ElementsAre(0, 400, 0, 400));
  EXPECT_THAT(points->z_mm, ElementsAre(0.01, 0.02, 0.03, 0.04));
  EXPECT_EQ(points->name_of(1), "A2");
  EXPECT_EQ(points->lines[3], 6);
}

TEST(ReadFacePoints, ReadsEveryUnitAsTheSameFace) {
  const auto near = [](double v) { return ::testing::DoubleNear(v, 1e-12); };
  for (const std::string header : {"x_in,y_in,z_thou", "X in,Y in,Z (thou)", "x [inch],y [inch],z [mil]"}) {
    const auto points = read_face_points(header + "\n0,0,1\n10,0,2\n0,5,-3\n10,5,4\n", "face.csv");
    ASSERT_TRUE(points) << header << to_string(points.problems());
    EXPECT_THAT(points->x_mm, ElementsAre(near(0), near(254), near(0), near(254)));
    EXPECT_THAT(points->z_mm, ElementsAre(near(0.0254), near(0.0508), near(-0.0762), near(0.1016)));
  }
  const auto fine = read_face_points("x_cm,y_m,z_um\n0,0,1\n10,0,2\n0,0.05,-3\n10,0.05,4\n", "face.csv");
  ASSERT_TRUE(fine) << to_string(fine.problems());
  EXPECT_THAT(fine->y_mm, ElementsAre(near(0), near(0), near(50), near(50)));
  EXPECT_THAT(fine->z_mm, ElementsAre(near(0.001), near(0.002), near(-0.003), near(0.004)));
}

TEST(ReadFacePoints, ReadsDecimalCommas) {
  const auto points = read_face_points("x_mm;y_mm;z_mm\n0,5;0;0,01\n400;0;−0,02\n0;150;0,03\n400;150;0,04\n", "face.csv");
  ASSERT_TRUE(points) << to_string(points.problems());
  EXPECT_EQ(points->x_mm[0], 0.5);
  EXPECT_EQ(points->z_mm[1], -0.02);
  EXPECT_EQ(points->name_of(2), "3");
}

TEST(ReadFacePoints, KeepsWhatWasNotMeasuredApartFromZero) {
  const auto points = read_face_points("x_mm,y_mm,z_mm\n" + kSquare + "200,75,\n210,75,-\n220,75,Inaccessible\n", "face.csv");
  ASSERT_TRUE(points) << to_string(points.problems());
  EXPECT_EQ(points->size(), 4U);
  ASSERT_THAT(points->unmeasured, SizeIs(3));
  EXPECT_EQ(points->unmeasured[1].x_mm, 210);
  EXPECT_EQ(points->unmeasured[1].reason, FacePoints::Unmeasured::Reason::kNotMeasured);
  EXPECT_EQ(points->unmeasured[2].reason, FacePoints::Unmeasured::Reason::kInaccessible);
  EXPECT_EQ(points->unmeasured[2].line, 8);
}

TEST(ReadFacePoints, ListsAllProblemsOfTheHeader) {
  const auto problems = problems_of("x,y_furlong,x_mm,pont\n1,2,3,4\n");
  EXPECT_THAT(problems, Contains(AllOf(says("column \"x\" has no unit"), at(1, 1))));
  EXPECT_THAT(problems, Contains(AllOf(says("\"furlong\""), at(1, 2))));
  EXPECT_THAT(problems, Contains(AllOf(says("two columns hold x"), at(1, 3))));
  EXPECT_THAT(problems, Contains(AllOf(says("\"pont\" is not known"), at(1, 4), Field(&Problem::mend, HasSubstr("\"point\"")))));
  EXPECT_THAT(problems, Contains(says("no column for z")));
  EXPECT_THAT(problems, SizeIs(5));
}

TEST(ReadFacePoints, ListsAllProblemsOfTheRows) {
  const auto problems = problems_of("# remark\nx_mm,y_mm,z_mm\n0,0,abc\n1,nan,0\n,2,0\n3,3,20000\n4,4,inf\n-1e300,5,0\n");
  EXPECT_THAT(problems, ElementsAre(AllOf(says("\"abc\" is not a number"), at(3, 3)), AllOf(says("\"nan\" is not a number"), at(4, 2)),
                                    AllOf(says("no number"), at(5, 1)), AllOf(says("beyond any engine"), at(6, 3)),
                                    AllOf(says("\"inf\""), at(7, 3)), AllOf(says("beyond any engine"), at(8, 1))));
}

TEST(ReadFacePoints, StopsListingLongBeforeAMillionProblems) {
  std::string text = "x_mm,y_mm,z_mm\n";
  for (int i = 0; i < 1000; ++i) text += "1,2,bad\n";
  const auto problems = problems_of(text);
  EXPECT_THAT(problems, SizeIs(21));
  EXPECT_THAT(problems.back().what, HasSubstr("980 more"));
}

TEST(ReadFacePoints, RefusesSetsThatSayNothingAboutFlatness) {
  const std::string header = "x_mm,y_mm,z_mm\n";
  EXPECT_THAT(problems_of(header), Contains(says("0 measured points")));
  EXPECT_THAT(problems_of(header + "0,0,1\n9,0,1\n0,9,1\n5,5,\n"), Contains(says("3 measured points (1 places not measured)")));
  EXPECT_THAT(problems_of(header + "0,0,1\n1,1,2\n2,2,3\n3,3,4\n"), Contains(says("on one line")));
  EXPECT_THAT(problems_of(header + "5,5,1\n5,5,2\n5,5,3\n5,5,4\n"), Contains(says("at one place")));
  EXPECT_THAT(problems_of(header + "0,0,1\n0,0,1\n9,0,1\n0,9,1\n"), Contains(says("fewer than 4 different places")));
  EXPECT_THAT(problems_of(header + "0,0,1\n0,0,1.01\n9,0,1\n0,9,1\n"), Contains(says("fewer than 4 different places")));
  EXPECT_THAT(problems_of(header + "0,0,1\n100,0.001,2\n200,0,3\n300,0.001,1\n"), Contains(says("too narrow a strip")));
}

TEST(ReadFacePoints, WarnsOfOnePlaceWithTwoHeights) {
  const auto points = read_face_points("x_mm,y_mm,z_mm\n" + kSquare + "400,0,0.06\n0,0,0.015\n", "face.csv");
  ASSERT_TRUE(points) << to_string(points.problems());
  EXPECT_THAT(points.problems(), ElementsAre(AllOf(says("measured before on line 3, 0.04 mm away"), at(6, 3))));
}

TEST(ReadFacePoints, WarnsOfAHeightInAnotherUnit) {  // 0.02 mm typed as 0.508: 25.4 times
  std::string text = "x_mm,y_mm,z_mm\n";
  for (int i = 0; i < 5; ++i)
    for (int j = 0; j < 3; ++j)
      text += std::to_string(100 * i) + "," + std::to_string(70 * j) + (i == 2 && j == 1 ? ",0.508\n" : ",0.02\n");
  const auto points = read_face_points(text, "face.csv");
  ASSERT_TRUE(points);
  EXPECT_THAT(points.problems(), ElementsAre(AllOf(says("25 times its neighbours"), at(9, 3))));
}

TEST(ReadFacePoints, DoesNotSuspectAnHonestDipOrBow) {
  std::string text = "x_mm,y_mm,z_mm\n";
  for (int i = 0; i <= 8; ++i)
    for (int j = 0; j <= 2; ++j)
      text += std::to_string(50 * i) + "," + std::to_string(75 * j) + "," + std::to_string(-0.005 * i * (8 - i)) + "\n";
  const auto points = read_face_points(text, "face.csv");
  ASSERT_TRUE(points);
  EXPECT_THAT(points.problems(), IsEmpty()) << to_string(points.problems());
}

TEST(ReadFacePoints, RefusesMoreThanFiveMillionLinesBeforeTakingThemApart) {
  EXPECT_THAT(problems_of("x_mm,y_mm,z_mm\n" + std::string(5'002'000, '\n')), Contains(says("lines")));
}

}  // namespace
}  // namespace headjoint::faces
