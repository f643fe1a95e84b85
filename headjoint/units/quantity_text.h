#pragma once

#include <string>
#include <string_view>

#include "headjoint/base/result.h"
#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

namespace headjoint {

/// Reads one quantity with its unit: "0.05 mm", "2 thou", "3/64 in", "80 psi", "1,1 bar", "12.1bar", "90 degC", "−0.02 mm", "40 N.m".
///
/// Works for Length, Area, Volume, Mass, Duration, Force, Torque, Stress, LineLoad, FoundationStiffness, VolumeFlow, Expansion,
/// TemperatureDifference, Temperature, AbsolutePressure, GaugePressure, Angle and Speed. A unit is compulsory. For a gauge
/// pressure "bar" is gauge ("bar abs" refused); for an absolute pressure "bar" is absolute. Units are case-tolerant where that
/// cannot change the meaning (mm, Mm; never MPa, mPa).
///
/// @returns the value in SI, or what is wrong with the text and which units are allowed. Place is left empty for the caller.
template <class T>
[[nodiscard]] Result<T> parse(std::string_view text);

/// Factor to SI of a unit of that dimension: unit_of<Length>("thou") is 0.0254 mm.
/// @throws ContractError for an unknown unit (for code, not for users)
template <class T>
[[nodiscard]] T unit_of(std::string_view unit);

/// Units accepted for T, for messages: "mm, cm, m, um, in, thou".
template <class T>
[[nodiscard]] std::string units_allowed();

/// A quantity as typed: text, smallest step of the digits written ("12.10 bar" steps by 0.01 bar), value.
template <class T>
struct Typed {
  T value;
  std::string text;
  double step_si = 0;  ///< one unit of the last digit written, in SI; 0 when it was a fraction
};
template <class T>
[[nodiscard]] Result<Typed<T>> parse_typed(std::string_view text);

/// Splits "0.05 mm" into number and unit without judging them; unit is "" when there is none.
struct NumberAndUnit {
  std::string number;
  std::string unit;
};
[[nodiscard]] NumberAndUnit split_number_and_unit(std::string_view text);

}  // namespace headjoint
