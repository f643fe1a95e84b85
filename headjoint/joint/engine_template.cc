#include <string>

#include "headjoint/base/document.h"
#include "headjoint/base/text.h"
#include "headjoint/joint/engine_file.h"

namespace headjoint::joint {
namespace {

constexpr const char* kAfterName =
    R"toml(# An engine file. Only format, name and [engine] must be there; take out what you do not know rather than guess.
# Every quantity stands in quotes with its unit: "80.0 mm", "3.150 in", "12 bar", "175 psi", "40 N.m", "30 lbf.ft".
# A figure may say where it comes from:
#   flatness_limit = { value = "0.05 mm", source = "workshop manual p. 12", status = "published" }   # measured | published | assumed
# Lines that begin with # do nothing until you take the # away. The engine maker's figures come first, always.

[engine]
cylinders = 4
layout = "inline"                 # inline | vee | flat | single
heads = "one"                     # one | per_bank | per_cylinder
fuel = "petrol"                   # petrol | diesel | gas
cooling = "liquid"                # liquid | air
# vee_angle = "90 deg"            # vee only
# firing_order = [1, 3, 4, 2]
# bore = "80.0 mm"
# stroke = "80.0 mm"
# rod_length = "140.0 mm"
# compression_ratio = 10.0
# intake_closes = "50 deg"        # after bottom dead centre
# exhaust_opens = "50 deg"        # before bottom dead centre
# cranking_speed = "250 rpm"
# peak_pressure = "80 bar"        # highest firing pressure
# expected_compression = "12 bar" # the maker's figure for a sound cylinder
# fitted = ["turbo"]              # egr_cooler, water_oil_cooler, turbo, wet_liners, wet_intake, pushrods, raw_water, internal_pump

# [chamber]                       # for the compression ratio after machining
# volume = "47.0 cm3"
# face_area = "5200 mm2"
# piston_dish = "3.0 cm3"         # a dome counts negative
# deck_clearance = "0.20 mm"      # piston below the deck; above counts negative

# [head]
# material = "aluminium"          # aluminium | cast_iron | compacted_iron | steel
# outline = [[0, 0], [430, 0], [430, 170], [0, 170]]   # mm from above, head on: x along the crank from the front, y from the left
# bending_thickness = "25 mm"
# height = "120.0 mm"
# least_height = "119.6 mm"
# removed_before = "0.10 mm"      # by an earlier cut
# flatness_limit = "0.05 mm"
# intake_face_lean = "10 deg"     # vee: of the manifold's face past square to the joint
# insert_protrusion = "0.3 mm"    # of a prechamber or an injector tip beyond the face
# dowel_hole_depth = "9 mm"       # in the head
# [[head.zone]]                   # a part that is stiffer or softer
# outline = [[0, 60], [430, 60], [430, 110], [0, 110]]
# bending_thickness = "40 mm"

# [block]
# rigid = true
# flatness_limit = "0.05 mm"
# deck_removed_before = "0.0 mm"
# dowel_height = "8 mm"           # of the dowels above the deck

# [[bore]]                        # one for each cylinder
# number = 1
# at = [65, 85]

# [[passage]]                     # one for each hole through the joint
# number = 1
# kind = "coolant"                # coolant | oil_pressure | oil_drain | pushrod | vent
# at = [32, 33]
# diameter = "9 mm"

# [gasket]
# kind = "multi_layer_steel"      # multi_layer_steel | composite | graphite | copper | steel_ring | rubber_coated_steel | none
# thickness = "1.20 mm"           # compressed
# bore = "82.0 mm"
# [gasket.fire_ring]
# inner_radius = "41 mm"
# outer_radius = "44 mm"
# stiffness = "300 N/mm3"         # or curve = [[0.0, 0.0], [0.05, 30.0]]: closure mm, pressure MPa
# least_line_load = "60 N/mm"
# [gasket.body]
# stiffness = "20 N/mm3"
# [gasket.bead]
# width = "2 mm"
# stiffness = "60 N/mm3"
# least_pressure = "1 MPa"

# [bolts]
# size = "M11x1.5"
# class = "10.9"
# grip = "120 mm"
# washer_diameter = "20 mm"
# length = "142 mm"               # under the head to the tip
# hole_depth = "30 mm"            # in the block, to where the bolt must not reach
# friction = [0.10, 0.14]
# at = [[15, 15], [115, 15]]      # numbered from 1; or "bolts.csv" beside this file with the columns x_mm, y_mm
# preload = "45 kN"

# [tightening]
# order = [1, 2]
# stages = [{ torque = "40 N.m" }, { angle = "90 deg" }]

# [cooling]
# volume = "6.0 L"
# cap = "1.1 bar"
# glycol = "ethylene 50 %"        # ethylene | propylene with its share by volume, or water
# thermostat_opens = "88 degC"

# [valves]
# drive = "overhead_cam"          # overhead_cam | pushrod
# hydraulic = false
# rocker_ratio = 1.5
# lifter_preload = "1.0 mm"       # of hydraulic lifters
# [valves.intake]                 # and the same for [valves.exhaust]
# angle = "0 deg"                 # between valve and cylinder axis
# gap_at_dead_centre = "2.2 mm"   # valve shut, piston at the top
# law = "3-4-5"                   # harmonic | cycloidal | 3-4-5 | 4-5-6-7; or lift = "lift.csv": crank_deg, lift_mm
# max_lift = "9.5 mm"
# duration = "250 deg"
# centre_angle = "110 deg"
# lash = "0.20 mm"
# lash_least = "0.17 mm"
# lash_most = "0.23 mm"
# recession = "0.8 mm"            # valve head below the head's face

# [cam_drive]
# kind = "chain"                  # chain | belt | gear
# crank_radius = "27.3 mm"        # of the pitch circle
# cam_radius = "54.5 mm"
# strand_angle = "4 deg"          # of the tight strand at the cam against the way the head sinks
# tensioner_reserve = "3 mm"      # that the tensioner can still take up

# [limits]                        # the maker's
# compression_least = "9.0 bar"
# compression_spread_most = "1.5 bar"
# leak_down_most = "15 %"
# compression_ratio_most = 10.2
# squish_least = "0.9 mm"
# valve_gap_least = "1.5 mm"
# cam_timing_most = "1.0 deg"     # at the cam
# valve_recession_least = "0.6 mm"
# manifold_shift_most = "0.15 mm"
# head_removed_most = "0.4 mm"
# deck_removed_most = "0.2 mm"
)toml";

}  // namespace

std::string engine_template(const std::string& name) {
  std::string plain(trimmed(name));
  std::erase_if(plain, [](char c) { return (c >= 0 && c < ' ') || c == '\x7f'; });
  if (plain.empty()) plain = "New engine";
  return "format = 1\nname = " + write_json(Document(plain), -1) + "\nnote = \"\"\n\n" + kAfterName;
}

}  // namespace headjoint::joint
