#include "headjoint/assess/operation.h"

#include <gmock/gmock.h>

#include <cmath>
#include <string>

#include "headjoint/base/document.h"

namespace headjoint::assess {
namespace {

using testing::HasSubstr;

Document toml(const std::string& text) {
  auto document = read_toml(text, "job.toml");
  EXPECT_TRUE(document) << to_string(document.problems());
  return std::move(document).value();
}

/// A job on a plain inline four with these further lines.
Document job(const std::string& lines) {
  return toml("format = 1\ntitle = \"test\"\n" + lines +
              "\n[engine]\nformat = 1\nname = \"plain four\"\n[engine.engine]\ncylinders = 4\nlayout = \"inline\"\nbore = \"80 "
              "mm\"\nstroke = \"80 mm\"\n");
}

Result<Reply> run(const char* name, Document input, std::multimap<std::string, std::string> options = {}) {
  Request request;
  request.input = std::move(input);
  request.source = "job.toml";
  request.options = std::move(options);
  return find_operation(name)->run(request);
}

Finding finding_after(const std::string& lines) {
  const auto reply = run("finding", job(lines));
  EXPECT_TRUE(reply) << to_string(reply.problems());
  return content_of<FindingReply>(*reply).assessment.finding;
}

std::string problems_of(const std::string& lines) {
  const auto reply = run("finding", job(lines));
  EXPECT_FALSE(reply);
  return to_string(reply.problems());
}

TEST(Operations, HaveDifferentNamesAndAFunction) {
  for (const Operation& operation : operations()) {
    EXPECT_EQ(find_operation(operation.name), &operation);
    EXPECT_NE(operation.run, nullptr);
    EXPECT_FALSE(operation.summary.empty() || operation.keys.empty()) << operation.name;
  }
  EXPECT_EQ(find_operation("no such thing"), nullptr);
}

// leakage.md L4: 80 psi supply, 60 psi reading, 0.040 in orifice with Cd 0.8: 0.6866 mm2 and 41.6 L/min; AC 43.13-1B dimensions.
TEST(LeakDown, GivesThePublishedAreaAndFlow) {
  const auto reply = run("leak-down", {}, {{"supply", "80 psi"}, {"reading", "75,60,74,-"}, {"orifice", "0.040 in"}});
  ASSERT_TRUE(reply) << to_string(reply.problems());
  const Document* cylinders = reply->document.find("cylinders");
  ASSERT_NE(cylinders, nullptr);
  ASSERT_EQ(cylinders->array().size(), 4U);
  const Document& second = cylinders->array()[1];
  EXPECT_NEAR(second.find("ratio")->number(), 1.05856, 1e-4);
  EXPECT_NEAR(second.find("leak_area_mm2")->number(), 0.6866, 0.002 * 0.6866);
  EXPECT_NEAR(second.find("flow_L_per_min")->number(), 41.6, 0.002 * 41.6);
  EXPECT_FALSE(second.find("suspect")->truth()) << "25 % exactly is not above 25 %";
  EXPECT_EQ(cylinders->array()[3].find("status")->text(), "not taken");
  EXPECT_EQ(reply->document.find("schema_version")->integer(), 1);
}

TEST(LeakDown, ListsEveryFaultyOption) {
  const auto reply = run("leak-down", {}, {{"supply", "80"}, {"reading", "75,x"}, {"orifice", "0.04"}});
  ASSERT_FALSE(reply);
  const std::string text = to_string(reply.problems());
  EXPECT_THAT(text, HasSubstr("--supply"));
  EXPECT_THAT(text, HasSubstr("--reading"));
  EXPECT_THAT(text, HasSubstr("--orifice"));
}

TEST(LeakDown, RefusesAReadingAboveTheSupplyInWords) {
  const auto reply = run("leak-down", {}, {{"supply", "80 psi"}, {"reading", "75,95"}, {"orifice", "0.040 in"}});
  ASSERT_FALSE(reply);
  EXPECT_THAT(to_string(reply.problems()), HasSubstr("cylinder 2"));
}

TEST(LeakDown, AJetCalibratesTheTesterSoThatALeakOfItsSizeReadsAsIt) {
  // A leak that reads like the jet is as large as the jet, whatever the tester's orifice: by definition of the calibration.
  const double jet_mm2 = 0.8 * 3.14159265358979 / 4;  // 1 mm hole, discharge 0.8
  for (const char* reading : {"60", "40", "72"}) {
    const auto reply = run("leak-down", {}, {{"supply", "80 psi"}, {"reading", reading}, {"jet", std::string("1 mm=") + reading}});
    ASSERT_TRUE(reply) << to_string(reply.problems());
    EXPECT_NEAR(reply->document.find("cylinders")->array().at(0).find("leak_area_mm2")->number(), jet_mm2, 1e-6);
  }
}

TEST(LeakDown, RefusesAJetWithoutAReadingAndTwoCalibrations) {
  for (const char* jet : {"1 mm", "1 mm=90", "hole=60", "-1 mm=60"})
    EXPECT_FALSE(run("leak-down", {}, {{"supply", "80 psi"}, {"reading", "60"}, {"jet", jet}})) << jet;
  EXPECT_FALSE(run("leak-down", {}, {{"supply", "80 psi"}, {"reading", "60"}, {"jet", "1 mm=60"}, {"area", "0.6 mm2"}}));
  EXPECT_FALSE(run("leak-down", {}, {{"supply", "80 psi"}, {"reading", "60"}, {"jet", "1 mm=60"}, {"orifice", "1 mm"}}));
}

TEST(Network, RefusesNothingToRead) { EXPECT_FALSE(run("network", {})); }

TEST(Flatness, DecidesAtTheLimitWithItsUncertainty) {
  const std::string square = "x_mm,y_mm,z_mm\n0,0,0.05\n400,0,-0.05\n400,150,0.05\n0,150,-0.05\n";
  const auto out = run("flatness", Document(square), {{"limit", "0.05 mm"}, {"uncertainty", "0.01 mm"}});
  ASSERT_TRUE(out);
  EXPECT_TRUE(out->answer_is_no);
  EXPECT_NEAR(out->document.find("minimum_zone")->find("FLTt_mm")->number(), 0.1, 1e-9);
  EXPECT_EQ(out->document.find("decision")->text(), "fail");
  const auto undecided = run("flatness", Document(square), {{"limit", "0.1 mm"}, {"uncertainty", "0.01 mm"}});
  EXPECT_EQ(undecided->document.find("decision")->text(), "undecided");
  const auto pass = run("flatness", Document(square), {{"limit", "0.2 mm"}, {"uncertainty", "0.01 mm"}});
  EXPECT_EQ(pass->document.find("decision")->text(), "pass");
  EXPECT_FALSE(run("flatness", Document("x_mm,y_mm,z_mm\n0,0,0\n1,1,0\n2,2,0\n"), {}));
}

TEST(Flatness, NamesTheContactPointsAsTheFileDoes) {
  const auto named = run("flatness", Document("point,x_mm,y_mm,z_mm\nA,0,0,0\nB,400,0,0\nC,400,150,0\nD,0,150,0\nE,200,75,0.1\n"));
  ASSERT_TRUE(named);
  EXPECT_EQ(named->document.find("minimum_zone")->find("upper_points")->array().front().text(), "E");
  const auto numbered = run("flatness", Document("x_mm,y_mm,z_mm\n0,0,0\n400,0,0\n400,150,0\n0,150,0\n200,75,0.1\n"));
  EXPECT_EQ(numbered->document.find("minimum_zone")->find("upper_points")->array().front().integer(), 5);
}

TEST(Finding, RefusesUnknownSignsWithTheNearestName) {
  const std::string text = problems_of("[signs]\nmilkey_oil = \"seen\"\nruns_hot = \"perhaps\"\nplug_washed = \"seen\"\n");
  EXPECT_THAT(text, HasSubstr("did you mean \"milky_oil\"?"));
  EXPECT_THAT(text, HasSubstr("absent, seen, void"));
  EXPECT_THAT(text, HasSubstr("plug_washed"));
  EXPECT_THAT(text, HasSubstr("job.toml:4"));
}

// US Army TM 5-4210-230-14&P-1 Addendum 2: the lowest at least 75 % of the highest. One bar of twelve is far below.
TEST(Compression, ADeadCylinderCountsOnceItWasTakenAgain) {
  const std::string dead = "[[reading]]\ntest = \"compression\"\nvalues = [\"12 bar\", \"12 bar\", \"12 bar\", \"1.0 bar\"]\n";
  const auto status = [](const Result<Reply>& reply) { return content_of<Compression>(*reply).cylinders.at(3).status; };
  EXPECT_THAT(status(run("compression", job(dead))), HasSubstr("take it again"));
  const auto twice = run("compression", job(dead + dead));
  EXPECT_THAT(status(twice), testing::Not(HasSubstr("not used")));
  EXPECT_LT(content_of<Compression>(*twice).lowest_over_highest, 0.1);
}

TEST(Finding, TakesAFaceTableWithOpenPlacesAndSemicolons) {
  const std::string table = "#open;3;4\\nx_mm;y_mm;z_mm\\n0;0;0,01\\n400;0;0\\n400;150;0\\n0;150;0\\n200;75;\\n";
  const auto reply = run("assess", job("[[face]]\npart = \"head\"\ntable = \"" + table + "\"\n"));
  ASSERT_TRUE(reply) << to_string(reply.problems());
  const Flatness& face = content_of<Assessment>(*reply).faces.at(0);
  EXPECT_EQ(face.points, 4);
  EXPECT_EQ(face.not_measured, 1);
}

TEST(Finding, RefusesAFaultyFaceTableWhereItStands) {
  const std::string text = problems_of("[[face]]\npart = \"head\"\ntable = \"x_mm,y_mm,z_mm\\n0,0,much\\n\"\n");
  EXPECT_THAT(text, HasSubstr("table line 2: \"much\" is not a number"));
  EXPECT_THAT(problems_of("[[face]]\npart = \"head\"\ntable = \"x,y,z\\n0,0,0\"\n"), HasSubstr("has no unit"));
  for (const char* table : {"", "x_mm,y_mm,z_mm\\nnan,inf,1e999", "x_mm,y_mm,z_mm\\n1,2,1e9", "x_kg,y_mm,z_mm\\n1,2,3"}) {
    EXPECT_FALSE(run("assess", job("[[face]]\npart = \"head\"\ntable = \"" + std::string(table) + "\"\n"))) << table;
  }
}

TEST(Finding, AVoidTestCountsAsNotDone) {
  const Finding without = finding_after("[signs]\nmilky_oil = \"absent\"\n");
  const Finding with = finding_after("[signs]\nmilky_oil = \"absent\"\ncolour_test = \"void\"\n");
  EXPECT_DOUBLE_EQ(with.joint_failed.value, without.joint_failed.value);
  EXPECT_EQ(with.not_counted.size(), 1U);
}

TEST(Finding, ReadingsThatAreNotTakenSayNothing) {
  const Finding nothing = finding_after("");
  const Finding blank = finding_after("[[reading]]\ntest = \"compression\"\nvalues = [\"\", \"\", \"\", \"\"]\n");
  EXPECT_DOUBLE_EQ(nothing.joint_failed.value, blank.joint_failed.value);
  EXPECT_THAT(nothing.sentence, HasSubstr("Nothing has been looked at yet"));
}

TEST(Finding, TheColourTestRaisesTheChanceStepByStep) {
  const double none = finding_after("[signs]\ncolour_test = \"none\"\n").joint_failed.value;
  const double unknown = finding_after("").joint_failed.value;
  const double partial = finding_after("[signs]\ncolour_test = \"partial\"\n").joint_failed.value;
  const double full = finding_after("[signs]\ncolour_test = \"full\"\n").joint_failed.value;
  EXPECT_LT(none, unknown);
  EXPECT_LT(unknown, partial);
  EXPECT_LT(partial, full);
}

TEST(Finding, NamesTheKindOfSealWhenTheCylinderIsNotClear) {
  const Finding finding = finding_after("[signs]\nruns_hot = \"seen\"\nbubbles = \"seen\"\n");
  EXPECT_THAT(finding.sentence, HasSubstr("gas into the coolant at some cylinder"));
  EXPECT_THAT(finding.sentence, HasSubstr("which one is not clear yet"));
  for (const Suspect& path : finding.paths) EXPECT_LE(path.chance.value, finding.joint_failed.value + 1e-9) << path.text;
}

TEST(Finding, MirroredCylindersMirrorTheFinding) {
  const Finding one = finding_after("[[reading]]\ntest = \"compression\"\nvalues = [\"12 bar\", \"12 bar\", \"9 bar\", \"9.1 bar\"]\n");
  const Finding other = finding_after("[[reading]]\ntest = \"compression\"\nvalues = [\"9.1 bar\", \"9 bar\", \"12 bar\", \"12 bar\"]\n");
  EXPECT_NEAR(one.joint_failed.value, other.joint_failed.value, 1e-10);
  EXPECT_EQ(one.paths.front().where, "3-4");
  EXPECT_EQ(other.paths.front().where, "1-2");
  EXPECT_NEAR(one.paths.front().chance.value, other.paths.front().chance.value, 1e-10);
}

TEST(Finding, TheSameReadingInAnotherUnitIsTheSameReading) {
  const Finding bar = finding_after(
      "[[reading]]\ntest = \"compression\"\nresolution = \"0.2 bar\"\nvalues = [\"12 bar\", \"12 bar\", \"9 bar\", \"12 bar\"]\n");
  const Finding kilopascal = finding_after(
      "[[reading]]\ntest = \"compression\"\nresolution = \"20 kPa\"\nvalues = [\"1200 kPa\", \"1200 kPa\", \"900 kPa\", \"1200 kPa\"]\n");
  EXPECT_NEAR(bar.joint_failed.value, kilopascal.joint_failed.value, 1e-12);
}

TEST(NextCheck, NeverOffersWhatIsKnownAndAlwaysNamesItsCost) {
  const auto reply = run("next-check", job("[signs]\ncoolant_lost = \"seen\"\npressure_hold = \"seen\"\n"));
  ASSERT_TRUE(reply);
  const auto& checks = content_of<NextCheckReply>(*reply).assessment.next_checks;
  ASSERT_FALSE(checks.empty());
  for (const NextCheck& check : checks) {
    EXPECT_NE(check.check, "pressure_hold");
    EXPECT_GE(check.value, 0);
    EXPECT_NEAR(check.net_value, check.value - check.cost, 1e-9);
    EXPECT_GT(check.net_value, 0);
    EXPECT_FALSE(check.why.empty());
  }
}

TEST(Finding, AReadingAndASignOfOneTestCountOnce) {
  const std::string reading = "[[reading]]\ntest = \"pressure_hold\"\nstart = \"1.0 bar\"\nend = \"0.4 bar\"\nduration = \"10 min\"\n";
  const Finding both = finding_after("[signs]\npressure_hold = \"seen\"\n" + reading);
  const Finding alone = finding_after(reading);
  EXPECT_NEAR(both.joint_failed.value, alone.joint_failed.value, 1e-12);
  ASSERT_EQ(both.not_counted.size(), 1U);
  EXPECT_THAT(both.not_counted.front(), HasSubstr("the reading of the same test counts"));
}

TEST(Finding, TheSameReadingTwiceIsOneReading) {
  const std::string reading = "[[reading]]\ntest = \"water_in_oil\"\nwater = \"0.5 %\"\n";
  const Finding once = finding_after(reading);
  const Finding twice = finding_after(reading + reading);
  EXPECT_NEAR(once.joint_failed.value, twice.joint_failed.value, 1e-12);
  EXPECT_THAT(twice.not_counted.front(), HasSubstr("earlier reading"));
}

TEST(Finding, ContradictorySignsAreAnsweredAndNamed) {
  const Finding finding = finding_after(
      "[signs]\nbubbles = \"absent\"\nhose_hard_early = \"absent\"\ncold_rise = \"absent\"\ngas_reading = \"absent\"\n"
      "colour_test = \"full\"\npressure_overnight = \"absent\"\n");
  EXPECT_EQ(finding.status, "done");
  ASSERT_FALSE(finding.conflicts.empty());
  EXPECT_EQ(finding.conflicts.front().sign, "colour_test");
}

TEST(Finding, NothingLookedAtIsSaidAndTheBestFirstChecksAreShown) {
  const Finding finding = finding_after("");
  EXPECT_THAT(finding.sentence, HasSubstr("Nothing has been looked at yet"));
}

TEST(Questions, FitTheEngine) {
  const auto names = [](const std::string& engine) {
    const auto reply = run("questions", toml("format = 1\n[engine]\nformat = 1\nname = \"x\"\n[engine.engine]\n" + engine));
    EXPECT_TRUE(reply) << to_string(reply.problems());
    std::string all;
    for (const Question& question : content_of<QuestionsReply>(*reply).questions) all += " " + question.name;
    return all + " ";
  };
  EXPECT_THAT(names("cylinders = 4\ncooling = \"liquid\"\n"), HasSubstr(" colour_test "));
  EXPECT_THAT(names("cylinders = 2\ncooling = \"air\"\n"), testing::Not(HasSubstr(" colour_test ")));
  EXPECT_THAT(names("cylinders = 4\n"), testing::Not(HasSubstr(" cylinder_leak ")));
  EXPECT_THAT(names("cylinders = 4\nfitted = [\"egr_cooler\"]\n"), HasSubstr(" egr_cooler_test "));
}

TEST(Check, TellsTheKindAndThePlace) {
  const auto engine = run("check", Document("format = 1\nname = \"x\"\n[engine]\ncylinders = 4\nboar = \"80 mm\"\n"));
  ASSERT_FALSE(engine);
  EXPECT_THAT(to_string(engine.problems()), HasSubstr("bore"));
  EXPECT_THAT(to_string(engine.problems()), HasSubstr("job.toml:5"));
  const auto sound = run("check", Document("format = 1\nname = \"x\"\n[engine]\ncylinders = 4\n"));
  ASSERT_TRUE(sound) << to_string(sound.problems());
  EXPECT_EQ(content_of<CheckReply>(*sound).kind, "engine");
}

TEST(New, WritesStartsThatReadBack) {
  for (const char* kind : {"engine", "job"}) {
    const auto start = run("new", Document(kind), {{"name", "a \"quoted\" name"}});
    ASSERT_TRUE(start) << kind;
    const auto checked = run("check", Document(content_of<NewReply>(*start).text));
    EXPECT_TRUE(checked) << kind << to_string(checked.problems());
  }
  EXPECT_FALSE(run("new", Document("boat")));
}

}  // namespace
}  // namespace headjoint::assess
