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
