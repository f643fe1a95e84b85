#pragma once

#include <optional>
#include <string>
#include <string_view>

/// Units as they stand in the headers of logs, and what turns a column into the unit wanted.
namespace headjoint::traces {

enum class Quantity { kTime, kCurrent, kVoltage, kPressure, kSpeed, kTemperature, kRoadSpeed, kShare };

/// A unit written some way. Wanted units: s, A, V, bar, rpm, degC, km/h, %.
struct UnitWord {
  Quantity quantity;
  double factor;  ///< wanted = factor * number + offset
  double offset = 0;
};

/// @returns empty for a word that is no unit known here
[[nodiscard]] std::optional<UnitWord> unit_word(std::string_view text);

/// "s, ms, us, min, h" and so on, for messages.
[[nodiscard]] std::string units_of(Quantity quantity);

/// The wanted unit of a quantity: "A".
[[nodiscard]] std::string wanted_unit(Quantity quantity);

/// A header cell taken apart: "Current (mA)", "time_s", "I [A]", "p / bar" -> name and unit; unit "" when none stands there.
struct HeaderCell {
  std::string name;
  std::string unit;
};
[[nodiscard]] HeaderCell header_cell(std::string_view text);

/// "10 mV/A" or "100 A/V": how many of the wanted unit one volt stands for.
/// @returns empty when it is not a ratio of volts and that quantity
[[nodiscard]] std::optional<double> per_volt(std::string_view scale, Quantity quantity);

}  // namespace headjoint::traces
