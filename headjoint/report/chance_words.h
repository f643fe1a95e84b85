#pragma once

#include "headjoint/assess/chance_words.h"

/// The scale of words belongs to the results; papers and screens use it as it is.
namespace headjoint::report {

using assess::chance_in_hundred;
using assess::chance_text;
using assess::chance_words;

}  // namespace headjoint::report
