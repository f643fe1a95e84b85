#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <vector>

#include "headjoint/joint/engine.h"
#include "headjoint/machining/consequences.h"

namespace headjoint::machining {

/// Every figure a consequence may rest on.
enum class Ingredient : std::size_t {
  kBore,
  kStroke,
  kRodLength,
  kRatioStated,
  kIntakeCloses,
  kChamberVolume,
  kFaceArea,
  kPistonDish,
  kDeckClearance,
  kCrevice,
  kGasketBore,
  kGasketBefore,
  kHeadHeight,
  kHeadRemovedBefore,
  kDeckRemovedBefore,
  kIntakeAngle,
  kIntakeGap,
  kIntakeLift,
  kIntakeDuration,
  kIntakeCentre,
  kIntakeLash,
  kIntakeRecession,
  kExhaustAngle,
  kExhaustGap,
  kExhaustLift,
  kExhaustDuration,
  kExhaustCentre,
  kExhaustLash,
  kExhaustRecession,
  kRockerRatio,
  kPushrodAngle,
  kLifterPreload,
  kCrankRadius,
  kCamRadius,
  kCentreDistance,
  kStrandAngle,
  kVeeAngle,
  kFaceLean,
  kInsertProtrusion,
  kDowelHole,
  kDowelHeight,
  kBoltLength,
  kBoltGrip,
  kBoltHole,
  kLinerProtrusion,
  kPistonProtrusion,
  kHeadCut,
  kDeckCut,
  kGasketAfter,
  kCount,
};

/// One number for each ingredient, in SI units and radians.
class Values {
 public:
  [[nodiscard]] double operator[](Ingredient i) const { return numbers_[static_cast<std::size_t>(i)]; }
  [[nodiscard]] double& operator[](Ingredient i) { return numbers_[static_cast<std::size_t>(i)]; }

  /// How much nearer the head comes to the crank.
  [[nodiscard]] double lowered() const {
    return (*this)[Ingredient::kHeadCut] + (*this)[Ingredient::kDeckCut] -
           ((*this)[Ingredient::kGasketAfter] - (*this)[Ingredient::kGasketBefore]);
  }

 private:
  std::array<double, static_cast<std::size_t>(Ingredient::kCount)> numbers_{};
};

/// What is known of one ingredient.
struct Known {
  std::string key;        ///< in the engine file
  bool is_there = false;  ///< given, or taken for want of it
  double value = 0;
  double half_step = 0;  ///< how far off it may be
  std::string assumed;   ///< how to name it among the assumed figures; empty when it is none
};

/// The engine and the cut as ingredients.
class Figures {
 public:
  Figures(const joint::Engine& engine, const Cut& cut);

  [[nodiscard]] const Known& operator[](Ingredient i) const { return known_[static_cast<std::size_t>(i)]; }
  [[nodiscard]] bool has(Ingredient i) const { return (*this)[i].is_there; }

  [[nodiscard]] Values after() const;
  [[nodiscard]] Values before() const;  ///< the same without cuts and with the old gasket

  /// Moves one figure; the new gasket goes with the old one when both are the same figure.
  void move(Values& values, Ingredient i, double by) const;

  [[nodiscard]] bool gasket_is_changed() const { return gasket_is_changed_; }

 private:
  template <class T>
  void put(Ingredient i, const char* key, const joint::OptionalFigure<T>& figure);
  void put_cut(Ingredient i, const char* key, Length value, Length scatter);
  /// A value taken when the file has none; `how` tells it: "0 deg". Empty: not worth telling.
  void take(Ingredient i, double value, const char* how);

  void read_cylinder(const joint::Engine& engine);
  void read_castings(const joint::Engine& engine);
  void read_valves(const joint::Engine& engine);
  void read_cam_drive(const joint::Engine& engine);
  void read_cut(const joint::Engine& engine, const Cut& cut);

  std::array<Known, static_cast<std::size_t>(Ingredient::kCount)> known_;
  bool gasket_is_changed_ = false;
};

}  // namespace headjoint::machining
