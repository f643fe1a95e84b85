#pragma once

#include <vector>

namespace headjoint::report {

/// A label that wants to stand at `wish` on a line and is `width` wide.
struct TagWish {
  double wish = 0;
  double width = 0;
};

/// Where it stands: middle, and row 0 (nearest the drawing), 1, ...
struct TagPlace {
  double middle = 0;
  int row = 0;
};

/// Places labels in rows, none over another, each as near to its wish as its neighbours allow; a further row is opened where the
/// labels do not fit or would stand far from what they name.
///
/// @param left, right  ends of the line; a label wider than the line stands alone and centred in a row of its own
/// @param gap          least room between two labels
/// @returns one place per wish, in the same order
[[nodiscard]] std::vector<TagPlace> place_tags(const std::vector<TagWish>& wishes, double left, double right, double gap);

}  // namespace headjoint::report
