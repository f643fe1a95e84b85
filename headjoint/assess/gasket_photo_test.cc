#include "headjoint/assess/gasket_photo.h"

#include <gmock/gmock.h>

#include "headjoint/assess/completeness.h"
#include "headjoint/base/file.h"
#include "headjoint/joint/engine_file.h"
#include "headjoint/photo/test_gasket.h"

namespace headjoint::assess {
namespace {

using testing::HasSubstr;
using testing::Not;

constexpr double kFlat_mm = 0.15;  // half a pixel of 0.44 mm, and the tenths that an engine file gives
constexpr double kTilted_mm = 0.3;

const std::vector<photo::test::Hole> kBores = {{{60, 85}, 82}, {{150, 85}, 82}, {{240, 85}, 82}};
const std::vector<photo::test::Hole> kBolts = {{{15, 15}, 12}, {{285, 15}, 12}, {{285, 155}, 12}, {{15, 155}, 12}};
const std::vector<photo::test::Hole> kPassages = {{{105, 20}, 9}, {{195, 150}, 6.5}};

photo::Photo coloured(const photo::GreyPicture& grey) {
  photo::Photo photo{grey.width, grey.height, {}};
  for (const float value : grey.value) photo.rgb.insert(photo.rgb.end(), 3, static_cast<std::uint8_t>(std::lround(value)));
  return photo;
}

photo::Photo photograph(const photo::test::Camera& camera) {
  photo::test::Scene scene;
  scene.width_mm = 300;
  for (const auto* list : {&kBores, &kBolts, &kPassages}) scene.holes.insert(scene.holes.end(), list->begin(), list->end());
  scene.noise = 3;
  return coloured(photo::test::photograph(scene, camera));
}

GasketTaps taps_on(const photo::test::Camera& camera) {
  GasketTaps taps;
  const auto add = [&](const std::vector<photo::test::Hole>& holes, const char* kind) {
    int number = 0;
    for (const auto& hole : holes)
      taps.circles.push_back({.number = ++number, .kind = kind, .tap = camera.see(hole.centre), .about = {}, .snap = true, .diameter = {}});
  };
  add(kBores, "bore");
  add(kBolts, "bolt");
  add(kPassages, "coolant");
  return taps;
}

photo::KnownDistance between(const photo::test::Camera& camera, photo::PlanPlace a, photo::PlanPlace b) {
  return {camera.see(a), camera.see(b), Length::from_si(std::hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm) / 1e3)};
}

Result<GasketTaps> read(const std::string& text) {
  const auto document = read_toml(text, "taps.toml");
  EXPECT_TRUE(document) << to_string(document.problems());
  return read_gasket_taps(*document);
}

std::string why(const std::string& text) {
  const auto taps = read(text);
  return taps ? "" : to_string(taps.problems());
}

TEST(GasketPhoto, AScanGivesThePlanAlongTheBores) {
  const photo::test::Camera camera{.turn = 0.06, .looks_at = {150, 85}};
  GasketTaps taps = taps_on(camera);
  taps.distances = {between(camera, {15, 15}, {285, 15}), between(camera, {15, 15}, {15, 155})};
  taps.outline = {camera.see({0, 0}), camera.see({300, 0}), camera.see({300, 170}), camera.see({0, 170})};
  const auto answer = measure_gasket(photograph(camera), taps);
  ASSERT_TRUE(answer) << to_string(answer.problems());
  EXPECT_EQ(answer->map_kind, "one scale");
  EXPECT_TRUE(answer->doubts.empty()) << answer->doubts.front();
  ASSERT_EQ(answer->engine.bores.size(), 3U);
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_NEAR(answer->engine.bores[i].at->x_mm, kBores[i].centre.x_mm, kFlat_mm) << "the scan lies crooked, the plan does not";
    EXPECT_NEAR(answer->engine.bores[i].at->y_mm, 85, kFlat_mm);
  }
  ASSERT_EQ(answer->engine.bolts->at.size(), 4U);
  EXPECT_NEAR(answer->engine.bolts->at[2].x_mm, 285, kFlat_mm);
  EXPECT_NEAR(answer->engine.bolts->at[2].y_mm, 155, kFlat_mm);
  EXPECT_NEAR(answer->engine.passages[1].diameter->value.si() * 1e3, 6.5, kFlat_mm);
  EXPECT_NEAR(answer->engine.gasket->bore->value.si() * 1e3, 82, kFlat_mm);
}

