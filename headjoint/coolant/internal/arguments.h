#pragma once

#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::coolant {

/// @throws InputError for `argument` unless `holds`
inline void check_argument(bool holds, const char* argument, const char* allowed) {
  if (!holds) throw InputError(argument, allowed);
}

}  // namespace headjoint::coolant
