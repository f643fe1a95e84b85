#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "headjoint/units/quantity.h"

namespace headjoint::machining {

/// One valve with a shim that sets its lash.
struct ShimValve {
  std::string name;            ///< as the workshop calls it: "2 intake front"
  std::optional<Length> lash;  ///< measured with `shim` fitted; empty = not measured: it keeps its shim
  Length shim;                 ///< fitted now
  Length lash_least;
  Length lash_most;
  Length target;             ///< inside the limits
  double lash_per_shim = 1;  ///< lash at the feeler lost for each length of shim gained; 1 under a bucket
};

/// Sizes one can buy: from, from + step, ... up to `to`, as many of each as needed.
struct SizesOnSale {
  Length from;
  Length to;
  Length step;
};

struct ShimTask {
  std::string name;
  std::vector<ShimValve> valves;  ///< 1 to 256
  std::vector<Length> drawer;     ///< loose shims, one entry each; at most 5000
  std::optional<SizesOnSale> sale;
  bool leave_those_inside = false;  ///< valves inside their limits keep their shims
};

/// The shim that would give exactly the wanted lash: fitted + (measured - wanted) / lash_per_shim.
[[nodiscard]] Length exact_shim(const ShimValve& valve, Length wanted);

/// Lash with another shim. @pre the valve's lash was measured
[[nodiscard]] Length lash_with(const ShimValve& valve, Length shim);

enum class ShimSource { kOwn, kOtherValve, kDrawer, kBuy };

struct ShimFit {
  ShimSource from = ShimSource::kOwn;
  std::size_t other_valve = 0;  ///< index, when the shim comes from there
  Length shim;
  std::optional<Length> lash_after;  ///< empty when the valve was not measured
  bool is_inside = false;
  Length least_shim;  ///< a shim from here ...
  Length most_shim;   ///< ... to here would bring it inside
};

struct Purchase {
  Length size;
  int count = 0;
};

struct ShimPlan {
  enum class Status { kNotRun, kProven, kNotProven };
  Status status = Status::kNotRun;  ///< proven: the dual prices show that no other plan is better
  std::vector<ShimFit> valves;      ///< as in the task
  std::vector<Purchase> buy;        ///< by size
  std::vector<Length> left_over;    ///< of shims taken out and of the drawer, by size
  std::size_t outside = 0;          ///< measured valves that no plan brings inside
  std::size_t moved = 0;            ///< valves that get another shim
};

/// The best plan, exactly: most valves inside their limits; then fewest shims bought; then least sum of squared distances from
/// target; then fewest valves moved; then more lash rather than less.
///
/// An assignment of shims to valves over costs that are compared in that order, by the Hungarian method with potentials. The
/// potentials are checked against every pair afterwards: that is the proof. Lengths are compared in tenths of a micrometre.
///
/// @throws InputError naming valves, drawer, sale, lash, shim, target or lash_per_shim
/// @par Source  H. W. Kuhn, Naval Research Logistics Quarterly 2 (1955) 83-97; shortest augmenting paths after R. Jonker and
///              A. Volgenant, Computing 38 (1987) 325-340 (algorithm from memory)
[[nodiscard]] ShimPlan plan_shims(const ShimTask& task);

}  // namespace headjoint::machining
