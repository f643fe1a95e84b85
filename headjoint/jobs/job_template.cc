#include <string>

#include "headjoint/base/document.h"
#include "headjoint/base/text.h"
#include "headjoint/jobs/job_file.h"

namespace headjoint::jobs {
namespace {

constexpr const char* kAfterTitle = R"toml(opened = ""
owner = ""
mechanic = ""
head_off = false

# What is not written down here was not looked into. Quantities stand in quotes with their unit: "12.1 bar", "175 psi", "90 degC".
# To use an engine file instead of the table below, take out both [engine] tables and write above this line
#   engine = "../engines/my-engine.toml"       # relative to this file

[engine]
format = 1
name = "unknown engine"
[engine.engine]
cylinders = 4
layout = "inline"                # inline | vee | flat | single
fuel = "petrol"                  # petrol | diesel | gas

[history]
# mileage = "184000 km"          # or mi, or h
# outside_temperature = "4 degC"
# ambient_pressure = "1008 mbar"
facts = []                       # recent_head_work, recent_cooling_work, overheated_before, short_trips, winter, stop_leak_used,
                                 # frost, years_standing, boosted, old_coolant, high_mileage, raw_water
notes = ""

[signs]
# Coolant under pressure scalds: never open a hot cooling system.
# runs_hot = "seen"              # seen | absent; void = done, but worthless
# milky_oil = "absent"
# colour_test = "partial"        # a finding with grades has its own words
# plug_washed = { 2 = "absent", 3 = "seen" }                          # by cylinder
# air_at_neighbour = { "2-3" = "seen" }                               # by bridge, the lower number first
# white_smoke = { state = "seen", note = "only when cold" }

# [[reading]]                    # fuel and ignition disabled while cranking
# test = "compression"
# values = ["12.1 bar", "9.4 bar", "", "inaccessible"]                # cylinder 1 first; "" = not taken
# resolution = "0.2 bar"
# tool = ""
# engine = "warm"                # cold | warm | hot
# plugs = "all out"              # all out | one out
# throttle = "open"              # open | closed
# strokes = 6
# taken = ""
# note = ""
# void = "why this reading does not count"

# [[reading]]                    # compressed air can turn the crank: keep clear
# test = "leak_down"
# supply = "80 psi"
# orifice = "0.040 in"
# values = ["75 psi", "60 psi", "", ""]                               # the cylinder's gauge; or the loss in per cent: "12 %"
# resolution = "1 psi"
# piston = "top"                 # top | down

# [[reading]]                    # cooling system pumped up cold; `cold_rise` in the same way: idling from cold
# test = "pressure_hold"
# start = "1.0 bar"
# end = "0.9 bar"
# duration = "10 min"
# engine = "cold"

# [[reading]]                    # other tests: starter_current (values in per cent of the strongest pull; a recording adds
#                                # leaks = [{ area = "0.9 mm2", low = "0.6 mm2", high = "1.3 mm2" }, {}, ...]),
# test = "gas_in_coolant"        # water_in_oil (water = "0.2 %"), release_torque (head = 1, torques = ["85 N.m", ...])
# carbon_dioxide = "0.4 %"
# hydrocarbons_ppm = 120

# [closure]                      # at the end of the job
# verified = "head off"          # head off | pressure test | repair proved | not verified
# when = ""
# minutes = 640                  # hands on, all together
# note = ""
# [[closure.found]]              # nothing found: leave these out
# cause = "gas_to_neighbour"
# where = "2-3"

# [[face]]
# part = "head"                  # head | block
# head = 1
# points = "face.csv"            # columns x_mm, y_mm, z_mm; or table = the same text inside
# uncertainty = "0.01 mm"

# [cut]                          # for the machine shop: off the head's face, off the deck; gasket thickness when clamped
# head = "0.15 mm"
# deck = "0 mm"
# gasket = "1.20 mm"

# [[decision]]
# what = ""
# why = ""
# when = ""

# [strip_down]                   # with the head off, before anything is cleaned
# date = ""
# bolt_new_length = "120.0 mm"   # or bolt_longest = "121.5 mm", the maker's limit
# bolt_lengths = ["120.1 mm", "", "120.4 mm"]                         # bolt 1 first; "" = not measured
# gasket_side_up = "right"       # right | wrong
# liner_protrusions = ["0.05 mm", "0.06 mm"]                          # wet liners, cylinder 1 first

# [[seen]]
# part = "gasket"                # gasket | head | block | bolt | liner | piston | valve | other
# where = "2-3"                  # a cylinder "2", a bridge "2-3", "passage 4", "bolt 3", "head 1"; or at = [165, 85] on the plan
# kind = "burnt_track"           # sound | burnt_track | soot_track | coolant_track | oil_track | washed | polished | crack | corroded | ...
# note = ""

# [repair]
# date = ""
# gasket = ""
# bolts = "new"                  # new | measured | used
# done = ["head_skimmed", "deck_measured", "holes_cleaned", "tightened_as_asked", "system_flushed", "bled", "first_heat"]
# cured = ["thermostat"]         # causes put right, as the finding calls them
# warm_after = "8 min"           # first heat: until the thermostat opens, at idle
# settled = "88 degC"
# warranty = ""

# [proof_signs]                  # after the repair, as [signs]
# [[proof_reading]]              # after the repair, as [[reading]]
# test = "pressure_hold"
# start = "1.0 bar"
# end = "1.0 bar"
# duration = "10 min"

[workshop]
# hour_price = 60
# currency = ""
)toml";

}  // namespace

std::string job_template(const std::string& name) {
  std::string plain(trimmed(name));
  std::erase_if(plain, [](char c) { return (c >= 0 && c < ' ') || c == '\x7f'; });
  return "format = 1\nnumber = \"\"\ntitle = " + write_json(Document(plain), -1) + "\n" + kAfterTitle;
}

}  // namespace headjoint::jobs
