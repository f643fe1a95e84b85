#pragma once

/// The saturation line in SI doubles, without range checks.
namespace headjoint::coolant {

[[nodiscard]] double saturation_pascal(double kelvin);
[[nodiscard]] double saturation_kelvin(double pascal);

}  // namespace headjoint::coolant
