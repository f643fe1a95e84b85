#include <gmock/gmock.h>

#include <cmath>

#include "headjoint/report/internal/clamp_plan.h"
#include "headjoint/report/internal/invented_jobs.h"
#include "headjoint/report/internal/terminal_clamp.h"
#include "headjoint/report/internal/well_formed.h"
#include "headjoint/report/tightening_sheet.h"

namespace headjoint::report {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

joint::Engine engine_with_bolts() {
  joint::Engine engine = invented::assessment().job.engine;
  engine.bolts.emplace();
  for (const double x : {15.0, 115.0, 215.0}) engine.bolts->at.push_back({x, 15});
  return engine;
}

assess::ClampedState state() {
  assess::ClampedState state;
  state.status = "converged";
  state.rings = {{1, 80, 90, 100, 0, 20e3, 1.3, {109, 85}}, {2, 40, 90, 100, 180, 20e3, 0.7, {121, 85}}};
  state.bolts = {{1, 45e3, 0.5, 0.7}, {2, 44e3, 0.4, 0.7}, {3, 43e3, 0.4, 0.7}};
  state.map = {3, 2, 0, 0, 100, 80, {0, 5, 60, std::nan(""), 12, 3}, {1, 5, 61, std::nan(""), 13, 3}};
  return state;
}

TEST(ClampDrawings, BandsReachTwiceAsHighEachTime) {
  const PressureScale scale(80);
  EXPECT_EQ(scale.band(0), 0);
  EXPECT_EQ(scale.band(4.9), 0);
  EXPECT_EQ(scale.band(5), 1);
  EXPECT_EQ(scale.band(80), PressureScale::kBands - 1);
  EXPECT_EQ(scale.band(std::nan("")), 0);
  EXPECT_EQ(scale.band_text(1), "5 to 10");
}

TEST(ClampDrawings, ThePlanIsSoundAndNamesTheWeakestPlace) {
  const std::string svg = pressure_plan_svg(state(), engine_with_bolts(), 1, "p", "Pressure");
  EXPECT_EQ(xml::read(svg).problem, "");
  EXPECT_THAT(svg, HasSubstr("Weakest place: bore 2"));
  EXPECT_THAT(svg, Not(HasSubstr("nan")));
  EXPECT_EQ(pressure_plan_svg(state(), {}, 1, "p", "Pressure"), "") << "an engine without a plan has no drawing";
}

TEST(ClampDrawings, TheTerminalSaysWhichRingGetsTooLittle) {
  assess::Clamping answer;
  answer.engine = engine_with_bolts();
  answer.sentence = "x\x1b[31m";
  answer.state = state();
  TerminalPage page(80, false);
  show(page, answer);
  EXPECT_THAT(page.text(), HasSubstr("TOO LITTLE  < weakest"));
  EXPECT_THAT(page.text(), Not(HasSubstr("\x1b")));
}

TEST(TighteningSheet, IsSoundAndHasABoxForEachBoltAndStage) {
  assess::Assessment all = invented::assessment();
  all.job.engine = engine_with_bolts();
  joint::Tightening tightening;
  tightening.order = {2, 1, 3};
  tightening.stages.resize(2);
  tightening.stages[0].torque = joint::assumed(Torque::from_si(40));
  tightening.stages[0].torque->text = "40 N.m <b>";
  tightening.stages[1].angle = joint::assumed(Angle::from_degrees(90));
  all.job.engine.tightening = tightening;
  const std::string html = tightening_sheet_html(all, {"2026-11-25"});
  EXPECT_EQ(xml::read(html).problem, "");
  EXPECT_THAT(html, Not(HasSubstr("<b>")));
  std::size_t boxes = 0;
  for (std::size_t at = html.find("\u25a1"); at != std::string::npos; at = html.find("\u25a1", at + 1)) ++boxes;
  EXPECT_EQ(boxes, 6u);
}

TEST(TighteningSheet, WithoutOrderOrStagesTheyAreLeftToBeWritten) {
  assess::Assessment all = invented::assessment();
  all.job.engine = engine_with_bolts();
  all.job.engine.tightening.reset();
  EXPECT_THAT(tightening_sheet_html(all, {"2026-11-25"}), HasSubstr("write the maker"));
  all.job.engine.bolts.reset();
  EXPECT_THAT(tightening_sheet_html(all, {"2026-11-25"}), HasSubstr("no places of bolts"));
}

}  // namespace
}  // namespace headjoint::report
