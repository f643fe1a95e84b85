#include <gmock/gmock.h>

#include <string>
#include <vector>

#include "headjoint/assess/operation.h"
#include "headjoint/base/file.h"
#include "headjoint/joint/engine_file.h"

namespace headjoint::assess {
namespace {

using testing::HasSubstr;

constexpr double kSixDigits = 1e-6;
const std::string kEngines = std::string(HEADJOINT_SOURCE_DIR) + "/data/engines/";

Result<Reply> run(const char* name, const std::string& text, std::multimap<std::string, std::string> options = {}) {
  const auto document = read_toml(text, "test.toml");
  EXPECT_TRUE(document) << to_string(document.problems());
  Request request;
  request.input = *document;
  request.source = "test.toml";
  request.options = std::move(options);
  request.read_beside = joint::beside_file(kEngines + "x.toml");
  return find_operation(name)->run(request);
}

std::string engine(const std::string& name) { return read_file(kEngines + name + ".toml"); }

/// The worked example: 86 x 86 mm, chamber 47.0 cm3 open over 5200 mm2, gasket 0.70 mm of 87 mm bore.
const std::string kSquareFour =
    "format = 1\nname = \"square\"\n[engine]\ncylinders = 4\nbore = \"86 mm\"\nstroke = \"86 mm\"\nrod_length = \"143 mm\"\n"
    "[chamber]\nvolume = \"47.0 cm3\"\nface_area = \"5200 mm2\"\npiston_dish = \"3.0 cm3\"\ndeck_clearance = \"0.20 mm\"\n"
    "[gasket]\nthickness = \"0.70 mm\"\nbore = \"87 mm\"\n[limits]\ncompression_ratio_most = 10.2\n";

double number(const Document& document, std::initializer_list<const char*> path) {
  const Document* at = &document;
  for (const char* key : path) {
    at = at->find(key);
    if (at == nullptr) ADD_FAILURE() << key;
    if (at == nullptr) return -1;
  }
  return at->is_number() ? at->number() : -1;
}

TEST(AfterSkim, GivesTheWorkedExampleUnderTheFixedKeys) {
  const auto reply = run("after-skim", kSquareFour, {{"head", "0.30 mm"}});
  ASSERT_TRUE(reply) << to_string(reply.problems());
  EXPECT_NEAR(number(reply->document, {"compression_ratio", "before"}), 10.029823, kSixDigits);
  EXPECT_NEAR(number(reply->document, {"compression_ratio", "after"}), 10.291834, kSixDigits);
  EXPECT_NEAR(number(reply->document, {"squish_mm", "after"}), 0.90, kSixDigits);
  EXPECT_TRUE(reply->answer_is_no) << "10.29 is above 10.2";
  EXPECT_FALSE(run("after-skim", kSquareFour, {{"head", "0.10 mm"}})->answer_is_no);
}

TEST(AfterSkim, HasEveryFixedKeyOnTheShippedEngines) {
  for (const char* name : {"marlow-16", "hollin-d78", "ostery-v30"}) {
    const auto reply = run("after-skim", engine(name), {{"head", "0.10 mm"}, {"deck", "0.05 mm"}, {"gasket", "1.30 mm"}});
    ASSERT_TRUE(reply) << name << to_string(reply.problems());
    for (const char* valve : {"intake", "exhaust"})
      for (const char* key : {"before", "after", "at_deg"})
        EXPECT_GT(std::abs(number(reply->document, {"valve_gap_mm", valve, key})), 0) << name << valve << key;
    for (const char* key : {"cam", "crank"}) (void)number(reply->document, {"cam_timing_deg", key});
    for (const char* key : {"lash_change_mm", "warnings", "lines"}) EXPECT_NE(reply->document.find(key), nullptr) << name << key;
    for (const Document& line : reply->document.find("lines")->array()) {
      EXPECT_NE(line.find("verdict")->text(), "not_run");
      EXPECT_NE(line.find("verdict")->text(), "cannot_say")
          << name << ": a shipped engine lacks a figure for " << line.find("line")->text();
    }
  }
}

TEST(AfterSkim, TakesTheCutOfAJob) {
  const std::string job =
      "format = 1\ntitle = \"t\"\nengine = \"marlow-16.toml\"\n[cut]\nhead = \"0.25 mm\"\ngasket = \"1.40 mm\"\n[signs]\n";
  const auto reply = run("after-skim", job);
  ASSERT_TRUE(reply) << to_string(reply.problems());
  EXPECT_NEAR(number(reply->document, {"head_mm"}), 0.25, kSixDigits);
  EXPECT_NEAR(number(reply->document, {"gasket_mm", "after"}), 1.40, kSixDigits);
  EXPECT_NEAR(number(run("after-skim", job, {{"head", "0.10 mm"}})->document, {"head_mm"}), 0.10, kSixDigits) << "an option goes first";
  const auto assessed = run("assess", job);
  ASSERT_TRUE(assessed) << to_string(assessed.problems());
  EXPECT_NE(assessed->document.find("after_skim"), nullptr);
  EXPECT_THAT(write_json(*assessed->document.find("papers")), HasSubstr("machine-shop.html"));
}

TEST(AfterSkim, RefusesInWords) {
  const auto problems = [](std::multimap<std::string, std::string> options) {
    const auto reply = run("after-skim", kSquareFour, std::move(options));
    EXPECT_FALSE(reply);
    return to_string(reply.problems());
  };
  EXPECT_THAT(problems({}), HasSubstr("nothing is to be cut"));
  EXPECT_THAT(problems({{"head", "-0.3 mm"}}), HasSubstr("0 mm to 10 mm"));
  EXPECT_THAT(problems({{"head", "30 mm"}, {"gasket", "0 mm"}}), HasSubstr("--gasket"));
  EXPECT_THAT(problems({{"head", "0.3"}}), HasSubstr("no unit"));
  EXPECT_THAT(problems({{"head", "0.3 mm"}, {"protrusions", "0.4,x mm"}}), HasSubstr("--protrusions"));
}

TEST(AfterSkim, SaysWhichFigureIsMissing) {
  const auto reply = run("after-skim", "format = 1\nname = \"bare\"\n[engine]\ncylinders = 4\n", {{"head", "0.3 mm"}});
  ASSERT_TRUE(reply);
  const std::string warnings = write_json(*reply->document.find("warnings"));
  EXPECT_THAT(warnings, HasSubstr("squish height: cannot say, missing chamber.deck_clearance"));
  EXPECT_FALSE(reply->answer_is_no);
}

const std::string kShims =
    "format = 1\nvalve = [{ name = \"1 in\", side = \"intake\", lash = \"0.28 mm\", shim = \"2.45 mm\" }]\n"
    "[intake]\nlash_least = \"0.18 mm\"\nlash_most = \"0.22 mm\"\n[sale]\nfrom = \"2.18 mm\"\nto = \"2.82 mm\"\nstep = \"0.02 mm\"\n";

// Printed rule, sizes by 0.02 mm: 2.45 fitted, 0.28 measured, 0.20 wanted: fit 2.52.
TEST(Shims, GivesThePrintedExampleUnderTheFixedKeys) {
  const auto reply = run("shims", kShims);
  ASSERT_TRUE(reply) << to_string(reply.problems());
  const Document& valve = reply->document.find("valves")->array().at(0);
  EXPECT_EQ(valve.find("valve")->text(), "1 in");
  EXPECT_EQ(valve.find("fit_mm")->number(), 2.52);
  EXPECT_EQ(valve.find("lash_after_mm")->number(), 0.21);
  EXPECT_EQ(valve.find("from")->text(), "buy");
  EXPECT_EQ(reply->document.find("buy")->array().size(), 1U);
  EXPECT_TRUE(reply->document.find("proven")->truth());
  EXPECT_FALSE(reply->answer_is_no);
}

TEST(Shims, AnswersNoWhenAValveStaysOutside) {
  const auto reply = run("shims", kShims.substr(0, kShims.find("[sale]")));
  ASSERT_TRUE(reply);
  EXPECT_TRUE(reply->answer_is_no);
  EXPECT_NE(reply->document.find("valves")->array().at(0).find("needs_shim_mm"), nullptr);
}

TEST(Shims, TellsAnEngineFromAShimFile) {
  const auto reply = run("shims", engine("marlow-16"));
  ASSERT_FALSE(reply);
  EXPECT_THAT(to_string(reply.problems()), HasSubstr("new shims"));
  EXPECT_EQ(reply.problems().size(), 1U);
}

TEST(Shims, StartReadsBackAndIsChecked) {
  Request request;
  request.input = Document("shims");
  const auto start = find_operation("new")->run(request);
  ASSERT_TRUE(start);
  const std::string text = content_of<NewReply>(*start).text;
  EXPECT_TRUE(run("shims", text));
  request.input = Document(text);
  const auto checked = find_operation("check")->run(request);
  ASSERT_TRUE(checked) << to_string(checked.problems());
  EXPECT_EQ(content_of<CheckReply>(*checked).kind, "shim file");
}

}  // namespace
}  // namespace headjoint::assess