TEST(GasketPhoto, TheUndersideGivesTheMirroredPlan) {
  // Seen from below: the same picture with left and right exchanged.
  const photo::test::Camera camera{.looks_at = {150, 85}};
  photo::Photo picture = photograph(camera);
  photo::Photo mirrored = picture;
  for (int y = 0; y < picture.height; ++y) {
    for (int x = 0; x < picture.width; ++x) {
      for (int k = 0; k < 3; ++k)
        mirrored.rgb[static_cast<std::size_t>(3 * (y * picture.width + x) + k)] =
            picture.rgb[static_cast<std::size_t>(3 * (y * picture.width + picture.width - 1 - x) + k)];
    }
  }
  GasketTaps taps = taps_on(camera);
  taps.distances = {between(camera, {15, 15}, {285, 15})};
  taps.is_seen_from_below = true;
  const auto flip = [&](photo::PicturePoint& p) { p.x_px = picture.width - 1 - p.x_px; };
  for (auto& circle : taps.circles) flip(circle.tap);
  flip(taps.distances[0].from);
  flip(taps.distances[0].to);
  const auto answer = measure_gasket(mirrored, taps);
  ASSERT_TRUE(answer) << to_string(answer.problems());
  // The least corner is that of the bolt hole at 15, 15: 9, 9 from the outline's.
  EXPECT_NEAR(answer->engine.passages[0].at->x_mm, 105 - 9, kFlat_mm);
  EXPECT_NEAR(answer->engine.passages[0].at->y_mm, 20 - 9, kFlat_mm);
}

TEST(GasketPhoto, AtAnAngleFourBoltHolesGiveThePlan) {
  const photo::test::Camera camera{.tilt = 0.45, .heading = 1.9, .looks_at = {150, 85}};
  GasketTaps taps = taps_on(camera);
  for (const auto& bolt : kBolts) taps.points.push_back({camera.see(bolt.centre), bolt.centre});
  const auto answer = measure_gasket(photograph(camera), taps);
  ASSERT_TRUE(answer) << to_string(answer.problems());
  EXPECT_EQ(answer->map_kind, "perspective");
  for (const PhotoCircle& circle : answer->circles) {
    ASSERT_EQ(circle.status, "found") << circle.kind << circle.number;
    const auto& truth = circle.kind == "bore" ? kBores : circle.kind == "bolt" ? kBolts : kPassages;
    const auto& hole = truth[static_cast<std::size_t>(circle.number - 1)];
    EXPECT_NEAR(circle.at.x_mm, hole.centre.x_mm, kTilted_mm);
    EXPECT_NEAR(circle.at.y_mm, hole.centre.y_mm, kTilted_mm);
    EXPECT_NEAR(circle.diameter_mm, hole.diameter_mm, kTilted_mm);
    EXPECT_LT(std::abs(circle.diameter_mm - hole.diameter_mm), circle.uncertainty_mm);
  }
}

TEST(GasketPhoto, ItsLinesMakeAnEngineFileThatReads) {
  const photo::test::Camera camera{.looks_at = {150, 85}};
  GasketTaps taps = taps_on(camera);
  taps.distances = {between(camera, {15, 15}, {285, 15})};
  const auto answer = measure_gasket(photograph(camera), taps);
  ASSERT_TRUE(answer);
  const std::string file = "format = 1\nname = \"from a photograph\"\n[engine]\ncylinders = 3\n" + answer->engine_toml;
  const auto engine = joint::read_engine_text(file, "engine.toml", joint::nothing_beside());
  ASSERT_TRUE(engine) << to_string(engine.problems()) << file;
  EXPECT_EQ(engine->bores.size(), 3U);
  EXPECT_EQ(engine->passages.size(), 2U);
  EXPECT_EQ(engine->gasket->bore->source, "photograph of the gasket");
}

TEST(GasketPhoto, WhatIsPlacedByHandStaysWhereItWasPut) {
  const photo::test::Camera camera{.looks_at = {150, 85}};
  GasketTaps taps;
  taps.distances = {between(camera, {15, 15}, {285, 15})};
  taps.axes = {{camera.see({0, 0}), camera.see({100, 0})}};
  taps.circles = {
      {.number = 1, .kind = "vent", .tap = camera.see({120, 60}), .about = {}, .snap = false, .diameter = Length::from_si(0.004)}};
  const auto answer = measure_gasket(photograph(camera), taps);
  ASSERT_TRUE(answer);
  EXPECT_EQ(answer->circles[0].status, "placed by hand");
  EXPECT_NEAR(answer->circles[0].at.x_mm, 120, kFlat_mm);
  EXPECT_NEAR(answer->circles[0].diameter_mm, 4, kFlat_mm);
}

TEST(GasketPhoto, AWrongDistanceIsDoubted) {
  const photo::test::Camera camera{.looks_at = {150, 85}};
  GasketTaps taps = taps_on(camera);
  taps.distances = {between(camera, {15, 15}, {285, 15}), between(camera, {15, 15}, {15, 155})};
  taps.distances[1].distance = Length::from_si(0.128);
  const auto answer = measure_gasket(photograph(camera), taps);
  ASSERT_TRUE(answer);
  EXPECT_FALSE(answer->doubts.empty());
}

