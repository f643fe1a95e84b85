#include "headjoint/traces/internal/unit_words.h"

#include <array>
#include <utility>

#include "headjoint/base/text.h"

namespace headjoint::traces {
namespace {

struct Entry {
  std::string_view word;
  UnitWord unit;
};

constexpr std::array kExact{
    Entry{"mV", {Quantity::kVoltage, 1e-3}},
    Entry{"MPa", {Quantity::kPressure, 10}},
    Entry{"A", {Quantity::kCurrent, 1}},
    Entry{"C", {Quantity::kTemperature, 1}},
    Entry{"K", {Quantity::kTemperature, 1, -273.15}},
    Entry{"F", {Quantity::kTemperature, 5.0 / 9, -160.0 / 9}},
};
constexpr std::array kAnyCase{
    Entry{"s", {Quantity::kTime, 1}},
    Entry{"sec", {Quantity::kTime, 1}},
    Entry{"second", {Quantity::kTime, 1}},
    Entry{"seconds", {Quantity::kTime, 1}},
    Entry{"ms", {Quantity::kTime, 1e-3}},
    Entry{"us", {Quantity::kTime, 1e-6}},
    Entry{"µs", {Quantity::kTime, 1e-6}},
    Entry{"μs", {Quantity::kTime, 1e-6}},
    Entry{"min", {Quantity::kTime, 60}},
    Entry{"h", {Quantity::kTime, 3600}},
    Entry{"a", {Quantity::kCurrent, 1}},
    Entry{"amp", {Quantity::kCurrent, 1}},
    Entry{"amps", {Quantity::kCurrent, 1}},
    Entry{"ampere", {Quantity::kCurrent, 1}},
    Entry{"ma", {Quantity::kCurrent, 1e-3}},
    Entry{"ka", {Quantity::kCurrent, 1e3}},
    Entry{"v", {Quantity::kVoltage, 1}},
    Entry{"volt", {Quantity::kVoltage, 1}},
    Entry{"volts", {Quantity::kVoltage, 1}},
    Entry{"mv", {Quantity::kVoltage, 1e-3}},
    Entry{"bar", {Quantity::kPressure, 1}},
    Entry{"mbar", {Quantity::kPressure, 1e-3}},
    Entry{"kpa", {Quantity::kPressure, 1e-2}},
    Entry{"hpa", {Quantity::kPressure, 1e-3}},
    Entry{"pa", {Quantity::kPressure, 1e-5}},
    Entry{"psi", {Quantity::kPressure, 0.06894757}},
    Entry{"rpm", {Quantity::kSpeed, 1}},
    Entry{"1/min", {Quantity::kSpeed, 1}},
    Entry{"min-1", {Quantity::kSpeed, 1}},
    Entry{"u/min", {Quantity::kSpeed, 1}},
    Entry{"degc", {Quantity::kTemperature, 1}},
    Entry{"°c", {Quantity::kTemperature, 1}},
    Entry{"celsius", {Quantity::kTemperature, 1}},
    Entry{"degf", {Quantity::kTemperature, 5.0 / 9, -160.0 / 9}},
    Entry{"°f", {Quantity::kTemperature, 5.0 / 9, -160.0 / 9}},
    Entry{"fahrenheit", {Quantity::kTemperature, 5.0 / 9, -160.0 / 9}},
    Entry{"km/h", {Quantity::kRoadSpeed, 1}},
    Entry{"kph", {Quantity::kRoadSpeed, 1}},
    Entry{"kmh", {Quantity::kRoadSpeed, 1}},
    Entry{"mph", {Quantity::kRoadSpeed, 1.609344}},
    Entry{"%", {Quantity::kShare, 1}},
    Entry{"percent", {Quantity::kShare, 1}},
};

/// "Current A": a last word that is a unit; a lone word stays a name.
std::optional<HeaderCell> ends_in_unit(std::string_view text, char before) {
  const std::size_t at = text.rfind(before);
  if (at == std::string_view::npos || at == 0) return std::nullopt;
  const std::string_view unit = trimmed(text.substr(at + 1));
  if (!unit_word(unit)) return std::nullopt;
  return HeaderCell{std::string(trimmed(text.substr(0, at))), std::string(unit)};
}

std::optional<HeaderCell> bracketed(std::string_view text, char open, char close) {
  const std::size_t from = text.rfind(open), to = text.rfind(close);
  if (from == std::string_view::npos || to == std::string_view::npos || to < from) return std::nullopt;
  return HeaderCell{std::string(trimmed(text.substr(0, from))), std::string(trimmed(text.substr(from + 1, to - from - 1)))};
}

}  // namespace

std::optional<UnitWord> unit_word(std::string_view text) {
  text = trimmed(text);
  for (const Entry& entry : kExact)
    if (entry.word == text) return entry.unit;
  const std::string lower = lower_case(text);
  for (const Entry& entry : kAnyCase)
    if (entry.word == lower) return entry.unit;
  return std::nullopt;
}

std::string units_of(Quantity quantity) {
  switch (quantity) {
    case Quantity::kTime:
      return "s, ms, us, min, h";
    case Quantity::kCurrent:
      return "A, mA";
    case Quantity::kVoltage:
      return "V, mV";
    case Quantity::kPressure:
      return "bar, mbar, kPa, psi";
    case Quantity::kSpeed:
      return "rpm, 1/min";
    case Quantity::kTemperature:
      return "degC, degF, K";
    case Quantity::kRoadSpeed:
      return "km/h, mph";
    case Quantity::kShare:
      return "%";
  }
  return {};
}

std::string wanted_unit(Quantity quantity) {
  switch (quantity) {
    case Quantity::kTime:
      return "s";
    case Quantity::kCurrent:
      return "A";
    case Quantity::kVoltage:
      return "V";
    case Quantity::kPressure:
      return "bar";
    case Quantity::kSpeed:
      return "rpm";
    case Quantity::kTemperature:
      return "degC";
    case Quantity::kRoadSpeed:
      return "km/h";
    case Quantity::kShare:
      return "%";
  }
  return {};
}

HeaderCell header_cell(std::string_view text) {
  text = trimmed(text);
  if (text.size() >= 2 && text.front() == '"' && text.back() == '"') text = trimmed(text.substr(1, text.size() - 2));
  for (const auto& [open, close] : {std::pair{'(', ')'}, std::pair{'[', ']'}})
    if (auto cell = bracketed(text, open, close)) return *cell;
  for (const char before : {'_', ' ', '/'})
    if (auto cell = ends_in_unit(text, before)) return *cell;
  return {std::string(text), {}};
}

std::optional<double> per_volt(std::string_view scale, Quantity quantity) {
  const std::size_t slash = scale.find('/');
  if (slash == std::string_view::npos) return std::nullopt;
  std::string_view above = trimmed(scale.substr(0, slash));
  std::size_t digits = above.find_last_of("0123456789");
  if (digits == std::string_view::npos) return std::nullopt;
  const auto number = parse_number(trimmed(above.substr(0, digits + 1)));
  const auto upper = unit_word(above.substr(digits + 1)), lower = unit_word(scale.substr(slash + 1));
  if (!number || !(*number > 0) || !upper || !lower) return std::nullopt;
  const double above_value = *number * upper->factor;
  if (upper->quantity == quantity && lower->quantity == Quantity::kVoltage) return above_value / lower->factor;
  if (upper->quantity == Quantity::kVoltage && lower->quantity == quantity) return lower->factor / above_value;
  return std::nullopt;
}

}  // namespace headjoint::traces
