#pragma once

#include <compare>
#include <type_traits>

namespace headjoint {

/// Exponents of length, mass, time and temperature difference.
struct Dimension {
  int length = 0;
  int mass = 0;
  int time = 0;
  int temperature = 0;
  bool operator==(const Dimension&) const = default;
};

constexpr Dimension operator+(Dimension a, Dimension b) {
  return {a.length + b.length, a.mass + b.mass, a.time + b.time, a.temperature + b.temperature};
}
constexpr Dimension operator-(Dimension a, Dimension b) {
  return {a.length - b.length, a.mass - b.mass, a.time - b.time, a.temperature - b.temperature};
}

/// A number with its dimension, held in SI base units. No implicit construction: write from_si or parse a text.
template <Dimension D>
class Quantity {
 public:
  constexpr Quantity() = default;
  [[nodiscard]] static constexpr Quantity from_si(double value) { return Quantity(value); }

  [[nodiscard]] constexpr double si() const { return si_; }
  /// How many of `unit` this is.
  [[nodiscard]] constexpr double in(Quantity unit) const { return si_ / unit.si_; }

  constexpr auto operator<=>(const Quantity&) const = default;
  constexpr Quantity operator-() const { return Quantity(-si_); }
  constexpr Quantity& operator+=(Quantity other) { return *this = *this + other; }
  constexpr Quantity& operator-=(Quantity other) { return *this = *this - other; }

  friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.si_ + b.si_); }
  friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.si_ - b.si_); }
  friend constexpr Quantity operator*(double k, Quantity a) { return Quantity(k * a.si_); }
  friend constexpr Quantity operator*(Quantity a, double k) { return Quantity(a.si_ * k); }
  friend constexpr Quantity operator/(Quantity a, double k) { return Quantity(a.si_ / k); }

 private:
  explicit constexpr Quantity(double si) : si_(si) {}
  double si_ = 0;
};

/// A product or quotient; plain double when the dimensions cancel.
template <Dimension D>
constexpr auto quantity_or_number(double si) {
  if constexpr (D == Dimension{})
    return si;
  else
    return Quantity<D>::from_si(si);
}
template <Dimension A, Dimension B>
constexpr auto operator*(Quantity<A> a, Quantity<B> b) {
  return quantity_or_number<A + B>(a.si() * b.si());
}
template <Dimension A, Dimension B>
constexpr auto operator/(Quantity<A> a, Quantity<B> b) {
  return quantity_or_number<A - B>(a.si() / b.si());
}

using Length = Quantity<Dimension{.length = 1}>;
using Area = Quantity<Dimension{.length = 2}>;
using Volume = Quantity<Dimension{.length = 3}>;
using Mass = Quantity<Dimension{.mass = 1}>;
using Duration = Quantity<Dimension{.time = 1}>;
using Force = Quantity<Dimension{.length = 1, .mass = 1, .time = -2}>;
using Torque = Quantity<Dimension{.length = 2, .mass = 1, .time = -2}>;                ///< also energy: the name tells which
using Stress = Quantity<Dimension{.length = -1, .mass = 1, .time = -2}>;               ///< moduli, contact pressure, pressure differences
using LineLoad = Quantity<Dimension{.mass = 1, .time = -2}>;                           ///< N/m; also the stiffness of a spring
using FoundationStiffness = Quantity<Dimension{.length = -2, .mass = 1, .time = -2}>;  ///< N/m3
using VolumeFlow = Quantity<Dimension{.length = 3, .time = -1}>;
using MassFlow = Quantity<Dimension{.mass = 1, .time = -1}>;
using TemperatureDifference = Quantity<Dimension{.temperature = 1}>;
using Expansion = Quantity<Dimension{.temperature = -1}>;  ///< per kelvin

}  // namespace headjoint
