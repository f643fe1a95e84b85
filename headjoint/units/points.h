#pragma once

#include <compare>

#include "headjoint/units/quantity.h"

namespace headjoint {

/// A temperature on the scale. 90 degC is never 90 K.
class Temperature {
 public:
  constexpr Temperature() = default;
  [[nodiscard]] static constexpr Temperature from_kelvin(double value) { return Temperature(value); }
  [[nodiscard]] static constexpr Temperature from_celsius(double value) { return Temperature(value + 273.15); }
  [[nodiscard]] constexpr double kelvin() const { return kelvin_; }
  [[nodiscard]] constexpr double celsius() const { return kelvin_ - 273.15; }
  constexpr auto operator<=>(const Temperature&) const = default;
  friend constexpr TemperatureDifference operator-(Temperature a, Temperature b) {
    return TemperatureDifference::from_si(a.kelvin_ - b.kelvin_);
  }
  friend constexpr Temperature operator+(Temperature a, TemperatureDifference d) { return Temperature(a.kelvin_ + d.si()); }

 private:
  explicit constexpr Temperature(double kelvin) : kelvin_(kelvin) {}
  double kelvin_ = 293.15;
};

/// A pressure against vacuum.
class AbsolutePressure {
 public:
  constexpr AbsolutePressure() = default;
  [[nodiscard]] static constexpr AbsolutePressure from_pascal(double value) { return AbsolutePressure(value); }
  [[nodiscard]] constexpr double pascal() const { return pascal_; }
  [[nodiscard]] constexpr double bar() const { return pascal_ / 1e5; }
  constexpr auto operator<=>(const AbsolutePressure&) const = default;

 private:
  explicit constexpr AbsolutePressure(double pascal) : pascal_(pascal) {}
  double pascal_ = 101325;
};

/// A pressure against the air of the day, as a gauge shows it.
class GaugePressure {
 public:
  constexpr GaugePressure() = default;
  [[nodiscard]] static constexpr GaugePressure from_pascal(double value) { return GaugePressure(value); }
  [[nodiscard]] constexpr double pascal() const { return pascal_; }
  [[nodiscard]] constexpr double bar() const { return pascal_ / 1e5; }
  [[nodiscard]] constexpr AbsolutePressure absolute(AbsolutePressure ambient) const {
    return AbsolutePressure::from_pascal(pascal_ + ambient.pascal());
  }
  constexpr auto operator<=>(const GaugePressure&) const = default;

 private:
  explicit constexpr GaugePressure(double pascal) : pascal_(pascal) {}
  double pascal_ = 0;
};

/// A plane angle.
class Angle {
 public:
  constexpr Angle() = default;
  [[nodiscard]] static constexpr Angle from_radians(double value) { return Angle(value); }
  [[nodiscard]] static constexpr Angle from_degrees(double value) { return Angle(value * (kPi / 180)); }
  [[nodiscard]] constexpr double radians() const { return radians_; }
  [[nodiscard]] constexpr double degrees() const { return radians_ * (180 / kPi); }
  constexpr auto operator<=>(const Angle&) const = default;

 private:
  static constexpr double kPi = 3.14159265358979323846;
  explicit constexpr Angle(double radians) : radians_(radians) {}
  double radians_ = 0;
};

/// A rotational speed.
class Speed {
 public:
  constexpr Speed() = default;
  [[nodiscard]] static constexpr Speed from_rpm(double value) { return Speed(value); }
  [[nodiscard]] constexpr double rpm() const { return rpm_; }
  [[nodiscard]] constexpr double turns_per_second() const { return rpm_ / 60; }
  constexpr auto operator<=>(const Speed&) const = default;

 private:
  explicit constexpr Speed(double rpm) : rpm_(rpm) {}
  double rpm_ = 0;
};

}  // namespace headjoint
