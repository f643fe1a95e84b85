#include "headjoint/units/quantity_text.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <optional>
#include <span>
#include <vector>

#include "headjoint/base/text.h"

namespace headjoint {
namespace {

struct Unit {
  const char* name;
  double factor;       ///< SI value of one unit
  double offset = 0;   ///< added after the factor (temperatures)
  bool listed = true;  ///< shown in messages; spelling variants are not
};

// Exact factors by definition (international inch, pound, standard gravity): NIST SP 811, appendix B, from memory, products recomputed.
constexpr double kInch = 0.0254;
constexpr double kPoundForce = 4.4482216152605;
constexpr double kPsi = kPoundForce / (kInch * kInch);
constexpr double kKilogramForce = 9.80665;
constexpr double kDegree = 3.14159265358979323846 / 180;
constexpr double kFahrenheit = 5.0 / 9.0;

constexpr Unit kLengths[] = {{"mm", 1e-3},
                             {"cm", 1e-2},
                             {"m", 1},
                             {"um", 1e-6},
                             {"µm", 1e-6, 0, false},
                             {"μm", 1e-6, 0, false},
                             {"micron", 1e-6, 0, false},
                             {"in", kInch},
                             {"inch", kInch, 0, false},
                             {"\"", kInch, 0, false},
                             {"thou", kInch / 1000},
                             {"mil", kInch / 1000, 0, false},
                             {"ft", 12 * kInch},
                             {"km", 1e3}};
constexpr Unit kAreas[] = {{"mm2", 1e-6}, {"mm²", 1e-6, 0, false}, {"cm2", 1e-4}, {"cm²", 1e-4, 0, false},
                           {"m2", 1},     {"in2", kInch* kInch}};
constexpr Unit kVolumes[] = {
    {"cm3", 1e-6}, {"cm³", 1e-6, 0, false},     {"cc", 1e-6}, {"ml", 1e-6}, {"mm3", 1e-9}, {"L", 1e-3}, {"l", 1e-3, 0, false},
    {"m3", 1},     {"in3", kInch* kInch* kInch}};
constexpr Unit kMasses[] = {{"kg", 1}, {"g", 1e-3}, {"lb", 0.45359237}};
constexpr Unit kDurations[] = {{"s", 1}, {"ms", 1e-3}, {"min", 60}, {"h", 3600}};
constexpr Unit kForces[] = {{"N", 1}, {"kN", 1e3}, {"lbf", kPoundForce}, {"kgf", kKilogramForce}};
constexpr Unit kTorques[] = {{"N.m", 1},
                             {"N·m", 1, 0, false},
                             {"Nm", 1, 0, false},
                             {"N m", 1, 0, false},
                             {"lbf.ft", kPoundForce * 12 * kInch},
                             {"lbf·ft", kPoundForce * 12 * kInch, 0, false},
                             {"lbf ft", kPoundForce * 12 * kInch, 0, false},
                             {"lb.ft", kPoundForce * 12 * kInch, 0, false},
                             {"ft.lb", kPoundForce * 12 * kInch, 0, false},
                             {"lbf.in", kPoundForce* kInch},
                             {"lbf·in", kPoundForce* kInch, 0, false},
                             {"kgf.m", kKilogramForce},
                             {"kgf·m", kKilogramForce, 0, false}};
constexpr Unit kStresses[] = {{"MPa", 1e6}, {"GPa", 1e9}, {"kPa", 1e3}, {"Pa", 1}, {"bar", 1e5}, {"N/mm2", 1e6}, {"N/mm²", 1e6, 0, false},
                              {"psi", kPsi}};
constexpr Unit kLineLoads[] = {{"N/mm", 1e3}, {"kN/mm", 1e6}, {"N/m", 1}, {"kN/m", 1e3}, {"lbf/in", kPoundForce / kInch}};
constexpr Unit kFoundations[] = {{"N/mm3", 1e9}, {"N/mm³", 1e9, 0, false}, {"MPa/mm", 1e9}, {"N/m3", 1}};
constexpr Unit kVolumeFlows[] = {
    {"L/min", 1e-3 / 60}, {"l/min", 1e-3 / 60, 0, false}, {"mL/min", 1e-6 / 60}, {"ml/min", 1e-6 / 60, 0, false}, {"m3/s", 1}};
constexpr Unit kMassFlows[] = {{"g/s", 1e-3}, {"kg/s", 1}};
constexpr Unit kDifferences[] = {{"K", 1}, {"degC", 1}, {"°C", 1, 0, false}, {"degF", kFahrenheit}, {"°F", kFahrenheit, 0, false}};
constexpr Unit kExpansions[] = {{"1/K", 1}, {"/K", 1, 0, false}, {"um/m.K", 1e-6}, {"ppm/K", 1e-6}};
constexpr Unit kTemperatures[] = {{"degC", 1, 273.15},
                                  {"°C", 1, 273.15, false},
                                  {"C", 1, 273.15, false},
                                  {"degF", kFahrenheit, 273.15 - 32 * kFahrenheit},
                                  {"°F", kFahrenheit, 273.15 - 32 * kFahrenheit, false},
                                  {"F", kFahrenheit, 273.15 - 32 * kFahrenheit, false},
                                  {"K", 1}};
constexpr Unit kGaugePressures[] = {{"bar", 1e5},
                                    {"bar gauge", 1e5, 0, false},
                                    {"mbar", 100},
                                    {"psi", kPsi},
                                    {"psi gauge", kPsi, 0, false},
                                    {"psig", kPsi, 0, false},
                                    {"kPa", 1e3},
                                    {"MPa", 1e6},
                                    {"Pa", 1},
                                    {"kgf/cm2", kKilogramForce * 1e4},
                                    {"kgf/cm²", kKilogramForce * 1e4, 0, false}};
constexpr Unit kAbsolutePressures[] = {{"bar", 1e5},  {"bar abs", 1e5, 0, false}, {"mbar", 100}, {"hPa", 100},
                                       {"psi", kPsi}, {"psia", kPsi, 0, false},   {"kPa", 1e3},  {"MPa", 1e6},
                                       {"Pa", 1}};
constexpr Unit kAngles[] = {{"deg", kDegree}, {"°", kDegree, 0, false}, {"rad", 1}, {"arcsec", kDegree / 3600}};
constexpr Unit kSpeeds[] = {{"rpm", 1}, {"1/min", 1, 0, false}, {"/min", 1, 0, false}};

template <class T>
struct Kind;
#define HEADJOINT_KIND(type, table, words, make, read)                     \
  template <>                                                              \
  struct Kind<type> {                                                      \
    static constexpr std::span<const Unit> units = table;                  \
    static constexpr const char* name = words;                             \
    static constexpr type from(double value) { return type::make(value); } \
    static constexpr double number(type value) { return value.read(); }    \
  };
HEADJOINT_KIND(Length, kLengths, "a length", from_si, si)
HEADJOINT_KIND(Area, kAreas, "an area", from_si, si)
HEADJOINT_KIND(Volume, kVolumes, "a volume", from_si, si)
HEADJOINT_KIND(Mass, kMasses, "a mass", from_si, si)
HEADJOINT_KIND(Duration, kDurations, "a time", from_si, si)
HEADJOINT_KIND(Force, kForces, "a force", from_si, si)
HEADJOINT_KIND(Torque, kTorques, "a torque", from_si, si)
HEADJOINT_KIND(Stress, kStresses, "a stress", from_si, si)
HEADJOINT_KIND(LineLoad, kLineLoads, "a force per length", from_si, si)
HEADJOINT_KIND(FoundationStiffness, kFoundations, "a pressure per closure", from_si, si)
HEADJOINT_KIND(VolumeFlow, kVolumeFlows, "a flow", from_si, si)
HEADJOINT_KIND(MassFlow, kMassFlows, "a mass flow", from_si, si)
HEADJOINT_KIND(TemperatureDifference, kDifferences, "a temperature difference", from_si, si)
HEADJOINT_KIND(Expansion, kExpansions, "an expansion", from_si, si)
HEADJOINT_KIND(Temperature, kTemperatures, "a temperature", from_kelvin, kelvin)
HEADJOINT_KIND(GaugePressure, kGaugePressures, "a gauge pressure", from_pascal, pascal)
HEADJOINT_KIND(AbsolutePressure, kAbsolutePressures, "an absolute pressure", from_pascal, pascal)
HEADJOINT_KIND(Angle, kAngles, "an angle", from_radians, radians)
HEADJOINT_KIND(Speed, kSpeeds, "a speed of rotation", from_rpm, rpm)
#undef HEADJOINT_KIND

std::string unit_list(std::span<const Unit> units) {
  std::string list;
  for (const Unit& unit : units)
    if (unit.listed) list += (list.empty() ? "" : ", ") + std::string(unit.name);
  return list;
}

const Unit* find_unit(std::span<const Unit> units, std::string_view name) {
  for (const Unit& unit : units)
    if (unit.name == name) return &unit;
  if (lower_case(name).ends_with("pa")) return nullptr;  // mPa and MPa are nine powers of ten apart
  const Unit* only = nullptr;                            // elsewhere capitals do not matter where just one unit fits
  for (const Unit& unit : units) {
    if (lower_case(unit.name) != lower_case(name)) continue;
    if (only != nullptr && only->factor != unit.factor) return nullptr;
    only = &unit;
  }
  return only;
}

/// "3/64" or "1 3/64", for inches.
std::optional<double> parse_fraction(std::string_view text) {
  const std::size_t slash = text.find('/');
  if (slash == std::string_view::npos) return std::nullopt;
  std::string_view above = trimmed(text.substr(0, slash));
  double whole = 0;
  if (const std::size_t blank = above.find(' '); blank != std::string_view::npos) {
    const auto number = parse_number(above.substr(0, blank));
    if (!number) return std::nullopt;
    whole = *number;
    above = trimmed(above.substr(blank));
  }
  const auto numerator = parse_number(above);
  const auto denominator = parse_number(text.substr(slash + 1));
  if (!numerator || !denominator || *denominator == 0 || *numerator < 0) return std::nullopt;
  return whole < 0 ? whole - *numerator / *denominator : whole + *numerator / *denominator;
}

/// Size of the last digit written: "12.10" -> 0.01, "250" -> 1, "1.5e3" -> 100.
double last_digit(std::string_view number) {
  int decimals = 0;
  bool after_point = false;
  for (const char c : number) {
    if (c == 'e' || c == 'E') break;
    if (c == '.' || c == ',')
      after_point = true;
    else if (after_point)
      ++decimals;
  }
  const std::size_t e = number.find_first_of("eE");
  const double exponent = e == std::string_view::npos ? 0 : parse_number(number.substr(e + 1)).value_or(0);
  return std::pow(10.0, exponent - decimals);
}

Problem refused(std::string what, std::string allowed = {}, std::string mend = {}) {
  return {{}, std::move(what), std::move(allowed), std::move(mend)};
}

struct Parsed {
  double si = 0;
  double step_si = 0;
};

Result<Parsed> parse_with(std::span<const Unit> units, const char* kind, std::string_view text) {
  const auto [number_part, unit_part] = split_number_and_unit(text);
  const std::string allowed = fmt::format("{} with one of the units {}", kind, unit_list(units));
  if (number_part.empty()) return refused(fmt::format("\"{}\" holds no number", text), allowed);
  std::optional<double> number = parse_number(number_part);
  const bool is_fraction = !number;
  if (!number) number = parse_fraction(number_part);
  if (!number)
    return refused(fmt::format("\"{}\" is not a number", number_part), allowed, "write 12.5 or 12,5, without marks between thousands");
  if (unit_part.empty()) return refused(fmt::format("\"{}\" has no unit", text), allowed);
  const Unit* unit = find_unit(units, unit_part);
  if (unit == nullptr) return refused(fmt::format("\"{}\" is not a unit for {}", unit_part, kind), allowed);
  const double si = *number * unit->factor + unit->offset;
  if (!std::isfinite(si) || std::abs(si) > 1e15) return refused(fmt::format("\"{}\" is too large to be true", text), allowed);
  return Parsed{si, is_fraction ? 0 : last_digit(number_part) * unit->factor};
}

}  // namespace

NumberAndUnit split_number_and_unit(std::string_view text) {
  text = trimmed(text);
  constexpr std::string_view kMinus = "\xE2\x88\x92";
  std::size_t at = 0;
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  while (at < text.size()) {
    const char c = text[at];
    const bool exponent =
        (c == 'e' || c == 'E') && at > 0 && is_digit(text[at - 1]) && at + 1 < text.size() &&
        (is_digit(text[at + 1]) || ((text[at + 1] == '-' || text[at + 1] == '+') && at + 2 < text.size() && is_digit(text[at + 2])));
    const bool blank_inside = c == ' ' && at + 1 < text.size() && is_digit(text[at + 1]) && at > 0 && is_digit(text[at - 1]);
    if (text.substr(at).starts_with(kMinus))
      at += kMinus.size();
    else if (exponent)
      at += 2;
    else if (c == '/' && (at + 1 >= text.size() || !is_digit(text[at + 1])))
      break;
    else if (is_digit(c) || c == '.' || c == ',' || c == '+' || c == '-' || c == '/' || blank_inside)
      ++at;
    else
      break;
  }
  return {std::string(trimmed(text.substr(0, at))), std::string(trimmed(text.substr(at)))};
}

template <class T>
Result<T> parse(std::string_view text) {
  const auto parsed = parse_with(Kind<T>::units, Kind<T>::name, text);
  if (!parsed) return parsed.problems();
  return Kind<T>::from(parsed->si);
}

template <class T>
Result<Typed<T>> parse_typed(std::string_view text) {
  const auto parsed = parse_with(Kind<T>::units, Kind<T>::name, text);
  if (!parsed) return parsed.problems();
  return Typed<T>{Kind<T>::from(parsed->si), std::string(trimmed(text)), parsed->step_si};
}

template <class T>
T unit_of(std::string_view unit) {
  const Unit* found = find_unit(Kind<T>::units, unit);
  require(found != nullptr && found->offset == 0, "unknown unit");
  return Kind<T>::from(found->factor);
}

template <class T>
std::string units_allowed() {
  return unit_list(Kind<T>::units);
}

#define HEADJOINT_INSTANTIATE(T)                              \
  template Result<T> parse<T>(std::string_view);              \
  template Result<Typed<T>> parse_typed<T>(std::string_view); \
  template T unit_of<T>(std::string_view);                    \
  template std::string units_allowed<T>();
HEADJOINT_INSTANTIATE(Length)
HEADJOINT_INSTANTIATE(Area)
HEADJOINT_INSTANTIATE(Volume)
HEADJOINT_INSTANTIATE(Mass)
HEADJOINT_INSTANTIATE(Duration)
HEADJOINT_INSTANTIATE(Force)
HEADJOINT_INSTANTIATE(Torque)
HEADJOINT_INSTANTIATE(Stress)
HEADJOINT_INSTANTIATE(LineLoad)
HEADJOINT_INSTANTIATE(FoundationStiffness)
HEADJOINT_INSTANTIATE(VolumeFlow)
HEADJOINT_INSTANTIATE(MassFlow)
HEADJOINT_INSTANTIATE(TemperatureDifference)
HEADJOINT_INSTANTIATE(Expansion)
HEADJOINT_INSTANTIATE(Temperature)
HEADJOINT_INSTANTIATE(GaugePressure)
HEADJOINT_INSTANTIATE(AbsolutePressure)
HEADJOINT_INSTANTIATE(Angle)
HEADJOINT_INSTANTIATE(Speed)
#undef HEADJOINT_INSTANTIATE

}  // namespace headjoint
