#include <gmock/gmock.h>

#include <cmath>
#include <limits>

#include "headjoint/assess/results_cranking.h"
#include "headjoint/base/text.h"
#include "headjoint/report/internal/invented_jobs.h"
#include "headjoint/report/internal/line_chart.h"
#include "headjoint/report/internal/well_formed.h"
#include "headjoint/report/pictures.h"
#include "headjoint/report/record.h"
#include "headjoint/report/terminal_text.h"

namespace headjoint::report {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

constexpr double kNotANumber = std::numeric_limits<double>::quiet_NaN();

assess::PressureTrace trace(const std::string& name, double peak) {
  assess::PressureTrace out{name, -180, 2, {}};
  for (int angle = -180; angle <= 180; angle += 2) out.bar_abs.push_back(1 + peak * std::exp(-angle * angle / 1500.0));
  return out;
}

assess::Compression compression() {
  assess::Compression out = invented::compression();
  out.traces = {trace("a sound cylinder", 12), trace("cylinder 3", 9)};
  out.cylinders[1].high_mm2 = kNotANumber;
  return out;
}

assess::CrankedEngine cranked() {
  assess::CrankedEngine out;
  out.engine = "<plain> four";
  out.speed_rpm = 250;
  out.ambient_bar = out.intake_bar = 1.01325;
  out.temperature_degC = 20;
  out.heat_loss = "woschni";
  out.plugs = "in";
  out.cylinders = {{1, 0.2, 19.12, 18.11, -1.0, 0.965, {13.64, 16.97}}, {2, 1, 15.80, 14.79, -2.9, 0.846, {11, 14}}};
  out.bridges = {{"1-2", 1}};
  out.repeats = {{2, "wet", "rings", "The rise is more than the volume makes.", 0.3, 0.1, kNotANumber, 11}};
  out.traces = {trace("cylinder 1", 18), trace("cylinder 2", 14), trace("cylinder 3", 18)};
  out.notes = {"A note."};
  out.cautions = {invented::cranking()};
  return out;
}

void expect_sound_picture(const Picture& picture) {
  EXPECT_EQ(xml::read(picture.svg).problem, "") << picture.name;
  EXPECT_THAT(picture.svg, Not(HasSubstr("nan")));
  EXPECT_THAT(picture.svg, Not(HasSubstr("inf")));
  EXPECT_THAT(picture.svg, Not(HasSubstr("style=")));
  EXPECT_THAT(picture.table_html, HasSubstr("<table"));
  EXPECT_FALSE(picture.title.empty());
}

TEST(CompressionPictures, AreWellFormedAndHaveATableTwin) {
  assess::Reply reply;
  reply.content = compression();
  const auto of_readings = pictures(reply);
  ASSERT_EQ(of_readings.size(), 2u);
  reply.content = cranked();
  const auto of_run = pictures(reply);
  ASSERT_EQ(of_run.size(), 1u);
  for (const auto& list : {of_readings, of_run})
    for (const Picture& picture : list) expect_sound_picture(picture);
}

TEST(CompressionPictures, EqualCurvesAreDrawnOnceWithBothNames) {
  assess::Reply reply;
  reply.content = cranked();
  EXPECT_THAT(pictures(reply)[0].svg, HasSubstr("cylinder 1, 3"));
}

TEST(CompressionPictures, RecordHoldsBothOnceAndStaysSound) {
  assess::Assessment all = invented::assessment();
  all.compression = compression();
  const std::string html = record_html(all, {"2026-11-25"});
  EXPECT_EQ(xml::read(html).problem, "");
  EXPECT_THAT(html, HasSubstr("Leak area of each cylinder with its range"));
  EXPECT_THAT(html, HasSubstr("Pressure against crank angle"));
}

TEST(CompressionPictures, WithoutCurvesThereIsNone) {
  assess::Reply reply;
  reply.content = invented::compression();
  EXPECT_TRUE(pictures(reply).empty());
}

TEST(CrankedText, KeepsItsWidthAndTellsWhatItIs) {
  assess::Reply reply;
  reply.content = cranked();
  for (const std::size_t width : {40U, 80U, 120U}) {
    const std::string text = terminal_text(reply, {.width = width, .bold = false});
    for (const std::string_view line : split(text, '\n')) EXPECT_LE(width_of(line), width) << line;
    EXPECT_THAT(text, Not(HasSubstr("nan")));
  }
  const std::string text = terminal_text(reply, {.width = 80, .bold = false});
  EXPECT_THAT(text, HasSubstr("14.8 to 18.1 bar on the gauge, lowest 82 % of highest"));
  EXPECT_THAT(text, HasSubstr("wet test"));
  EXPECT_LT(text.find("WARNING"), text.find("Cranked at"));
}

TEST(RoundAxis, HoldsTheHighestWithRoundSteps) {
  for (double high : {0.013, 0.9, 1.0, 7.3, 18.9, 20.0, 1234.0}) {
    const ChartAxis axis = round_axis("x", high);
    EXPECT_GE(axis.high, high * (1 - 1e-9));
    EXPECT_LE(axis.high, 2 * high);
    const double steps = axis.high / axis.step;
    EXPECT_NEAR(steps, std::round(steps), 1e-9) << high;
    EXPECT_LE(steps, 10.5) << high;
  }
  for (double nothing : {0.0, -1.0, kNotANumber, std::numeric_limits<double>::infinity()}) EXPECT_EQ(round_axis("x", nothing).high, 1);
}

}  // namespace
}  // namespace headjoint::report
