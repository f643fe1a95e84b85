#pragma once

#include <gtest/gtest.h>

#include <string>

#include "headjoint/joint/engine_file.h"
#include "headjoint/units/quantity_text.h"

/// Lengths as tests write them, and an engine of round figures.
namespace headjoint::machining {

inline Length mm(double value) { return value * headjoint::unit_of<Length>("mm"); }
inline Volume cm3(double value) { return value * headjoint::unit_of<Volume>("cm3"); }
inline Area mm2(double value) { return value * headjoint::unit_of<Area>("mm2"); }
inline Angle deg(double value) { return Angle::from_degrees(value); }
inline double in_mm(Length length) { return length.si() * 1e3; }

/// A four of 86 x 86 mm with rod 143, gasket 0.70 mm of 87 mm bore, deck clearance 0.20, dish 3.0 cm3, chamber 47.0 cm3 open over 5200 mm2.
inline const char* kSquareFour = R"toml(
format = 1
name = "square four"
[engine]
cylinders = 4
fuel = "petrol"
bore = "86 mm"
stroke = "86 mm"
rod_length = "143 mm"
intake_closes = "50 deg"
[chamber]
volume = "47.0 cm3"
face_area = "5200 mm2"
piston_dish = "3.0 cm3"
deck_clearance = "0.20 mm"
[head]
height = "120.0 mm"
least_height = "119.6 mm"
dowel_hole_depth = "9.0 mm"
[block]
dowel_height = "8.6 mm"
[gasket]
thickness = "0.70 mm"
bore = "87 mm"
[bolts]
size = "M10"
length = "140 mm"
grip = "121 mm"
hole_depth = "21 mm"
[valves]
drive = "overhead_cam"
hydraulic = false
[valves.intake]
gap_at_dead_centre = "2.2 mm"
law = "3-4-5"
max_lift = "9.5 mm"
duration = "250 deg"
centre_angle = "110 deg"
lash = "0.20 mm"
lash_least = "0.17 mm"
lash_most = "0.23 mm"
[valves.exhaust]
gap_at_dead_centre = "2.2 mm"
law = "3-4-5"
max_lift = "9.0 mm"
duration = "248 deg"
centre_angle = "112 deg"
lash = "0.30 mm"
[cam_drive]
kind = "belt"
crank_radius = "28.6 mm"
cam_radius = "57.3 mm"
centre_distance = "350 mm"
[limits]
compression_ratio_most = 10.4
squish_least = "0.80 mm"
valve_gap_least = "1.5 mm"
cam_timing_most = "0.5 deg"
head_removed_most = "0.40 mm"
)toml";

inline joint::Engine engine_of(const std::string& text) {
  const auto engine = joint::read_engine_text(text, "test.toml", joint::nothing_beside());
  EXPECT_TRUE(engine) << to_string(engine.problems());
  return engine ? *engine : joint::Engine{};
}

/// The text with one line replaced; `line` without its end.
inline std::string with_line(std::string text, const std::string& line, const std::string& other) {
  const std::size_t at = text.find("\n" + line + "\n");
  EXPECT_NE(at, std::string::npos) << line;
  if (at != std::string::npos) text.replace(at + 1, line.size(), other);
  return text;
}

}  // namespace headjoint::machining
