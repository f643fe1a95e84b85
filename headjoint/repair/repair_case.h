#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "headjoint/repair/shop_prices.h"

/// What is known of the engine, as far as the choice of a repair hangs on it.
namespace headjoint::repair {

/// Kinds of leak that cost alike when left in; bits of a LeakState. A cooling fault stands beside them.
enum LeakBit : unsigned { kBetweenCylinders = 1, kGasToCoolant = 2, kCoolantInside = 4, kSeepOutside = 8, kCoolingFault = 16 };
inline constexpr std::size_t kLeakBits = 5;
inline constexpr std::size_t kLeakStates = std::size_t{1} << kLeakBits;
inline constexpr unsigned kAnyLeak = kBetweenCylinders | kGasToCoolant | kCoolantInside | kSeepOutside;

/// What makes a new gasket fail; bits of a PartState. The cooling fault here is one that is left in when the joint is renewed.
enum PartBit : unsigned {
  kHeadFaceOut = 1,
  kBlockFaceOut = 2,
  kHeadCracked = 4,
  kBlockCracked = 8,
  kCoolingFaultLeft = 16,
  kDetonation = 32
};
inline constexpr std::size_t kPartBits = 6;
inline constexpr std::size_t kPartStates = std::size_t{1} << kPartBits;

/// A cause outside the joint that a repair of its own puts right.
struct Rival {
  std::string decision;           ///< "renew_thermostat"
  std::string text;               ///< "renew the thermostat"
  double chance = 0;              ///< that it is needed
  double put_right = 0;           ///< cost when done
  double left = 0;                ///< expected cost when not
  bool overheats = false;         ///< would cook a new gasket
  bool goes_with_head = false;    ///< an exchange head brings it right too
  bool goes_with_engine = false;  ///< an exchange engine does
  bool is_background = false;     ///< cured with no option: its loss is the same in all and is not counted
};

struct RepairCase {
  std::vector<double> leaks;  ///< [LeakState] chances, sum 1
  std::vector<double> parts;  ///< [PartState] chances, sum 1
  std::vector<Rival> rivals;
  ShopFigure hours = ShopFigure::kHoursInlineToFour;
  int heads = 1;  ///< to be taken off
  bool head_off = false;
  bool liquid_cooled = true;
  bool bolts_due = true;                 ///< single use, or not known to be good for another time
  std::string no_retightening;           ///< why re-tightening is not allowed; empty = it is
  std::string no_gasket_only;            ///< why the gasket alone will not do: a face measured out of limit
  std::string no_head_service;           ///< why the head cannot be serviced: below its least height
  std::optional<double> sealing_chance;  ///< of the joint as it would be clamped without machining; it then stands for the faces
  double distance_km = 0;                ///< to be driven on
};

/// Which rivals are cured with an option.
struct Cured {
  std::vector<bool> always;                            ///< worth it whether the joint is opened or not
  std::vector<bool> with_joint;                        ///< worth it when the joint is renewed: a cooling fault would cook the new gasket
  std::size_t leading = static_cast<std::size_t>(-1);  ///< first to be cured; past the end when there is none
};

/// By chance, cost and what leaving them costs; the leading one after the rule of Kadane and Simon among those worth curing.
/// @param coming_back  what the whole job again is expected to cost
[[nodiscard]] Cured worth_curing(const std::vector<Rival>& rivals, const ShopPrices& prices, double coming_back);

/// Marks the rivals that no option cures: their loss is the same whatever is done.
void leave_background_out(std::vector<Rival>& rivals, const Cured& cured);

}  // namespace headjoint::repair