/// The picture that comes with the program, drawn by a script at places that its test knows: see tests/browser/gasket_picture.mjs.
TEST(GasketPhoto, TheShippedExampleReads) {
  const std::string folder = HEADJOINT_SOURCE_DIR "/data/photographs/";
  const auto taps = read(read_file(folder + "tarn-gasket-taps.toml"));
  ASSERT_TRUE(taps) << to_string(taps.problems());
  const auto picture = photo::read_photo(read_file(folder + "tarn-gasket.png"), "tarn-gasket.png");
  ASSERT_TRUE(picture) << to_string(picture.problems());
  const auto answer = measure_gasket(*picture, *taps);
  ASSERT_TRUE(answer) << to_string(answer.problems());
  EXPECT_EQ(answer->engine.bores.size(), 3U);
  EXPECT_NEAR(answer->engine.bores[1].at->x_mm, 146, kTilted_mm);
  EXPECT_NEAR(answer->engine.bores[1].at->y_mm, 80, kTilted_mm);
  EXPECT_NEAR(answer->engine.gasket->bore->value.si() * 1e3, 77, kTilted_mm);
  EXPECT_EQ(answer->engine.bolts->at.size(), 8U);
}

TEST(GasketTaps, TheTemplateReads) {
  const auto taps = read(gasket_taps_template("Marlow \"1.6\" <b>"));
  ASSERT_TRUE(taps) << to_string(taps.problems());
  EXPECT_EQ(taps->name, "Marlow \"1.6\" <b>");
  EXPECT_EQ(taps->circles.at(0).number, 1);
}

TEST(GasketTaps, NumbersFollowTheFileKindByKind) {
  const auto taps = read(
      "[[circle]]\nkind = \"bolt\"\ntap = [1, 2]\n[[circle]]\nkind = \"bore\"\ntap = [1, 2]\nnumber = 2\n[[circle]]\nkind = \"bore\"\ntap "
      "= [1, 2]\n");
  ASSERT_TRUE(taps);
  EXPECT_EQ(taps->circles[0].number, 1);
  EXPECT_EQ(taps->circles[2].number, 1) << "2 is taken";
}

TEST(GasketTaps, EveryFaultIsListedWithItsPlace) {
  const std::string text =
      why("seen_from = \"behind\"\n[[circle]]\nkind = \"boar\"\ntap = [1]\n[[known_distance]]\nfrom = [1, 2]\nto = [\"a\", 2]\ndistance = "
          "\"wide\"\n"
          "[[known_distance]]\nfrom = [1, 2]\nto = [3, 1e300]\ndistance = \"-5 mm\"\n[axis]\n");
  for (const char* part :
       {"taps.toml:3", "bore", "tap must be two numbers", "to must be two numbers", "distance", "out of range", "seen_from", "axes"})
    EXPECT_THAT(text, HasSubstr(part));
  EXPECT_THAT(why("[[circle]]\nkind = \"bore\"\ntap = [1, 2]\nnumber = 1\n[[circle]]\nkind = \"bore\"\ntap = [1, 2]\nnumber = 1\n"),
              HasSubstr("stands twice"));
  EXPECT_THAT(why("outline = [[1, 2], [3, 4]]\n"), HasSubstr("three corners"));
}

TEST(Completeness, ABareEngineCanDoLittleAndSaysWhatItNeeds) {
  const auto engine = joint::read_engine_text("format = 1\nname = \"bare\"\n[engine]\n", "bare.toml", joint::nothing_beside());
  ASSERT_TRUE(engine);
  const Completeness all = completeness_of(*engine);
  const auto needs = [&](const std::string& name) {
    for (const auto& one : all.calculations) {
      if (one.calculation == name) return one;
    }
    return CalculationNeeds{};
  };
  EXPECT_FALSE(needs("finding").can_run);
  EXPECT_FALSE(needs("compression").can_run);
  EXPECT_FALSE(needs("clamp").can_run);
  EXPECT_TRUE(needs("boiling").can_run);
  EXPECT_FALSE(needs("clamp").missing.empty());
  EXPECT_FALSE(needs("boiling").better_with.empty());
}

TEST(Completeness, TheShippedEngineCanDoEverything) {
  const auto engine = joint::read_engine_text(read_file(HEADJOINT_SOURCE_DIR "/data/engines/marlow-16.toml"), "marlow.toml",
                                              joint::beside_file(HEADJOINT_SOURCE_DIR "/data/engines/marlow-16.toml"));
  ASSERT_TRUE(engine) << to_string(engine.problems());
  for (const CalculationNeeds& needs : completeness_of(*engine).calculations)
    EXPECT_TRUE(needs.can_run) << needs.calculation << ": " << (needs.missing.empty() ? "" : needs.missing.front().key);
}

TEST(Completeness, WhatIsTakenAwayIsNamed) {
  auto engine = joint::read_engine_text(read_file(HEADJOINT_SOURCE_DIR "/data/engines/marlow-16.toml"), "marlow.toml",
                                        joint::beside_file(HEADJOINT_SOURCE_DIR "/data/engines/marlow-16.toml"));
  ASSERT_TRUE(engine);
  joint::Engine without = *engine;
  without.head->bending_thickness.reset();
  without.general.stroke.reset();
  std::string text;
  for (const CalculationNeeds& needs : completeness_of(without).calculations) {
    for (const auto& key : needs.missing) text += needs.calculation + ": " + key.key + "\n";
  }
  EXPECT_THAT(text, HasSubstr("clamp: bending_thickness in [head]"));
  EXPECT_THAT(text, HasSubstr("compression: stroke"));
  EXPECT_THAT(text, Not(HasSubstr("finding")));
}

}  // namespace
}  // namespace headjoint::assess
