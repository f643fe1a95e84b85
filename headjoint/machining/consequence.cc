#include "headjoint/machining/consequence.h"

#include <array>

namespace headjoint::machining {

const std::string& word_of(Matter matter) {
  static const std::array<std::string, 23> kWords = {"head_height",
                                                     "head_removed",
                                                     "deck_removed",
                                                     "compression_ratio",
                                                     "intake_closing_ratio",
                                                     "compression_end_temperature",
                                                     "squish",
                                                     "piston_protrusion",
                                                     "intake_valve_gap",
                                                     "exhaust_valve_gap",
                                                     "cam_timing",
                                                     "tensioner_take_up",
                                                     "intake_lash",
                                                     "exhaust_lash",
                                                     "lifter_preload",
                                                     "intake_face_cut",
                                                     "end_rail_cut",
                                                     "intake_valve_recession",
                                                     "exhaust_valve_recession",
                                                     "insert_protrusion",
                                                     "dowel_space",
                                                     "bolt_end_space",
                                                     "liner_protrusion"};
  return kWords.at(static_cast<std::size_t>(matter));
}

MatterUnit unit_of(Matter matter) {
  switch (matter) {
    case Matter::kCompressionRatio:
    case Matter::kIntakeClosingRatio:
      return MatterUnit::kNone;
    case Matter::kCamTiming:
      return MatterUnit::kDegree;
    case Matter::kCompressionEndTemperature:
      return MatterUnit::kCelsius;
    default:
      return MatterUnit::kMillimetre;
  }
}

const std::string& word_of(MatterUnit unit) {
  static const std::array<std::string, 4> kWords = {"", "mm", "deg", "degC"};
  return kWords.at(static_cast<std::size_t>(unit));
}

const std::string& word_of(Verdict verdict) {
  static const std::array<std::string, 6> kWords = {"not_run", "ok", "near_limit", "out_of_limit", "cannot_say", "no_limit"};
  return kWords.at(static_cast<std::size_t>(verdict));
}

}  // namespace headjoint::machining
