#include "headjoint/joint/engine_file.h"

#include <gmock/gmock.h>

#include <string>
#include <vector>

#include "headjoint/base/file.h"

namespace headjoint::joint {
namespace {

using testing::HasSubstr;

const std::string kEngines = std::string(HEADJOINT_SOURCE_DIR) + "/data/engines/";
const std::vector<std::string> kShipped = {"marlow-16.toml", "hollin-d78.toml", "ostery-v30.toml"};
const std::string kLeast = "format = 1\nname = \"a\"\n[engine]\ncylinders = 4\n";

Result<Engine> read(const std::string& text) { return read_engine_text(text, "e.toml", nothing_beside()); }

/// Every problem of a text that must be refused.
Problems problems_of(const std::string& text) {
  const auto engine = read(text);
  EXPECT_FALSE(engine) << text;
  return engine.problems();
}

/// Every key of `a` is in `b` too, at the same place in the tree.
void expect_keys_kept(const Document& a, const Document& b, const std::string& path) {
  if (a.is_table()) {
    for (const auto& [key, member] : a.table()) {
      if (key == "value" && !b.is_table()) continue;
      const Document* twin = b.find(key);
      ASSERT_NE(twin, nullptr) << path << "/" << key;
      expect_keys_kept(member, *twin, path + "/" + key);
    }
  } else if (a.is_array()) {
    ASSERT_TRUE(b.is_array()) << path;
    ASSERT_EQ(a.array().size(), b.array().size()) << path;
    for (std::size_t i = 0; i < a.array().size(); ++i) expect_keys_kept(a.array()[i], b.array()[i], path + "/" + std::to_string(i));
  } else if (a.is_number()) {
    ASSERT_TRUE(b.is_number()) << path;
    EXPECT_EQ(a.number(), b.number()) << path;
  } else {
    EXPECT_EQ(a, b) << path;
  }
}

/// Every key an engine file may have.
constexpr const char* kEverything = R"toml(
format = 1
name = "everything"
note = "n"
[engine]
cylinders = 2
layout = "vee"
vee_angle = "90 deg"
heads = "per_cylinder"
fuel = "gas"
cooling = "air"
firing_order = [2, 1]
bore = "80.0 mm"
stroke = "3.15 in"
rod_length = "140 mm"
compression_ratio = 10.0
intake_closes = "50 deg"
exhaust_opens = "50 deg"
cranking_speed = "250 rpm"
peak_pressure = "80 bar"
expected_compression = "175 psi"
fitted = ["egr_cooler", "water_oil_cooler", "turbo", "wet_liners", "wet_intake", "pushrods", "raw_water", "internal_pump"]
[chamber]
volume = "47.0 cm3"
face_area = "5200 mm2"
piston_dish = "3.0 cm3"
deck_clearance = "-0.20 mm"
crevice = "0.5 cm3"
[head]
material = "aluminium"
youngs_modulus = "72 GPa"
poisson_ratio = { value = 0.33, source = "handbook", status = "published" }
expansion = "21 um/m.K"
yield = "200 MPa"
outline = [[0, 0], [430, 0], [430, 170], [0, 170]]
bending_thickness = "25 mm"
height = "120.0 mm"
least_height = "119.6 mm"
flatness_limit = { value = "0.05 mm", source = "workshop manual p. 12", status = "published" }
local_flatness_limit = "0.02 mm"
local_window = "100 mm"
roughness_limit = "1.2 um"
removed_before = "0.1 mm"
[[head.zone]]
outline = [[0, 60], [430, 60], [430, 110], [0, 110]]
bending_thickness = "40 mm"
[block]
rigid = false
material = "cast_iron"
youngs_modulus = "110 GPa"
poisson_ratio = 0.26
expansion = "11 um/m.K"
yield = "250 MPa"
bending_thickness = "60 mm"
deck_removed_before = "0.0 mm"
flatness_limit = "0.05 mm"
roughness_limit = "1.2 um"
liner_protrusion = "0.05 mm"
[[bore]]
number = 1
at = [65, 85]
head = 1
[[bore]]
number = 2
at = [65, 85]
head = 2
[[passage]]
number = 1
kind = "coolant"
at = [40, 20]
diameter = "9 mm"
head = 1
[[passage]]
number = 2
kind = "vent"
outline = [[1, 1], [5, 1], [5, 5]]
[gasket]
kind = "multi_layer_steel"
thickness = "1.20 mm"
bore = "82.0 mm"
[gasket.fire_ring]
inner_radius = "41 mm"
outer_radius = "44 mm"
stiffness = "300 N/mm3"
curve = [[0.0, 0.0], [0.05, 30.0]]
unloading = [[0.02, 0.0], [0.05, 30.0]]
least_line_load = "60 N/mm"
[gasket.body]
stiffness = "20 N/mm3"
curve = [[0.0, 0.0], [0.05, 3.0]]
unloading = [[0.02, 0.0], [0.05, 3.0]]
[gasket.bead]
width = "2 mm"
stiffness = "60 N/mm3"
curve = [[0.0, 0.0], [0.05, 6.0]]
unloading = [[0.02, 0.0], [0.05, 6.0]]
least_pressure = "1 MPa"
[[gasket.grade]]
mark = "A"
thickness = "1.60 mm"
protrusion_least = "0.758 mm"
protrusion_most = "0.813 mm"
[bolts]
size = "M11x1.5"
class = "10.9"
grip = "120 mm"
washer_diameter = "20 mm"
hole_diameter = "12 mm"
shank_diameter = "9 mm"
engaged_length = "22 mm"
stiffness = "250 kN/mm"
friction = [0.10, 0.14]
at = [[15, 15], [115, 15]]
preload = "45 kN"
single_use = true
wet_holes = true
[tightening]
order = [2, 1]
stages = [{ torque = "40 N.m", note = "oiled" }, { angle = "90 deg" }]
retighten = true
[cooling]
volume = "6.0 L"
cap = "1.1 bar"
glycol = "ethylene 50 %"
thermostat_opens = "88 degC"
fan_starts = "97 degC"
gauge_red = "118 degC"
[valves]
drive = "pushrod"
rocker_ratio = 1.5
hydraulic = true
pushrod_angle = "5 deg"
[valves.intake]
per_cylinder = 2
head_diameter = "30 mm"
angle = "16 deg"
recession = "0.5 mm"
gap_at_dead_centre = "2.6 mm"
law = "4-5-6-7"
max_lift = "9.0 mm"
duration = "246 deg"
centre_angle = "110 deg"
lift = [[0, 0], [123, 9.0], [246, 0]]
lash = "0.20 mm"
lash_least = "0.17 mm"
lash_most = "0.23 mm"
[valves.exhaust]
law = "harmonic"
[cam_drive]
kind = "chain"
pitch = "9.525 mm"
crank_teeth = 21
cam_teeth = 42
crank_radius = "31.95 mm"
cam_radius = "63.73 mm"
centre_distance = "410 mm"
strand_angle = "6 deg"
[limits]
compression_least = "9.5 bar"
compression_spread_most = "1.5 bar"
leak_down_most = "15 %"
compression_ratio_most = 10.2
squish_least = "0.9 mm"
squish_most = "1.5 mm"
valve_gap_least = "1.2 mm"
intake_gap_least = "1.2 mm"
exhaust_gap_least = "1.5 mm"
valve_recession_most = "1.0 mm"
cam_timing_most = "1.5 deg"
lifter_preload_least = "0.5 mm"
lifter_preload_most = "1.5 mm"
head_removed_most = "0.40 mm"
deck_removed_most = "0.20 mm"
liner_protrusion_least = "0.03 mm"
liner_protrusion_most = "0.13 mm"
liner_protrusion_spread_most = "0.05 mm"
)toml";

TEST(ReadEngine, NeedsOnlyFormatNameAndEngine) {
  const auto engine = read("format = 1\nname = \"bare\"\n[engine]\n");
  ASSERT_TRUE(engine) << to_string(engine.problems());
  EXPECT_EQ(engine->general.cylinders, 0);
  EXPECT_FALSE(engine->head);
  const Problems problems = problems_of("note = \"nothing else\"\n");
  EXPECT_EQ(problems.size(), 3U) << to_string(problems);
}

TEST(ReadEngine, KeepsEveryKeyThroughTheRoundTrip) {
  const auto document = read_toml(kEverything, "e.toml");
  ASSERT_TRUE(document) << to_string(document.problems());
  const auto engine = read_engine(*document, nothing_beside());
  ASSERT_TRUE(engine) << to_string(engine.problems());
  EXPECT_TRUE(engine.problems().empty()) << to_string(engine.problems());
  expect_keys_kept(*document, write_engine(*engine), "");
}

TEST(ReadEngine, ReadsTheShippedEnginesWithoutAWarningAndBackAgain) {
  for (const std::string& name : kShipped) {
    const auto document = read_toml(read_file(kEngines + name), name);
    ASSERT_TRUE(document) << to_string(document.problems());
    const auto engine = read_engine(*document, beside_file(kEngines + name));
    ASSERT_TRUE(engine) << to_string(engine.problems());
    EXPECT_TRUE(engine.problems().empty()) << to_string(engine.problems());
    const Document written = write_engine(*engine);
    expect_keys_kept(*document, written, name);
    const auto from_toml = read_engine_text(write_toml(written), "back", nothing_beside());
    const auto from_json = read_engine_text(write_json(written), "back", nothing_beside());
    ASSERT_TRUE(from_toml) << to_string(from_toml.problems());
    ASSERT_TRUE(from_json) << to_string(from_json.problems());
    EXPECT_EQ(write_engine(*from_toml), written);
    EXPECT_EQ(write_engine(*from_json), written);
  }
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
      {"bore = \"-80 mm\"\n", "20 mm to 1000 mm", 5},
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
