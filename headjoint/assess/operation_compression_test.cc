#include <gmock/gmock.h>

#include <cmath>
#include <string>

#include "headjoint/assess/operation.h"
#include "headjoint/assess/placed_option.h"
#include "headjoint/assess/results_cranking.h"
#include "headjoint/base/document.h"

namespace headjoint::assess {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

const std::string kEngine =
    "cylinders = 4\nlayout = \"inline\"\nfiring_order = [1, 3, 4, 2]\nbore = \"80 mm\"\nstroke = \"80 mm\"\nrod_length = \"140 mm\"\n"
    "compression_ratio = 10\nintake_closes = \"50 deg\"\nexhaust_opens = \"50 deg\"\ncranking_speed = \"250 rpm\"\n";

Document toml(const std::string& text) {
  auto document = read_toml(text, "engine.toml");
  EXPECT_TRUE(document) << to_string(document.problems());
  return std::move(document).value();
}
Document engine(const std::string& general = kEngine) { return toml("format = 1\nname = \"plain four\"\n[engine]\n" + general); }
Document job(const std::string& lines) {
  return toml("format = 1\ntitle = \"test\"\n" + lines + "\n[engine]\nformat = 1\nname = \"plain four\"\n[engine.engine]\n" + kEngine);
}

using Options = std::multimap<std::string, std::string>;

Result<Reply> run(Document input, Options options = {}, const char* name = "compression") {
  Request request;
  request.input = std::move(input);
  request.source = "engine.toml";
  request.options = std::move(options);
  return find_operation(name)->run(request);
}
CrankedEngine cranked(const Options& options) {
  const auto reply = run(engine(), options);
  EXPECT_TRUE(reply) << to_string(reply.problems());
  return content_of<CrankedEngine>(*reply);
}
std::string refused(const Options& options, const std::string& general = kEngine) {
  const auto reply = run(engine(general), options);
  EXPECT_FALSE(reply);
  return to_string(reply.problems());
}

// Computed independently with a tight integrator: 1 mm2, Woschni: 15.8047 bar absolute at -2.94 deg, 84.55 % of the gas left.
TEST(CompressionForward, GivesTheIndependentPeak) {
  const auto reply = run(engine(), {{"leak-area", "1 mm2"}, {"heat-loss", "woschni"}});
  ASSERT_TRUE(reply) << to_string(reply.problems());
  const Document& cylinder = reply->document.find("cylinders")->array().at(2);
  EXPECT_NEAR(cylinder.find("peak_bar_abs")->number(), 15.8047, 5e-4 * 15.8047);
  EXPECT_NEAR(cylinder.find("peak_angle_deg")->number(), -2.94, 0.02);
  EXPECT_NEAR(cylinder.find("mass_left")->number(), 0.8455, 1e-4);
}

// Computed independently by a first-order march: rings 0.2 mm2, breach 1 mm2: 15.1036 for the first to compress (2), 15.4461 for 1.
TEST(CompressionForward, JoinsNeighboursAsTheFiringOrderSays) {
  const CrankedEngine in = cranked({{"leak-area", "0.2 mm2"}, {"bridge", "1-2=1 mm2"}});
  EXPECT_NEAR(in.cylinders[0].peak_bar_abs, 15.4461, 1e-3 * 15.4461);
  EXPECT_NEAR(in.cylinders[1].peak_bar_abs, 15.1036, 1e-3 * 15.1036);
  EXPECT_NEAR(in.cylinders[2].peak_bar_abs, 19.1258, 1e-3 * 19.1258);
  const CrankedEngine out = cranked({{"leak-area", "0.2 mm2"}, {"bridge", "1-2=1 mm2"}, {"plugs", "out"}});
  EXPECT_NEAR(out.cylinders[0].peak_bar_abs, 15.1036, 1e-3 * 15.1036);
  EXPECT_NEAR(out.cylinders[0].peak_bar_abs, out.cylinders[1].peak_bar_abs, 1e-6);
}

TEST(CompressionForward, AreasStandForAllOrForOneCylinder) {
  const CrankedEngine one = cranked({{"leak-area", "0.2 mm2; 3=2 mm2"}});
  EXPECT_NEAR(one.cylinders[1].leak_area_mm2, 0.2, 1e-12);
  EXPECT_NEAR(one.cylinders[2].leak_area_mm2, 2, 1e-12);
  EXPECT_LT(one.cylinders[2].peak_bar, one.cylinders[1].peak_bar);
  EXPECT_NEAR(cranked({{"leak-area", "2=\"1,5 mm2\",4=\"0,5 mm2\""}}).cylinders[3].leak_area_mm2, 0.5, 1e-12);
}

// US Standard Atmosphere 1976 at 1500 m, cycle with 15 degC everywhere: 0.8330 of the sea level's gauge reading.
TEST(CompressionForward, AltitudeLowersTheReading) {
  const auto at = [](const char* metres) {
    return cranked({{"leak-area", "0.5 mm2"}, {"altitude", metres}, {"temperature", "15 degC"}}).cylinders[0].peak_bar;
  };
  EXPECT_NEAR(at("1500 m") / at("0 m"), 0.8330, 2e-3);
}

// Computed independently: 13.64, 16.97, 17.82 bar on a gauge of 5 cm3 after the first three strokes.
TEST(CompressionForward, GaugeClimbsStrokeByStroke) {
  const CrankedEngine gauged = cranked({{"leak-area", "0.2 mm2"}, {"gauge-volume", "5 cm3"}, {"strokes", "3"}});
  ASSERT_EQ(gauged.cylinders[0].gauge_bar.size(), 3u);
  EXPECT_NEAR(gauged.cylinders[0].gauge_bar[0], 13.64, 0.1364);
  EXPECT_NEAR(gauged.cylinders[3].gauge_bar[2], 17.82, 0.1782);
}

TEST(CompressionForward, TraceIsGivenWhenAskedFor) {
  EXPECT_EQ(run(engine(), {{"leak-area", "1 mm2"}})->document.find("traces"), nullptr);
  const auto reply = run(engine(), {{"leak-area", "1 mm2"}, {"trace", "10 deg"}});
  ASSERT_TRUE(reply);
  EXPECT_EQ(reply->document.find("traces")->array().at(0).find("bar_abs")->array().size(), 37u);
}

TEST(CompressionForward, SaysEverythingThatIsWrongAtOnce) {
  const std::string said =
      refused({{"leak-area", "9=1 mm2"}, {"bridge", "1-1=1 mm2"}, {"heat-loss", "foo"}, {"speed", "250"}, {"trace", "7 deg"}});
  for (const char* option : {"--leak-area", "--bridge", "--heat-loss", "--speed", "--trace"}) EXPECT_THAT(said, HasSubstr(option));
  EXPECT_THAT(refused({{"ambient", "1 bar"}, {"altitude", "100 m"}}), HasSubstr("one of the two"));
  EXPECT_THAT(refused({{"timing-off", "170 deg"}}), HasSubstr("220 deg"));
  EXPECT_THAT(refused({{"oil-in-bore", "60 cm3"}}), HasSubstr("locks the engine"));
  EXPECT_THAT(refused({{"leak-area", "-1 mm2"}}), HasSubstr("--leak-area"));
  const std::string bare = refused({}, "cylinders = 4\nlayout = \"inline\"\n");
  for (const char* key : {"bore", "stroke", "compression_ratio"}) EXPECT_THAT(bare, HasSubstr(key));
}

TEST(CompressionForward, JobStandsForItsEngine) {
  const auto reply = run(job(""), {{"leak-area", "1 mm2"}});
  ASSERT_TRUE(reply) << to_string(reply.problems());
  EXPECT_NEAR(content_of<CrankedEngine>(*reply).cylinders[0].peak_bar_abs, 15.8047, 5e-4 * 15.8047);
}

// Computed independently: 15.81 dry and 20.60 bar absolute with 10 cm3 of oil, leak unchanged.
TEST(CompressionRepeats, OilIsJudgedByWhatItsVolumeMakes) {
  const CrankedEngine volume = cranked({{"dry", "2=14.79 bar"}, {"wet", "2=19.58 bar"}});
  ASSERT_EQ(volume.repeats.size(), 1u);
  EXPECT_EQ(volume.repeats[0].answer, "volume only");
  EXPECT_NEAR(volume.repeats[0].by_volume_bar, 19.58, 0.25);
  EXPECT_TRUE(volume.cylinders.empty());
  EXPECT_EQ(cranked({{"dry", "2=14.79 bar"}, {"wet", "2=24.06 bar"}}).repeats[0].answer, "rings");
  EXPECT_THAT(refused({{"wet", "2=12 bar"}}), HasSubstr("--dry"));
}

// Computed independently (Woschni, 5 mm2): 4.50 bar absolute at 150 rpm, 8.40 at 300 rpm.
TEST(CompressionRepeats, TwoSpeedsShowALeak) {
  const CrankedEngine speeds = cranked({{"two-speeds", "3=3.49 bar at 150 rpm, 7.39 bar at 300 rpm"}});
  ASSERT_EQ(speeds.repeats.size(), 1u);
  EXPECT_EQ(speeds.repeats[0].answer, "leak");
  EXPECT_LE(speeds.repeats[0].low_mm2, 5.05);
  EXPECT_GE(speeds.repeats[0].high_mm2, 4.95);
  EXPECT_THAT(refused({{"two-speeds", "3=3.49 bar"}}), HasSubstr("two readings"));
}

const std::string kLowPair =
    "[[reading]]\ntest = \"compression\"\nplugs = \"all out\"\nvalues = [\"12.4 bar\", \"12.3 bar\", \"9.1 bar\", \"9.2 bar\"]\n";

TEST(CompressionOfAJob, GivesPairAreasLevelAndCurves) {
  const auto reply = run(job(kLowPair));
  ASSERT_TRUE(reply) << to_string(reply.problems());
  const auto& found = content_of<Compression>(*reply);
  ASSERT_EQ(found.pairs.size(), 1u);
  EXPECT_EQ(found.pairs[0].bridge, "3-4");
  EXPECT_TRUE(found.pairs[0].is_equal);
  EXPECT_GT(found.pairs[0].leak_area_mm2, found.pairs[0].low_mm2);
  EXPECT_LT(found.pairs[0].leak_area_mm2, found.pairs[0].high_mm2);
  EXPECT_EQ(found.level, "usual");
  EXPECT_EQ(found.traces.size(), 2u);
  EXPECT_FALSE(found.cautions.empty());
  EXPECT_GT(found.base_high_mm2, found.base_low_mm2);
}

TEST(CompressionOfAJob, ForwardAndInverseAreTheSameModel) {
  // What the forward run reads with a base and one extra leak, the inverse must give back inside its range.
  const CrankedEngine forward = cranked({{"leak-area", "1.5 mm2; 3=2.5 mm2"}});
  std::string values;
  for (const CrankedCylinder& cylinder : forward.cylinders)
    values += (values.empty() ? "\"" : ", \"") + std::to_string(cylinder.peak_bar) + " bar\"";
  const auto reply = run(job("[[reading]]\ntest = \"compression\"\nvalues = [" + values + "]\n"));
  ASSERT_TRUE(reply) << to_string(reply.problems());
  const CompressionCylinder& third = content_of<Compression>(*reply).cylinders.at(2);
  EXPECT_LE(third.low_mm2, 1.0);
  EXPECT_GE(third.high_mm2, 1.0);
  EXPECT_NEAR(third.leak_area_mm2, 1.0, 0.1);
}

TEST(CompressionOfAJob, ShutThrottleIsSaidAndTheLevelNotJudged) {
  const auto reply =
      run(job("[[reading]]\ntest = \"compression\"\nthrottle = \"closed\"\nvalues = [\"7 bar\", \"7.1 bar\", \"7 bar\", \"7 bar\"]\n"));
  ASSERT_TRUE(reply) << to_string(reply.problems());
  const auto& notes = content_of<Compression>(*reply).notes;
  EXPECT_THAT(notes, testing::Contains(HasSubstr("throttle was closed")));
  EXPECT_THAT(notes, testing::Not(testing::Contains(HasSubstr("All cylinders read low"))));
}

TEST(LeakDownOutlets, AreSharedOutByEarMeterAndSigns) {
  const auto by_options = run({}, {{"supply", "80 psi"}, {"reading", "75,60"}, {"outlet", "2=coolant strong; 2=oil faint"}}, "leak-down");
  ASSERT_TRUE(by_options) << to_string(by_options.problems());
  const auto& outlets = content_of<LeakDownReply>(*by_options).leak_down.outlets;
  ASSERT_EQ(outlets.size(), 2u);
  EXPECT_NEAR(outlets[0].share + outlets[1].share, 1, 1e-9);
  EXPECT_TRUE(outlets[0].is_never_sound);
  const auto by_signs =
      run(job("[signs]\nair_in_coolant.2 = \"seen\"\n[[reading]]\ntest = \"leak_down\"\nsupply = \"80 psi\"\norifice = \"0.040 in\"\n"
              "values = [\"75 psi\", \"60 psi\", \"75 psi\", \"75 psi\"]\n"),
          {}, "leak-down");
  ASSERT_TRUE(by_signs) << to_string(by_signs.problems());
  const LeakDown& shown = content_of<LeakDownReply>(*by_signs).leak_down;
  ASSERT_FALSE(shown.outlets.empty());
  EXPECT_EQ(shown.outlets[0].outlet, "coolant");
  // 80 psi on 80 mm bore: 2773 N; r 40 mm, l 140 mm, 10 deg: 24.7 Nm (computed independently).
  EXPECT_NEAR(shown.piston_force_kN, 2.773, 1e-3);
  EXPECT_NEAR(shown.crank_torque_Nm, 24.7, 0.05);
  const auto wrong = run({}, {{"supply", "80 psi"}, {"reading", "75,60"}, {"outlet", "2=radio strong"}}, "leak-down");
  ASSERT_FALSE(wrong);
  EXPECT_THAT(to_string(wrong.problems()), HasSubstr("--outlet"));
}

TEST(PlacedValues, SplitListsAndKeepDecimalCommas) {
  Request request;
  request.options = {{"a", "1,5 mm2"}, {"a", "2=\"0,5 mm2\", 3=1 mm2;1-2 = 4 mm2"}};
  const auto values = placed_values(request, "a");
  ASSERT_EQ(values.size(), 4u);
  EXPECT_EQ(values[0].place + "|" + values[0].value, "|1,5 mm2");
  EXPECT_EQ(values[1].place + "|" + values[1].value, "2|0,5 mm2");
  EXPECT_EQ(values[2].place + "|" + values[2].value, "3|1 mm2");
  EXPECT_EQ(values[3].place + "|" + values[3].value, "1-2|4 mm2");
  EXPECT_THAT(cylinders_of_place("1-2", 4), ElementsAre(0u, 1u));
  for (const char* wrong : {"", "0", "5", "1-", "x", "1-9", "-1"}) EXPECT_TRUE(cylinders_of_place(wrong, 4).empty()) << wrong;
}

}  // namespace
}  // namespace headjoint::assess
