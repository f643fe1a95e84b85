#include "headjoint/joint/engine_file.h"

#include <gmock/gmock.h>

#include <string>
#include <vector>

namespace headjoint::joint {
namespace {

using testing::HasSubstr;

const std::string kLeast = "format = 1\nname = \"a\"\n[engine]\ncylinders = 4\n";

Result<Engine> read(const std::string& text) { return read_engine_text(text, "e.toml", nothing_beside()); }

/// Every problem of a text that must be refused.
Problems problems_of(const std::string& text) {
  const auto engine = read(text);
  EXPECT_FALSE(engine) << text;
  return engine.problems();
}

TEST(ReadEngine, NeedsOnlyFormatNameAndEngine) {
  const auto engine = read("format = 1\nname = \"bare\"\n[engine]\n");
  ASSERT_TRUE(engine) << to_string(engine.problems());
  EXPECT_EQ(engine->general.cylinders, 0);
  EXPECT_FALSE(engine->head);
  const Problems problems = problems_of("note = \"nothing else\"\n");
  EXPECT_EQ(problems.size(), 3U) << to_string(problems);
}

TEST(ReadEngine, TakesAFigureBareOrWithItsOrigin) {
  const auto bare = read(kLeast + "[head]\nflatness_limit = \"0.05 mm\"\n");
  const auto full =
      read(kLeast + "[head]\nflatness_limit = { value = \"0.05 mm\", source = \"workshop manual p. 12\", status = \"published\" }\n");
  ASSERT_TRUE(bare) << to_string(bare.problems());
  ASSERT_TRUE(full) << to_string(full.problems());
  EXPECT_EQ(bare->head->flatness_limit->value, full->head->flatness_limit->value);
  EXPECT_DOUBLE_EQ(full->head->flatness_limit->value.si(), 5e-5);
  EXPECT_EQ(bare->head->flatness_limit->text, "0.05 mm");
  EXPECT_EQ(bare->head->flatness_limit->status, FigureStatus::kNotSaid);
  EXPECT_EQ(full->head->flatness_limit->status, FigureStatus::kPublished);
  EXPECT_EQ(full->head->flatness_limit->source, "workshop manual p. 12");
  EXPECT_EQ(full->head->flatness_limit->place.line, 6);
}

struct Refusal {
  const char* text;  ///< after kLeast
  const char* what;  ///< part of the problem
  int line;          ///< of the problem; kLeast has four lines
};

TEST(ReadEngine, RefusesWithPlaceRangeAndNearMiss) {
  const Refusal kRefusals[] = {
      {"boer = \"80 mm\"\n", "did you mean \"bore\"?", 5},
      {"bore = \"80 psi\"\n", "mm, cm, m", 5},
      {"bore = 80\n", "has no unit", 5},
      {"bore = \"-80 mm\"\n", "5 mm to 1000 mm", 5},
      {"bore = \"80\"\n", "no unit", 5},
      {"bore = [80]\n", "a list", 5},
      {"bore = { value = \"80 mm\", sauce = \"x\" }\n", "did you mean \"source\"?", 5},
      {"bore = { source = \"x\" }\n", "\"value\" is missing", 5},
      {"bore = { value = \"80 mm\", status = \"guessed\" }\n", "measured, published, assumed", 5},
      {"layout = \"inlien\"\n", "did you mean \"inline\"?", 5},
      {"heads = \"per_bank\"\n", "one bank", 5},
      {"fuel = 3\n", "petrol, diesel, gas", 5},
      {"compression_ratio = \"10\"\n", "without quotes", 5},
      {"compression_ratio = nan\n", "3 to 35", 5},
      {"compression_ratio = inf\n", "3 to 35", 5},
      {"firing_order = [1, 3, 4, 4]\n", "4 is there twice", 5},
      {"firing_order = [1, 3, 2]\n", "3 entries for 4 cylinders", 5},
      {"firing_order = [1, 3, 4, 5]\n", "it holds 5", 5},
      {"firing_order = [1, 3, 4, \"2\"]\n", "without quotes", 5},
      {"fitted = [\"turbos\"]\n", "did you mean \"turbo\"?", 5},
      {"vee_angle = \"90 deg\"\n", "layout is not vee", 5},
      {"stroke = \"80 mm\"\nrod_length = \"39 mm\"\n", "shorter than the crank", 6},
      {"[gaskit]\n", "did you mean \"gasket\"?", 5},
      {"[head]\nmaterial = \"aluminum\"\n", "did you mean \"aluminium\"?", 6},
      {"[head]\noutline = [[0, 0], [1, 1]]\n", "encloses no area", 6},
      {"[head]\noutline = [[0, 0], [nan, 1], [1, 1]]\n", "entry 2 of outline", 6},
      {"[head]\noutline = [[0, 0], [1e9, 1], [1, 1]]\n", "-10000 to 10000", 6},
      {"[[passage]]\nnumber = 1\nkind = \"vent\"\nat = [0, 0, 0]\n", "[x, y] in millimetres", 8},
      {"[[bore]]\nnumber = 1\nat = [65, 85]\n", "1 [[bore]] tables for 4 cylinders", 5},
      {"[bolts]\nat = [[1, 1], [1, 1]]\n", "bolts 1 and 2 stand at the same place", 6},
      {"[bolts]\nsize = \"eleven\"\n", "M11x1.5", 6},
      {"[bolts]\nclass = \"strong\"\n", "\"10.9\"", 6},
      {"[bolts]\nfriction = [0.2, 0.1]\n", "[least, most]", 6},
      {"[bolts]\nat = \"bolts.csv\"\n", "bolts.csv", 6},
      {"[bolts]\nat = [[1, 1], [9, 9]]\n[tightening]\norder = [1, 2, 3]\n", "3 entries for 2 bolts", 8},
      {"[tightening]\nstages = [{ note = \"x\" }]\n", "needs a torque or an angle", 6},
      {"[tightening]\nstages = [{ torque = \"40 Nmm\" }]\n", "N.m, lbf.ft", 6},
      {"[cooling]\nglycol = \"50 %\"\n", "ethylene 50 %", 6},
      {"[cooling]\ncap = \"11 bar\"\n", "0 bar to 4 bar", 6},
      {"[cooling]\nthermostat_opens = \"88 K\"\n", "30 degC to 120 degC", 6},
      {"[limits]\nleak_down_most = \"15\"\n", "unit %", 6},
      {"[limits]\nsquish_least = \"1.0 mm\"\nsquish_most = \"0.9 mm\"\n", "squish_most (0.9 mm) is below squish_least", 7},
      {"[gasket.fire_ring]\ninner_radius = \"44 mm\"\nouter_radius = \"41 mm\"\n", "not larger than inner_radius", 7},
      {"[gasket.body]\ncurve = [[0, 0], [0.1, 5], [0.05, 9]]\n", "does not rise", 6},
      {"[[passage]]\nnumber = 1\nkind = \"coolant\"\nat = [1, 1]\n", "needs `at` and `diameter`", 5},
      {"[[passage]]\nnumber = 1\nkind = \"coolent\"\nat = [1, 1]\ndiameter = \"9 mm\"\n", "did you mean \"coolant\"?", 7},
      {"[valves.intake]\nlift = [[0, 0], [10, 1], [5, 2]]\n", "crank angles do not rise", 6},
      {"[valves.intake]\nlift = [[0, 0], [120, 9], [200, 2.5]]\n", "does not close: the lift is still 2.5 mm at 200 deg", 6},
      {"[valves.intake]\nlift = [[0, 1], [120, 9], [240, 0]]\n", "does not begin shut", 6},
      {"[head]\noutline = [[0, 0], [430, 170], [430, 0], [0, 200]]\n", "crosses itself: side 1 and side 3", 6},
  };
  for (const Refusal& refusal : kRefusals) {
    const Problems problems = problems_of(kLeast + refusal.text);
    bool found = false;
    for (const Problem& problem : problems)
      found = found || (to_string(problem).find(refusal.what) != std::string::npos && problem.place.line == refusal.line &&
                        problem.place.column > 0);
    EXPECT_TRUE(found) << refusal.text << to_string(problems);
    EXPECT_EQ(problems.size(), 1U) << refusal.text << to_string(problems);
  }
}

TEST(ReadEngine, ListsAllProblemsAtOnceInOrder) {
  const Problems problems = problems_of("format = 2\nname = \"\"\n[engine]\ncylinders = 40\nbore = \"8 km\"\n[heat]\n");
  ASSERT_EQ(problems.size(), 5U) << to_string(problems);
}

TEST(ReadEngine, TakesTheNumberOfCylindersFromWhatElseIsSaid) {
  EXPECT_EQ(read("format = 1\nname = \"a\"\n[engine]\nfiring_order = [1, 2, 3]\n")->general.cylinders, 3);
  EXPECT_EQ(read("format = 1\nname = \"a\"\n[engine]\nlayout = \"single\"\n")->general.cylinders, 1);
  EXPECT_EQ(read("format = 1\nname = \"a\"\n[engine]\n[[bore]]\nnumber = 1\nat = [0, 0]\n")->general.cylinders, 1);
}

TEST(ReadEngine, ReadsListsFromFilesBeside) {
  const ReadBeside files = [](const std::string& path) -> std::string {
    if (path == "sub/bolts.csv") return "x_mm;y_mm\n15;15,5\n115;15\n";
    if (path == "bad.csv") return "x_mm,y_mm\n1,2\n1,two\n";
    if (path == "numbered.csv") return "number,x_mm,y_mm\n1,15,15.5\n2,115,15\n";
    if (path == "jumbled.csv") return "number,x_mm,y_mm\n2,15,15.5\n1,115,15\n";
    if (path == "other.csv") return "a,b\n1,2\n";
    throw EnvironmentError(EnvironmentError::Kind::kNoSuchFile, "no such file: " + path);
  };
  const auto read_with = [&](const std::string& name) { return read_engine_text(kLeast + "[bolts]\nat = \"" + name + "\"\n", "e", files); };
  const auto good = read_with("sub/bolts.csv");
  ASSERT_TRUE(good) << to_string(good.problems());
  ASSERT_EQ(good->bolts->at.size(), 2U);
  EXPECT_EQ(good->bolts->at[0], (PlanPoint{15, 15.5}));
  const auto bad = read_with("bad.csv");
  ASSERT_FALSE(bad);
  EXPECT_EQ(bad.problems()[0].place.source, "bad.csv");
  EXPECT_EQ(bad.problems()[0].place.line, 3);
  EXPECT_THAT(to_string(read_with("other.csv").problems()), HasSubstr("x_mm and y_mm"));
  EXPECT_EQ(read_with("numbered.csv")->bolts->at, good->bolts->at);
  EXPECT_THAT(to_string(read_with("jumbled.csv").problems()), HasSubstr("jumbled.csv:2:1: error: the numbers do not count up"));
  EXPECT_EQ(read_with("none.csv").problems()[0].place.line, 6);

  const auto document = read_toml(kLeast + "[bolts]\nat = \"sub/bolts.csv\"\n", "e");
  const auto inside = read_engine(with_lists_inside(*document, files), nothing_beside());
  ASSERT_TRUE(inside) << to_string(inside.problems());
  EXPECT_EQ(inside->bolts->at, good->bolts->at);
}

TEST(ReadEngine, UnderstandsThreadsAndGlycol) {
  const auto engine = read(kLeast + "[bolts]\nsize = \"7/16-14\"\n[cooling]\nglycol = \"propylene 33,5 %\"\n");
  ASSERT_TRUE(engine) << to_string(engine.problems());
  EXPECT_DOUBLE_EQ(engine->bolts->size->diameter.si(), 0.0254 * 7 / 16);
  EXPECT_DOUBLE_EQ(engine->bolts->size->pitch->si(), 0.0254 / 14);
  EXPECT_EQ(engine->cooling->glycol->kind, "propylene");
  EXPECT_DOUBLE_EQ(engine->cooling->glycol->fraction, 0.335);
  EXPECT_FALSE(read(kLeast + "[bolts]\nsize = \"M10\"\n")->bolts->size->pitch);
}

TEST(ReadEngine, RefusesBoresThatCannotBeTrue) {
  const std::string two = "format = 1\nname = \"a\"\n[engine]\nbore = \"80 mm\"\n[[bore]]\nnumber = 1\nat = [0, 0]\n[[bore]]\n";
  EXPECT_TRUE(read(two + "number = 2\nat = [90, 0]\n"));
  EXPECT_THAT(to_string(problems_of(two + "number = 2\nat = [79, 0]\n")), HasSubstr("e.toml:8:1: error: bores 1 and 2 overlap: 79 mm"));
  EXPECT_THAT(to_string(problems_of(two + "number = 1\nat = [90, 0]\n")), HasSubstr("bore 1 is given twice"));
  EXPECT_THAT(to_string(problems_of(two + "number = 3\nat = [90, 0]\n")), HasSubstr("bore 3 is no cylinder"));
  EXPECT_THAT(to_string(problems_of(two + "number = 2\n")), HasSubstr("some have none"));
  EXPECT_THAT(to_string(problems_of(two + "number = 2\nat = [90, 0]\nhead = 2\n")), HasSubstr("head 1 to 1"));
}

TEST(ReadEngine, WarnsOfAWordItDoesNotKnow) {
  const auto engine = read(kLeast + "fitted = [\"dry_sump\"]\n[head]\nmaterial = \"unobtainable\"\n");
  ASSERT_TRUE(engine) << to_string(engine.problems());
  EXPECT_EQ(engine.problems().size(), 2U) << to_string(engine.problems());
  EXPECT_EQ(engine->head->material.name, "unobtainable");
}

TEST(ReadEngine, WarnsOfARingTypedAsADiameter) {
  const auto engine = read(kLeast + "bore = \"80 mm\"\n[gasket.fire_ring]\ninner_radius = \"82 mm\"\n");
  ASSERT_TRUE(engine) << to_string(engine.problems());
  EXPECT_THAT(to_string(engine.problems()), HasSubstr("did you type a diameter?"));
}

TEST(WriteEngine, GivesAFigureWithoutTextItsUnit) {
  Engine engine;
  engine.name = "made by the program";
  engine.general.cylinders = 1;
  engine.general.bore = assumed(Length::from_si(0.0805));
  const auto back = read_engine(write_engine(engine), nothing_beside());
  ASSERT_TRUE(back) << to_string(back.problems());
  EXPECT_DOUBLE_EQ(back->general.bore->value.si(), 0.0805);
  EXPECT_EQ(back->general.bore->status, FigureStatus::kAssumed);
}

TEST(EngineTemplate, IsValidAsItStandsWhateverTheName) {
  for (const char* name : {"Marlow 1.6", "", "a \"quoted\" \\ name", "two\nlines", "\x01\x7f", "naïve é"}) {
    const auto engine = read(engine_template(name));
    EXPECT_TRUE(engine) << name << to_string(engine.problems());
  }
  EXPECT_EQ(read(engine_template("Marlow 1.6"))->name, "Marlow 1.6");
}

/// The commented lines of the template are an engine file too.
TEST(EngineTemplate, IsValidWithEveryCommentedKeyUncommented) {
  std::string text = engine_template("all");
  std::string open;
  std::size_t start = 0;
  while (start < text.size()) {
    const std::size_t end = std::min(text.find('\n', start), text.size());
    std::string line = text.substr(start, end - start);
    const bool is_key = line.starts_with("# [") || (line.starts_with("# ") && line.find(" = ") != std::string::npos);
    if (is_key && !line.starts_with("#  ") && line.find("vee_angle") == std::string::npos) line = line.substr(2);
    if (line.starts_with("[[bore]]")) line = "[bore_example]";
    open += line + "\n";
    start = end + 1;
  }
  const Problems problems = problems_of(open);  // only the renamed table is wrong: four bores would be needed
  ASSERT_EQ(problems.size(), 1U) << to_string(problems);
  EXPECT_THAT(problems[0].what, HasSubstr("bore_example"));
}

}  // namespace
}  // namespace headjoint::joint
