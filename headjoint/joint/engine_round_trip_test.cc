#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "headjoint/base/file.h"
#include "headjoint/joint/engine_file.h"

namespace headjoint::joint {
namespace {

const std::string kEngines = std::string(HEADJOINT_SOURCE_DIR) + "/data/engines/";
const std::vector<std::string> kShipped = {"marlow-16.toml", "hollin-d78.toml", "ostery-v30.toml"};

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
intake_face_lean = "10 deg"
insert_protrusion = "0.3 mm"
dowel_hole_depth = "9.0 mm"
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
dowel_height = "8.0 mm"
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
length = "145 mm"
hole_depth = "32 mm"
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
lifter_preload = "1.0 mm"
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
tensioner_reserve = "3 mm"
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
valve_recession_least = "0.6 mm"
insert_protrusion_most = "0.5 mm"
manifold_shift_most = "0.15 mm"
cam_timing_most = "1.5 deg"
lifter_preload_least = "0.5 mm"
lifter_preload_most = "1.5 mm"
head_removed_most = "0.40 mm"
deck_removed_most = "0.20 mm"
liner_protrusion_least = "0.03 mm"
liner_protrusion_most = "0.13 mm"
liner_protrusion_spread_most = "0.05 mm"
)toml";

TEST(EngineRoundTrip, KeepsEveryKeyThroughTheRoundTrip) {
  const auto document = read_toml(kEverything, "e.toml");
  ASSERT_TRUE(document) << to_string(document.problems());
  const auto engine = read_engine(*document, nothing_beside());
  ASSERT_TRUE(engine) << to_string(engine.problems());
  EXPECT_TRUE(engine.problems().empty()) << to_string(engine.problems());
  expect_keys_kept(*document, write_engine(*engine), "");
}

TEST(EngineRoundTrip, ReadsTheShippedEnginesWithoutAWarningAndBackAgain) {
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

}  // namespace
}  // namespace headjoint::joint
