#pragma once

#include <string>
#include <string_view>

#include "headjoint/photo/photo.h"

namespace headjoint::photo::internal {

struct DecodedPhoto {
  Photo photo;
  int orientation = 1;
  std::string refusal;  ///< why there is no picture; empty when there is one
  std::string allowed;
};

/// A JPEG as it lies in the file; made smaller by a half, a quarter or an eighth while unpacking where its longer side stays at
/// least `largest_side` (0: never).
[[nodiscard]] DecodedPhoto decode_jpeg(std::string_view bytes, int largest_side, const PhotoLimits& limits);

[[nodiscard]] std::string encode_jpeg(const Photo& photo, int quality);

}  // namespace headjoint::photo::internal
