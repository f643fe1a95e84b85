// Drawings of a face beside its plan: sound XML, the same figures in the table.
#include "headjoint/report/face_drawings.h"

#include <gmock/gmock.h>

#include <cmath>

#include "headjoint/report/internal/invented_jobs.h"
#include "headjoint/report/internal/pictures_faces.h"
#include "headjoint/report/internal/well_formed.h"
#include "headjoint/report/joint_plan.h"

namespace headjoint::report {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::SizeIs;

void expect_sound(const std::string& svg) {
  EXPECT_EQ(xml::read(svg).problem, "");
  EXPECT_THAT(svg, Not(HasSubstr("nan")));
  EXPECT_THAT(svg, Not(HasSubstr("inf")));
  EXPECT_THAT(svg, HasSubstr("<title"));
  EXPECT_THAT(svg, HasSubstr("<desc"));
}

TEST(FaceView, NamesItsExaggeration) {
  const std::string svg = face_view_svg(invented::mapped_face());
  expect_sound(svg);
  EXPECT_THAT(svg, HasSubstr("heights exaggerated 1000 x"));  // 0.0684 mm on 530 mm: a sixth of it is 85 mm, 1000 the round factor below
}

TEST(FaceView, OfALevelFaceOrOfNothingIsStillADrawing) {
  assess::Flatness level = invented::mapped_face();
  for (assess::FacePoint& point : level.face) point.deviation_mm = 0;
  expect_sound(face_view_svg(level));
  EXPECT_THAT(face_view_svg({}), IsEmpty());
}

TEST(FacePlanBands, AreFilledAndTheirContoursNumbered) {
  const std::string svg = face_plan_svg({}, invented::mapped_face());
  expect_sound(svg);
  EXPECT_THAT(svg, HasSubstr("jp-fill1"));
  EXPECT_THAT(svg, HasSubstr("jp-contour"));
}

TEST(Sections, ShowTheGapUnderTheEdge) {
  const std::string svg = sections_svg(invented::mapped_face().map);
  expect_sound(svg);
  EXPECT_THAT(svg, HasSubstr(">0.010<"));
  EXPECT_THAT(sections_table_html(invented::mapped_face().map), HasSubstr("0.0100"));
  EXPECT_THAT(sections_svg({}), IsEmpty());
}

TEST(MeasuredLines, ShowIntervalsAndWhatWasNotMeasured) {
  const std::string svg = measured_lines_svg(invented::straightedge());
  expect_sound(svg);
  EXPECT_THAT(svg, HasSubstr("0.050 or more"));
  EXPECT_THAT(svg, HasSubstr("&lt;A&gt;"));
  EXPECT_THAT(measured_lines_table_html(invented::straightedge()), HasSubstr("not measured"));
}

TEST(FacePictures, EachHasATwin) {
  const auto drawn = draw(assess::FlatnessReply{invented::mapped_face(), {}});
  EXPECT_THAT(drawn, SizeIs(3));
  for (const Picture& picture : drawn) EXPECT_THAT(picture.table_html, HasSubstr("<table"));
  EXPECT_THAT(draw(invented::skim()), SizeIs(3));
}

}  // namespace
}  // namespace headjoint::report
