#include <fmt/format.h>

#include <map>

#include "headjoint/assess/crank_run.h"
#include "headjoint/assess/internal/reading_words.h"
#include "headjoint/assess/option_reader.h"
#include "headjoint/assess/placed_option.h"
#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/leakage/compression_repeat.h"

namespace headjoint::assess {
namespace {

using leakage::SpeedFinding;
using leakage::WetFinding;

std::string answer_of(WetFinding::Kind kind) {
  switch (kind) {
    case WetFinding::Kind::kNoRise:
      return "no rise";
    case WetFinding::Kind::kVolumeOnly:
      return "volume only";
    case WetFinding::Kind::kRings:
      return "rings";
    default:
      return "undecided";
  }
}

std::string answer_of(SpeedFinding::Kind kind) {
  switch (kind) {
    case SpeedFinding::Kind::kLeak:
      return "leak";
    case SpeedFinding::Kind::kLowByShape:
      return "low by shape";
    case SpeedFinding::Kind::kSound:
      return "sound";
    case SpeedFinding::Kind::kDisagrees:
      return "disagrees";
    default:
      return "undecided";
  }
}

class RepeatReader {
 public:
  RepeatReader(const joint::Engine& engine, const leakage::Cranking& cranking, const Request& request)
      : cylinders_(static_cast<std::size_t>(engine.general.cylinders)), cranking_(cranking), request_(request), options_(request) {}

  Result<std::vector<CompressionRepeat>> read() {
    try {
      read_wet();
      read_speeds();
    } catch (const InputError& error) {
      const bool is_speed = error.argument().find("crank") != std::string::npos || error.argument().find("speed") != std::string::npos;
      options_.refuse(error.argument() == "oil" ? "--oil" : is_speed ? "--two-speeds" : "--dry, --wet", error.what(), {});
    }
    if (has_errors(options_.problems())) return options_.problems();
    return std::move(repeats_);
  }

 private:
  std::optional<std::size_t> cylinder_of(const std::string& name, const PlacedValue& placed) {
    const auto found = cylinders_of_place(placed.place, cylinders_);
    if (found.size() == 1) return found.front();
    options_.refuse("--" + name, "needs one cylinder before the value, got \"" + placed.place + "\"", "as in 2=\"9.1 bar\"");
    return std::nullopt;
  }

  template <class T>
  std::optional<T> value_of(const std::string& name, std::string_view text) {
    const auto value = parse<T>(trimmed(text));
    if (value) return *value;
    for (Problem problem : value.problems()) {
      problem.place.pointer = "--" + name;
      options_.add({problem});
    }
    return std::nullopt;
  }

  std::map<std::size_t, GaugePressure> readings(const std::string& name) {
    std::map<std::size_t, GaugePressure> found;
    for (const PlacedValue& placed : placed_values(request_, name)) {
      const auto cylinder = cylinder_of(name, placed);
      const auto pressure = value_of<GaugePressure>(name, placed.value);
      if (cylinder && pressure) found[*cylinder] = *pressure;
    }
    return found;
  }

  void read_wet() {
    const auto dry = readings("dry"), wet = readings("wet");
    const auto oil = options_.positive<Volume>("oil");
    for (const auto& [cylinder, pressure] : wet) {
      const auto before = dry.find(cylinder);
      if (before == dry.end()) {
        options_.refuse("--dry", fmt::format("the dry reading of cylinder {} is missing", cylinder + 1),
                        fmt::format("--dry {}=\"9.1 bar\"", cylinder + 1));
        continue;
      }
      leakage::WetTest test{before->second, pressure};
      if (oil) test.oil = *oil;
      const WetFinding found = leakage::judge_wet_test(cranking_, test);
      repeats_.push_back({static_cast<int>(cylinder) + 1, "wet", answer_of(found.kind), found.note, mm2(found.sealed.area),
                          mm2(found.sealed.low), high_mm2(found.sealed), found.volume_alone.bar()});
    }
    if (!dry.empty() && wet.empty()) options_.refuse("--wet", "the readings with oil are missing", "--wet 2=\"10.6 bar\"");
  }

  /// "9.1 bar at 150 rpm"
  std::optional<std::pair<GaugePressure, Speed>> reading_at_speed(std::string_view text) {
    const std::size_t at = text.find(" at ");
    if (at == std::string_view::npos) {
      options_.refuse("--two-speeds", "\"" + std::string(text) + "\" does not say the speed", "9.1 bar at 150 rpm, 11.0 bar at 300 rpm");
      return std::nullopt;
    }
    const auto pressure = value_of<GaugePressure>("two-speeds", text.substr(0, at));
    const auto speed = value_of<Speed>("two-speeds", text.substr(at + 4));
    if (!pressure || !speed) return std::nullopt;
    return std::pair(*pressure, *speed);
  }

  void read_speeds() {
    for (const PlacedValue& placed : placed_values(request_, "two-speeds")) {
      const auto cylinder = cylinder_of("two-speeds", placed);
      const std::size_t comma = placed.value.find(", ");
      if (!cylinder) continue;
      if (comma == std::string::npos) {
        options_.refuse("--two-speeds", "needs two readings", "2=\"9.1 bar at 150 rpm, 11.0 bar at 300 rpm\"");
        continue;
      }
      auto slow = reading_at_speed(std::string_view(placed.value).substr(0, comma));
      auto fast = reading_at_speed(std::string_view(placed.value).substr(comma + 2));
      if (!slow || !fast) continue;
      if (slow->second > fast->second) std::swap(slow, fast);
      const SpeedFinding found = leakage::compare_speeds(cranking_, {slow->second, fast->second, slow->first, fast->first});
      repeats_.push_back({static_cast<int>(*cylinder) + 1, "two speeds", answer_of(found.kind), found.note, mm2(found.leak.area),
                          mm2(found.leak.low), high_mm2(found.leak), 0});
    }
  }

  std::size_t cylinders_;
  leakage::Cranking cranking_;
  const Request& request_;
  OptionReader options_;
  std::vector<CompressionRepeat> repeats_;
};

}  // namespace

Result<std::vector<CompressionRepeat>> judge_repeats(const joint::Engine& engine, const Request& request) {
  for (const OptionSpec& option : repeat_options()) {
    if (!request.options.contains(std::string(option.name))) continue;
    const auto cranking = cranking_of(engine);
    if (cranking) return RepeatReader(engine, *cranking, request).read();
    return Problem{{{}, 0, 0, "/engine"},
                   "a second test needs bore and stroke of the engine",
                   "bore = \"80.0 mm\", stroke = \"80.0 mm\"",
                   "put them under [engine] of the engine file"};
  }
  return std::vector<CompressionRepeat>{};
}

const std::vector<OptionSpec>& repeat_options() {
  static const std::vector<OptionSpec> options = {
      {"dry", "PRESSURE", "wet test, first reading: 2=\"9.1 bar\"", OptionKind::kList},
      {"wet", "PRESSURE", "the same with oil on the piston: 2=\"10.6 bar\"", OptionKind::kList},
      {"oil", "VOLUME", "how much oil; \"10 cm3\" when not given"},
      {"two-speeds", "READINGS", "one cylinder at two speeds: 2=\"9.1 bar at 150 rpm, 11.0 bar at 300 rpm\"", OptionKind::kList},
  };
  return options;
}

}  // namespace headjoint::assess
