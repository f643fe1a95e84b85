#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/leakage/leak_down.h"

/// Which way the air of a leak-down test goes: one gauge reading shared out over the places where air comes out.
namespace headjoint::leakage {

enum class Outlet {
  kIntake,         ///< throttle body: intake valve
  kExhaust,        ///< tailpipe: exhaust valve
  kValve,          ///< one of the two, not told apart
  kOilFiller,      ///< crankcase: rings; also the gasket to an oil or push-rod passage
  kCoolant,        ///< bubbles in the filler neck: gasket, crack
  kNeighbourPlug,  ///< the neighbour's open plug hole: gasket bridge, crack
  kOutside,        ///< soap bubbles at the joint's edge
};
/// "oil filler"
[[nodiscard]] const char* outlet_name(Outlet outlet);
/// Nothing sound joins these to a cylinder: any air there is a fault, however little. Rings always pass some.
[[nodiscard]] bool is_never_sound(Outlet outlet);

/// What ear or eye says of an outlet.
enum class AirHeard { kNone, kFaint, kClear, kStrong };

/// One outlet, by flow meter, bag or bubbles, or by ear.
struct OutletReading {
  Outlet outlet = Outlet::kOilFiller;
  std::optional<VolumeFlow> flow;  ///< as volume at 20 degC and 101325 Pa; >= 0; a metered flow goes before what is heard
  std::optional<AirHeard> heard;
};

struct OutletLeak {
  Outlet outlet = Outlet::kOilFiller;
  LeakArea leak;
  double share = 0;         ///< of the whole leak
  bool is_metered = false;  ///< else by ear
  bool is_assumed = false;  ///< the oil filler when nobody listened there: sound rings always pass some air
  bool is_never_sound = false;
};

struct OutletSplit {
  enum class Status {
    kNotRun,
    kDone,
    kOverfull,      ///< the meters together show more than the gauge: meter, gauge or orifice is wrong
    kNothingHeard,  ///< the gauge shows a leak that no outlet passes: one was not looked at
  };
  Status status = Status::kNotRun;
  std::vector<OutletLeak> outlets;  ///< in the order given; last the oil filler when it was not among them
  Area not_found;                   ///< what the gauge shows and no outlet accounts for; 0 when outlets by ear share out the rest
  std::string note;                 ///< in words when the status is not kDone
};

/// Shares a leak-down reading out over its outlets.
///
/// Metered flows become areas on their own (all at the pressure on the cylinder's gauge). The rest of the gauge's area is shared
/// among the outlets by ear as 1 : 4 : 16 for faint, clear and strong, each word a factor of two wide on both sides: the ear tells
/// steps of about this size apart. Assumption, no source. An oil filler that is not in the list counts as faint.
///
/// @param result    of the same reading
/// @param reading   cylinder side; > 0
/// @param outlets   each outlet at most once, with a flow or with what was heard
/// @throws InputError naming the argument
/// @par Checked leakage_published, additivity
[[nodiscard]] OutletSplit split_by_outlet(const LeakDownTest& test, const LeakDown& result, GaugePressure reading,
                                          const std::vector<OutletReading>& outlets);

}  // namespace headjoint::leakage
