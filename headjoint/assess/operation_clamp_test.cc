#include <gmock/gmock.h>

#include <fstream>
#include <sstream>

#include "headjoint/assess/operation.h"

namespace headjoint::assess {
namespace {

using testing::HasSubstr;

Document engine(const std::string& name = "marlow-16") {
  std::ifstream file(std::string(HEADJOINT_SOURCE_DIR) + "/data/engines/" + name + ".toml");
  std::stringstream text;
  text << file.rdbuf();
  return std::move(read_toml(text.str(), name + ".toml")).value();
}

struct Asked {
  std::multimap<std::string, std::string> options = {};
  std::map<std::string, std::string> files = {};
};

Result<Reply> run(const char* name, Document input, const Asked& asked = {}) {
  Request request;
  request.input = std::move(input);
  request.source = "input";
  request.options = asked.options;
  for (const auto& [option, text] : asked.files) request.files[option] = {text, option + ".csv", joint::nothing_beside()};
  return find_operation(name)->run(request);
}

double number(const Document& document, std::initializer_list<std::string_view> path) {
  const Document* at = &document;
  for (const std::string_view key : path) at = at->find(key);
  return at->number();
}

/// Head points: a bow of `mm`, hollow in the middle.
std::string hollow_face(double mm, double end = 430) {
  std::ostringstream csv;
  csv << "x_mm,y_mm,z_mm\n";
  for (int i = 0; i <= 8; ++i)
    for (int j = 0; j <= 4; ++j) csv << end * i / 8 << ',' << 170.0 * j / 4 << ',' << mm * (i - 4) * (i - 4) / 16.0 << '\n';
  return csv.str();
}

const Asked kCoarse{{{"grid", "15 mm"}, {"gas", "2=\"80 bar\""}}};

TEST(ClampOperation, HasTheFixedKeys) {
  const auto reply = run("clamp", engine(), kCoarse);
  ASSERT_TRUE(reply) << to_string(reply.problems());
  for (const char* key : {"status", "steps", "reaction_N", "applied_N", "contact_area_mm2", "open_area_fraction", "deflection_max_mm",
                          "fire_rings", "passages", "bolts"})
    EXPECT_NE(reply->document.find(key), nullptr) << key;
  const Document& ring = reply->document.find("fire_rings")->array()[1];
  for (const char* key :
       {"bore", "line_load_min_N_per_mm", "line_load_mean_N_per_mm", "line_load_max_N_per_mm", "angle_of_min_deg", "force_N", "margin"})
    EXPECT_NE(ring.find(key), nullptr) << key;
  EXPECT_EQ(reply->document.find("bolts")->array().size(), 10u);
  EXPECT_NEAR(number(reply->document, {"reaction_N"}), number(reply->document, {"applied_N"}), 1);
}

TEST(ClampOperation, AWarpedHeadLosesRingLoadAndTheCutGivesItBack) {
  Asked warped = kCoarse;
  warped.options.emplace("skim", "full");
  warped.files["face"] = hollow_face(0.3);
  const auto flat = run("clamp", engine(), kCoarse), bent = run("clamp", engine(), warped);
  ASSERT_TRUE(flat && bent) << to_string(bent.problems());
  const auto load = [](const Document& state) { return state.find("fire_rings")->array()[1].find("line_load_min_N_per_mm")->number(); };
  EXPECT_LT(load(bent->document), 0.95 * load(flat->document));
  EXPECT_NEAR(load(*bent->document.find("after_skim")), load(flat->document), 0.02 * load(flat->document));
}

TEST(ClampOperation, TooMuchGasIsAnAnswerOfNo) {
  const auto reply = run("clamp", engine(), {{{"grid", "15 mm"}, {"gas", "400 bar"}}});
  ASSERT_TRUE(reply);
  EXPECT_TRUE(reply->answer_is_no);
}

TEST(ClampOperation, EveryFaultyOptionIsListed) {
  const auto reply = run("clamp", engine(), {{{"grid", "1 mm"}, {"gas", "9=\"80 bar\""}, {"heat", "x"}, {"preload", "-1 kN"}}});
  ASSERT_FALSE(reply);
  const std::string text = to_string(reply.problems());
  for (const char* option : {"--grid", "--gas", "--heat", "--preload"}) EXPECT_THAT(text, HasSubstr(option));
}

TEST(ClampOperation, AMapThatLeavesOutTheDeckIsReported) {
  Asked asked = kCoarse;
  asked.files["face"] = hollow_face(0.1, 300);
  const auto partial = run("clamp", engine(), asked);
  ASSERT_TRUE(partial);
  asked.files["face"] = hollow_face(0.1, 100);
  EXPECT_THAT(to_string(run("clamp", engine(), asked).problems()), HasSubstr("cover"));
}

TEST(ClampOperation, AnEngineWithoutAGasketNamesWhatIsMissing) {
  const auto reply =
      run("clamp", std::move(read_toml("format = 1\nname = \"x\"\n[engine]\ncylinders = 4\nlayout = \"inline\"\n", "x")).value());
  ASSERT_FALSE(reply);
  EXPECT_THAT(to_string(reply.problems()), HasSubstr("[gasket]"));
  EXPECT_THAT(to_string(reply.problems()), HasSubstr("[bolts]"));
}

TEST(SealChanceOperation, IsRepeatableAndHasTheFixedKeys) {
  const Asked asked{{{"grid", "15 mm"}, {"samples", "40"}, {"seed", "3"}, {"gas", "100 bar"}, {"method", "torque"}}};
  const auto one = run("seal-chance", engine(), asked), two = run("seal-chance", engine(), asked);
  ASSERT_TRUE(one && two) << to_string(one.problems());
  for (const char* key : {"chance", "low", "high", "weakest", "samples", "seconds"}) EXPECT_NE(one->document.find(key), nullptr) << key;
  EXPECT_EQ(number(one->document, {"chance"}), number(two->document, {"chance"}));
  EXPECT_EQ(number(one->document, {"samples"}), 40);
}

TEST(SealChanceOperation, CanBeStopped) {
  Request request;
  request.input = engine();
  request.options = {{"grid", "15 mm"}, {"samples", "1000000"}};
  request.progress = [](double) { return false; };
  const auto reply = find_operation("seal-chance")->run(request);
  ASSERT_TRUE(reply);
  EXPECT_LT(number(reply->document, {"samples"}), 1000);
}

TEST(TightenOperation, HasTheFixedKeysAndKeepsTheMakersOrder) {
  const auto reply = run("tighten", engine(), {{{"grid", "15 mm"}, {"passes", "3"}}});
  ASSERT_TRUE(reply) << to_string(reply.problems());
  const auto& passes = reply->document.find("passes")->array();
  ASSERT_EQ(passes.size(), 3u);
  for (const char* key : {"bolts", "min_N", "max_N", "mean_N", "std_N"}) EXPECT_NE(passes[0].find(key), nullptr) << key;
  EXPECT_EQ(reply->document.find("recommended")->find("order")->array()[0].number(), 3);
}

TEST(TightenOperation, AnOrderThatIsNoneIsRefused) {
  EXPECT_THAT(to_string(run("tighten", engine(), {{{"order", "1,2,99"}}}).problems()), HasSubstr("--order"));
  EXPECT_THAT(to_string(run("tighten", engine(), {{{"order", "1,2"}, {"grid", "20 mm"}}}).problems()), HasSubstr("every bolt"));
  EXPECT_THAT(to_string(run("tighten", engine(), {{{"passes", "0"}, {"untightened", "tight"}}}).problems()), HasSubstr("--untightened"));
}

// VDI 2230 table A1 (2003, second hand): M12 8.8, friction 0.12, 90 % of yield: 43.0 kN, 83.6 N m with a bearing of 16.63 over 13.5 mm.
TEST(BoltOperation, GivesThePublishedPreloadAndTorque) {
  const auto reply = run("bolt", Document(nullptr),
                         {{{"size", "M12"}, {"class", "8.8"}, {"friction", "0.12"}, {"washer", "16.63 mm"}, {"hole", "13.5 mm"}}});
  ASSERT_TRUE(reply) << to_string(reply.problems());
  EXPECT_NEAR(number(reply->document, {"preload_kN"}), 43.0, 0.0061 * 43.0);
  EXPECT_NEAR(number(reply->document, {"torque_Nm"}), 83.6, 0.0061 * 83.6);
  EXPECT_NEAR(number(reply->document, {"utilisation"}), 0.9, 1e-9);
}

TEST(BoltOperation, TorqueAndPreloadAreInverseAndTheEngineMayGiveTheBolt) {
  const auto there = run("bolt", engine(), {{{"preload", "45 kN"}}});
  ASSERT_TRUE(there) << to_string(there.problems());
  const auto back = run("bolt", engine(), {{{"torque", std::to_string(number(there->document, {"torque_Nm"})) + " N.m"}}});
  ASSERT_TRUE(back) << to_string(back.problems());
  EXPECT_NEAR(number(back->document, {"preload_kN"}), 45, 1e-3);
}

TEST(BoltOperation, AStretchedBoltIsScrap) {
  const auto reply = run("bolt", Document(nullptr),
                         {{{"size", "M11x1.5"},
                           {"class", "10.9"},
                           {"preload", "45 kN"},
                           {"grip", "120 mm"},
                           {"length", "150.5 mm"},
                           {"new-length", "150 mm"}}});
  ASSERT_TRUE(reply) << to_string(reply.problems());
  EXPECT_EQ(reply->document.find("reuse")->text(), "scrap");
  EXPECT_TRUE(reply->answer_is_no);
}

TEST(BoltOperation, WhatIsMissingIsNamed) {
  const auto reply = run("bolt", Document(nullptr), {{{"torque", "40 N.m"}}});
  ASSERT_FALSE(reply);
  EXPECT_THAT(to_string(reply.problems()), HasSubstr("--size"));
  EXPECT_THAT(to_string(reply.problems()), HasSubstr("--class"));
  EXPECT_FALSE(run("bolt", Document(nullptr), {{{"size", "M13"}, {"class", "10.9"}}}));
}

// By hand, exact wedge: 40 N m leaves 30.65 kN at friction 0.08 and 16.84 kN at 0.16; 90 deg at 423 N add 38.07 kN; the bolt yields at
// 63.5 kN at 0.08, so 16.84 + 38.07 = 54.9 kN to 63.5 kN.
TEST(BoltOperation, TheRangeOfTorqueAndAngleEndsAtYield) {
  const std::multimap<std::string, std::string> asked{{"size", "M11x1.5"},  {"class", "10.9"},   {"friction", "0.08-0.16"},
                                                      {"torque", "40 N.m"}, {"angle", "90 deg"}, {"grip", "120 mm"},
                                                      {"washer", "18 mm"},  {"hole", "12 mm"},   {"members", "527 kN/mm"}};
  const auto reply = run("bolt", Document(nullptr), {asked});
  ASSERT_TRUE(reply) << to_string(reply.problems());
  EXPECT_NEAR(number(reply->document, {"preload_low_kN"}), 54.9, 0.05);
  EXPECT_NEAR(number(reply->document, {"preload_high_kN"}), 63.5, 0.05);
  EXPECT_THAT(reply->document.find("sentence")->text(), HasSubstr("40 N m and then 90 deg give "));
}

const std::multimap<std::string, std::string> kM11{{"size", "M11x1.5"}, {"class", "10.9"}, {"grip", "120 mm"}};
std::string refusal(std::multimap<std::string, std::string> more) {
  more.insert(kM11.begin(), kM11.end());
  const auto reply = run("bolt", Document(nullptr), {more});
  return reply ? "" : to_string(reply.problems());
}

TEST(BoltOperation, WhatDoesNotGoTogetherIsRefused) {
  EXPECT_THAT(refusal({{"angle", "90 deg"}}), HasSubstr("none was given"));
  EXPECT_THAT(refusal({{"torque", "40 N.m"}, {"preload", "45 kN"}}), HasSubstr("both given"));
  EXPECT_THAT(refusal({{"necked", "maybe"}}), HasSubstr("yes or no"));
  EXPECT_THAT(refusal({{"shank", "20 mm"}}), HasSubstr("13.2 mm"));
  EXPECT_EQ(refusal({{"shank", "13 mm"}}), "");
}

TEST(BoltOperation, ANeckedBoltIsScrapWithoutAMeasurement) {
  auto asked = kM11;
  asked.emplace("necked", "yes");
  const auto reply = run("bolt", Document(nullptr), {asked});
  ASSERT_TRUE(reply) << to_string(reply.problems());
  EXPECT_EQ(reply->document.find("reuse")->text(), "scrap");
  EXPECT_THAT(reply->document.find("reuse_why")->text(), HasSubstr("necked"));
  EXPECT_TRUE(reply->answer_is_no);
}

TEST(BoltOperation, BoltsOfOneUseAreANoteUntilOneIsMeasured) {
  const auto asked = run("bolt", engine(), {{{"torque", "40 N.m"}}});
  ASSERT_TRUE(asked) << to_string(asked.problems());
  EXPECT_FALSE(asked->answer_is_no);
  EXPECT_THAT(write_json(*asked->document.find("notes")), HasSubstr("used once"));
  const auto measured = run("bolt", engine(), {{{"torque", "40 N.m"}, {"length", "142 mm"}, {"new-length", "142 mm"}}});
  ASSERT_TRUE(measured) << to_string(measured.problems());
  EXPECT_TRUE(measured->answer_is_no);
}

/// Straight traces of `slope` N m per degree to 100 deg.
std::string straight_log(int bolts, double slope, int first = 1) {
  std::ostringstream csv;
  csv << "bolt,angle_deg,torque_Nm\n";
  for (int bolt = first; bolt < first + bolts; ++bolt)
    for (int a = 0; a <= 100; ++a) csv << bolt << ',' << a << ',' << slope * a << '\n';
  return csv.str();
}
Result<Reply> read_log(const std::string& csv, bool with_engine = false) {
  Request request;
  request.input = Document(csv);
  request.source = "log.csv";
  std::ifstream file(std::string(HEADJOINT_SOURCE_DIR) + "/data/engines/marlow-16.toml");
  std::stringstream text;
  text << file.rdbuf();
  if (with_engine) request.files["engine"] = {text.str(), "marlow-16.toml", joint::nothing_beside()};
  return find_operation("wrench-log")->run(request);
}
std::string sentence(const Result<Reply>& reply) { return reply ? reply->document.find("sentence")->text() : to_string(reply.problems()); }

TEST(WrenchLogOperation, SaysOnlyWhatItChecked) {
  EXPECT_EQ(sentence(read_log("bolt,angle_deg,torque_Nm\n1,0,0\n1,1,2\n")), "1 of 1 could not be read.");
  EXPECT_EQ(sentence(read_log(straight_log(2, 1))), "2 bolts read; none yielded; too few bolts to compare.");
  EXPECT_EQ(sentence(read_log(straight_log(3, 1))), "3 bolts read; none yielded, none stands apart.");
}

TEST(WrenchLogOperation, BoltsTheEngineDoesNotHaveAreRefused) {
  EXPECT_THAT(sentence(read_log(straight_log(2, 1, 10), true)), HasSubstr("no bolt 11"));
}

TEST(WrenchLogOperation, YieldedBoltsAreListedInWords) {
  std::ostringstream csv;
  csv << "bolt,angle_deg,torque_Nm\n";
  for (int bolt = 1; bolt <= 3; ++bolt)
    for (int a = 0; a <= 100; ++a) csv << bolt << ',' << a << ',' << (a > 70 ? 105 + 0.2 * (a - 70) : 1.5 * a) << '\n';
  EXPECT_THAT(sentence(read_log(csv.str())), HasSubstr("bolts 1, 2 and 3 yielded"));
}

// 40 % of the preload at yield: 1.5 N m per degree bends after 70 deg, some 420 N per degree at most make 29.4 kN; M11x1.5 10.9 yields
// above 45 kN at any friction to 0.3.
TEST(WrenchLogOperation, ABendFarFromYieldIsNotCalledOne) {
  std::ostringstream csv;
  csv << "bolt,angle_deg,torque_Nm\n";
  for (int a = 0; a <= 100; ++a) csv << 1 << ',' << a << ',' << (a > 70 ? 105 + 0.2 * (a - 70) : 1.5 * a) << '\n';
  const auto reply = read_log(csv.str(), true);
  EXPECT_THAT(sentence(reply), HasSubstr("bolt 1 bends, but not at the force where this bolt yields"));
  ASSERT_TRUE(reply);
  const std::string notes = write_json(*reply->document.find("notes"));
  EXPECT_THAT(notes, HasSubstr("Friction outside the 0.1 to 0.14 of the engine file: bolt 1."));
  EXPECT_THAT(notes, HasSubstr("Preload below 0.8 of the 45 kN of the engine file: bolt 1."));
}

TEST(WrenchLogOperation, FindsYieldAndEstimatesThePreload) {
  std::ostringstream csv;
  csv << "bolt,angle_deg,torque_Nm\n";
  for (int bolt = 1; bolt <= 3; ++bolt)
    for (int a = 0; a <= 100; ++a) csv << bolt << ',' << a << ',' << (bolt == 2 && a > 70 ? 105 + 0.2 * (a - 70) : 1.5 * a) << '\n';
  Request request;
  request.input = Document(csv.str());
  request.source = "log.csv";
  std::ifstream file(std::string(HEADJOINT_SOURCE_DIR) + "/data/engines/marlow-16.toml");
  std::stringstream text;
  text << file.rdbuf();
  request.files["engine"] = {text.str(), "marlow-16.toml", joint::nothing_beside()};
  const auto reply = find_operation("wrench-log")->run(request);
  ASSERT_TRUE(reply) << to_string(reply.problems());
  const auto& bolts = reply->document.find("bolts")->array();
  ASSERT_EQ(bolts.size(), 3u);
  EXPECT_TRUE(bolts[1].find("yield")->truth());
  EXPECT_FALSE(bolts[0].find("yield")->truth());
  for (const char* key : {"snug", "slope_Nm_per_deg", "final_Nm", "final_deg", "flag"}) EXPECT_NE(bolts[0].find(key), nullptr) << key;
}

}  // namespace
}  // namespace headjoint::assess
