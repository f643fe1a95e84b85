#include <gmock/gmock.h>

#include <cmath>
#include <string>

#include "headjoint/assess/figure_words.h"
#include "headjoint/assess/operation.h"
#include "headjoint/base/document.h"

namespace headjoint::assess {
namespace {

using testing::HasSubstr;

constexpr double kPrintedTenth = 0.1;

Result<Reply> run(const char* name, std::multimap<std::string, std::string> options, Document input = {}) {
  Request request;
  request.input = std::move(input);
  request.source = "engine.toml";
  request.options = std::move(options);
  return find_operation(name)->run(request);
}

Document answer_of(const char* name, std::multimap<std::string, std::string> options, Document input = {}) {
  const auto reply = run(name, std::move(options), std::move(input));
  EXPECT_TRUE(reply) << to_string(reply.problems());
  return reply ? reply->document : Document(Table{});
}

std::string problems_of(const char* name, std::multimap<std::string, std::string> options, Document input = {}) {
  const auto reply = run(name, std::move(options), std::move(input));
  EXPECT_FALSE(reply);
  return reply ? "" : to_string(reply.problems());
}

Document engine(const std::string& lines) {
  auto document = read_toml(
      "format = 1\nname = \"plain four\"\n[engine]\ncylinders = 4\nlayout = \"inline\"\nbore = \"80 mm\"\nstroke = \"80 mm\"\n" + lines,
      "engine.toml");
  EXPECT_TRUE(document) << to_string(document.problems());
  return std::move(document).value();
}

double number(const Document& document, const char* key) {
  const Document* node = document.find(key);
  EXPECT_NE(node, nullptr) << key;
  return node ? node->number() : std::nan("");
}

// Computed independently from IAPWS R7-97, Raoult's law and ISO 2533.
TEST(Boiling, GivesThePublishedFigures) {
  const Document high = answer_of("boiling", {{"glycol", "ethylene 50 %"}, {"cap", "1.1 bar"}, {"altitude", "2000 m"}});
  EXPECT_NEAR(number(high, "boiling_degC"), 127.2, 1e-9);
  EXPECT_NEAR(number(high, "freezing_degC"), -37.1, kPrintedTenth);
  EXPECT_NE(high.find("valid_range"), nullptr);
  EXPECT_TRUE(high.find("margin_K")->is_null());
  const Document sea =
      answer_of("boiling", {{"glycol", "ethylene 50 %"}, {"cap", "1.1 bar"}, {"altitude", "0 m"}, {"coolant", "112 degC"}});
  EXPECT_NEAR(number(sea, "margin_K"), 18.8, kPrintedTenth);
  EXPECT_NEAR(number(sea, "margin_no_cap_K"), -4.2, kPrintedTenth);
}

TEST(Boiling, CoolantThatBoilsIsAnsweredWithNo) {
  EXPECT_TRUE(run("boiling", {{"cap", "0 bar"}, {"coolant", "112 degC"}})->answer_is_no);
  EXPECT_FALSE(run("boiling", {{"cap", "1.1 bar"}, {"coolant", "112 degC"}})->answer_is_no);
}

TEST(Boiling, TakesTheEnginesFiguresAndAnOptionGoesFirst) {
  const Document file = engine("[cooling]\ncap = \"1.4 bar\"\nglycol = \"propylene 40 %\"\n");
  EXPECT_EQ(answer_of("boiling", {}, file).find("coolant")->text(), "propylene glycol 40 %");
  EXPECT_NEAR(number(answer_of("boiling", {}, file), "cap_bar"), 1.4, 1e-12);
  EXPECT_NEAR(number(answer_of("boiling", {{"cap", "0.9 bar"}}, file), "cap_bar"), 0.9, 1e-12);
}

TEST(Boiling, SaysWhatItAssumed) {
  EXPECT_EQ(answer_of("boiling", {}).find("assumed")->array().size(), 3U);
  EXPECT_TRUE(answer_of("boiling", {{"glycol", "water"}, {"cap", "1 bar"}, {"ambient", "1000 mbar"}}).find("assumed")->array().empty());
}

TEST(Boiling, ATestersFreezingPointStandsForTheShare) {
  const Document by_share = answer_of("boiling", {{"glycol", "ethylene 50 %"}});
  const Document by_tester = answer_of("boiling", {{"glycol", "ethylene -37.1 degC"}});
  EXPECT_NEAR(number(by_share, "boiling_degC"), number(by_tester, "boiling_degC"), kPrintedTenth);
}

TEST(Boiling, RefusesInWordsAllAtOnce) {
  EXPECT_THAT(problems_of("boiling", {{"glycol", "ethylene 75 %"}}), HasSubstr("more than 70 %"));
  EXPECT_THAT(problems_of("boiling", {{"glycol", "50 %"}}), HasSubstr("which glycol"));
  EXPECT_THAT(problems_of("boiling", {{"cap", "15 bar"}}), HasSubstr("psi typed as bar"));
  const std::string all = problems_of("boiling", {{"glycol", "milk"}, {"cap", "1.1"}, {"altitude", "9 km up"}, {"coolant", "hot"}});
  for (const char* option : {"--glycol", "--cap", "--altitude", "--coolant"}) EXPECT_THAT(all, HasSubstr(option));
  EXPECT_THAT(problems_of("boiling", {{"altitude", "100 m"}, {"ambient", "1000 mbar"}}), HasSubstr("not both"));
}

TEST(PressureHold, AFallingNeedleIsALeakAndTheAnswerIsNo) {
  const auto reply = run("pressure-hold", {{"start", "15 psi"}, {"end", "12 psi"}, {"time", "2 min"}});
  ASSERT_TRUE(reply) << to_string(reply.problems());
  EXPECT_TRUE(reply->answer_is_no);
  EXPECT_EQ(reply->document.find("verdict")->text(), "leaks");
  const Document& liquid = *reply->document.find("liquid");
  EXPECT_LT(number(liquid, "low_mm2"), number(liquid, "opening_mm2"));
  EXPECT_GT(number(liquid, "high_mm2"), number(liquid, "opening_mm2"));
}

TEST(PressureHold, ASteadyNeedlePrintsTheSmallestLeakItCouldHaveShown) {
  const Document document = answer_of("pressure-hold", {{"start", "1 bar"}, {"end", "1 bar"}, {"time", "10 min"}});
  EXPECT_EQ(document.find("verdict")->text(), "holds");
  EXPECT_GT(number(*document.find("liquid"), "smallest_mm2"), 0);
  EXPECT_THAT(document.find("sentence")->text(), HasSubstr("could not have been seen"));
}

TEST(PressureHold, SlipsAreToldAtTheirOption) {
  EXPECT_THAT(problems_of("pressure-hold", {{"start", "15 bar"}, {"end", "13 bar"}, {"time", "2 min"}}), HasSubstr("--start"));
  const std::string nothing = problems_of("pressure-hold", {});
  for (const char* option : {"--start", "--end", "--time"}) EXPECT_THAT(nothing, HasSubstr(option));
  EXPECT_THAT(problems_of("pressure-hold", {{"start", "0.8 bar"}, {"end", "1.6 bar"}, {"time", "2 min"}}), HasSubstr("--end"));
}

TEST(ColdRise, WarmingAloneIsNotALeakAndAFastRiseIs) {
  const Document warm = answer_of("cold-rise", {{"to", "60 degC"}, {"pressure", "0.42 bar"}, {"time", "5 min"}});
  EXPECT_EQ(warm.find("cause")->text(), "explained by warming");
  EXPECT_EQ(warm.find("status")->text(), "no leak shown");
  EXPECT_GT(number(warm, "smallest_mm2"), 0);
  const Document fast = answer_of("cold-rise", {{"to", "25 degC"}, {"pressure", "0.5 bar"}, {"time", "1 min"}});
  EXPECT_EQ(fast.find("cause")->text(), "gas added");
  EXPECT_GT(number(fast, "low_mm2"), 0);
}

TEST(ColdRise, PressureLeftAfterTheNightIsGas) {
  const Document night = answer_of("cold-rise", {{"test", "night"}, {"pressure", "0.2 bar"}});
  EXPECT_EQ(night.find("cause")->text(), "gas added");
  EXPECT_EQ(night.find("status")->text(), "not run");
  EXPECT_NE(content_if<ColdRiseReply>(*run("cold-rise", {{"test", "night"}, {"pressure", "0.2 bar"}})), nullptr);
}

TEST(ColdRise, ATankWhoseCapOpensCannotShowGas) {
  const Document full = answer_of("cold-rise", {{"to", "90 degC"}, {"pressure", "0.9 bar"}, {"time", "15 min"}, {"gas-space", "0.5 L"}});
  EXPECT_TRUE(std::isnan(number(full, "smallest_gas_L")) || full.find("smallest_gas_L")->is_null());
  EXPECT_NE(full.find("status")->text(), "no leak shown");
}

TEST(ColdRise, AnEngineWithItsFiguresGetsTheTimeToHydraulicLock) {
  const Document file = engine("compression_ratio = 10\n");
  const Document document = answer_of("cold-rise", {{"to", "25 degC"}, {"pressure", "0.5 bar"}, {"time", "1 min"}}, file);
  EXPECT_GT(number(document, "lock_minutes"), 0);
}

TEST(GasTest, ColoursAnalyserAndBubblesAreReadTogetherOrAlone) {
  const Document green = answer_of("gas-test", {{"colour", "green"}});
  EXPECT_EQ(green.find("colour_test")->find("status")->text(), "measured");
  EXPECT_TRUE(green.find("bubbles")->is_null());
  const Document hc = answer_of("gas-test", {{"co2", "0.02 %"}, {"hc", "300"}});
  EXPECT_EQ(hc.find("analyser")->find("verdict")->text(), "fuel or solvent");
  EXPECT_THAT(hc.find("sentence")->text(), HasSubstr("no proof"));
  const Document bubbles = answer_of("gas-test", {{"bubbles", "0"}});
  EXPECT_EQ(bubbles.find("bubbles")->find("status")->text(), "no leak shown");
  EXPECT_GT(number(*bubbles.find("bubbles"), "smallest_mm2"), 0);
}

TEST(GasTest, ADieselCannotTurnTheDyeYellow) {
  const Document diesel = answer_of("gas-test", {{"colour", "green"}, {"fuel", "diesel"}});
  EXPECT_FALSE(diesel.find("colour_test")->find("can_turn_yellow")->truth());
  EXPECT_TRUE(diesel.find("colour_test")->find("can_turn_green")->truth());
  const Document doubtful = answer_of("gas-test", {{"colour", "yellow"}, {"fuel", "diesel"}});
  EXPECT_EQ(doubtful.find("colour_test")->find("status")->text(), "not run");
}

TEST(GasTest, NothingSeenIsRefusedAndWordsAreCorrected) {
  EXPECT_THAT(problems_of("gas-test", {}), HasSubstr("nothing was seen"));
  EXPECT_THAT(problems_of("gas-test", {{"colour", "yelow"}}), HasSubstr("did you mean \"yellow\"?"));
  EXPECT_THAT(problems_of("gas-test", {{"hc", "300"}}), HasSubstr("--co2"));
  EXPECT_THAT(problems_of("gas-test", {{"bubbles", "many"}}), HasSubstr("--bubbles"));
}

TEST(OilWater, ShortTripsAndCoolantAreToldApart) {
  EXPECT_EQ(answer_of("oil-water", {{"water", "3000"}, {"cold-fuel", "5 L"}}).find("verdict")->text(), "short trips explain it");
  EXPECT_EQ(answer_of("oil-water", {{"metals", "150"}}).find("verdict")->text(), "coolant");
  EXPECT_EQ(answer_of("oil-water", {}).find("verdict")->text(), "not told");
  EXPECT_THAT(problems_of("oil-water", {{"crackles", "maybe"}, {"water", "-1"}}), HasSubstr("--water"));
}

TEST(WhiteVapour, IsNormalInTheColdAndASignInTheWarm) {
  EXPECT_EQ(answer_of("white-vapour", {{"outside", "0 degC"}}).find("status")->text(), "normal here");
  const Document warm = answer_of("white-vapour", {{"outside", "20 degC"}});
  EXPECT_EQ(warm.find("status")->text(), "would be a sign");
  EXPECT_GT(number(warm, "smallest_loss_high_L_per_h"), number(warm, "smallest_loss_low_L_per_h"));
  EXPECT_THAT(problems_of("white-vapour", {}), HasSubstr("--outside"));
}

TEST(CoolingOperations, SayWhatTheNumberCannotMeanAndCaution) {
  const std::pair<const char*, std::multimap<std::string, std::string>> asked[] = {
      {"boiling", {}},
      {"pressure-hold", {{"start", "1 bar"}, {"end", "0.9 bar"}, {"time", "5 min"}}},
      {"cold-rise", {{"to", "40 degC"}, {"pressure", "0.4 bar"}}},
      {"gas-test", {{"colour", "blue"}}},
      {"oil-water", {{"crackles", "yes"}}},
      {"white-vapour", {{"outside", "10 degC"}}}};
  for (const auto& [name, options] : asked) {
    const Document document = answer_of(name, options);
    EXPECT_FALSE(document.find("cannot_mean")->array().empty()) << name;
    EXPECT_FALSE(document.find("cautions")->array().empty()) << name;
    EXPECT_EQ(document.find("schema_version")->integer(), 1) << name;
  }
}

TEST(CoolingOperations, AnAirCooledEngineHasNoCoolant) {
  EXPECT_THAT(problems_of("boiling", {}, engine("cooling = \"air\"\n")), HasSubstr("cooled by air"));
}

TEST(FigureWords, SmallAndLargeFiguresHaveTwoDigitsAndNoExponent) {
  EXPECT_EQ(two_digits(0.0000182), "0.000018");
  EXPECT_EQ(two_digits(738), "740");
  EXPECT_EQ(two_digits(0.0998), "0.10");
  EXPECT_EQ(two_digits(0), "0");
  EXPECT_EQ(area_words({0.01, 0, 0.02}), "up to 0.020 mm²");
  EXPECT_EQ(area_words({0.01, 0.005, std::nan("")}), "at least 0.0050 mm²");
}

TEST(OilWater, TwoAnswersThatCannotBothBeRightAreDoubted) {
  const auto warnings = [](const std::map<std::string, std::string>& options) {
    return to_string(run("oil-water", {options.begin(), options.end()})->warnings);
  };
  EXPECT_THAT(warnings({{"crackles", "no"}, {"water", "5000"}}), HasSubstr("--crackles"));
  EXPECT_THAT(warnings({{"crackles", "yes"}, {"water", "50"}}), HasSubstr("--crackles"));
  EXPECT_THAT(warnings({{"cap-cream", "yes"}, {"emulsion", "yes"}}), HasSubstr("--emulsion"));
  EXPECT_EQ(warnings({{"crackles", "yes"}, {"water", "5000"}}), "");
}

TEST(CoolingOperations, AFoundLeakIsAnsweredWithNo) {
  EXPECT_TRUE(run("gas-test", {{"colour", "yellow"}})->answer_is_no);
  EXPECT_TRUE(run("gas-test", {{"bubbles", "12"}})->answer_is_no);
  EXPECT_FALSE(run("gas-test", {{"colour", "blue"}})->answer_is_no);
  EXPECT_FALSE(run("gas-test", {{"bubbles", "0"}})->answer_is_no);
  EXPECT_TRUE(run("cold-rise", {{"to", "40 degC"}, {"pressure", "0.8 bar"}})->answer_is_no);
  EXPECT_FALSE(run("cold-rise", {{"to", "40 degC"}, {"pressure", "0.1 bar"}})->answer_is_no);
  EXPECT_TRUE(run("oil-water", {{"glycol-found", "3000"}, {"glycol-test", "chromatograph"}})->answer_is_no);
  EXPECT_FALSE(run("oil-water", {{"crackles", "no"}})->answer_is_no);
}

}  // namespace
}  // namespace headjoint::assess
