#pragma once

#include "headjoint/photo/internal/jpeg_codec.h"

namespace headjoint::photo::internal {

[[nodiscard]] DecodedPhoto decode_png(std::string_view bytes, const PhotoLimits& limits);

[[nodiscard]] std::string encode_png(const Photo& photo);

/// What is wrong with a picture of that size, empty when nothing is; `allowed` says what would do.
[[nodiscard]] std::string size_refusal(std::size_t width, std::size_t height, std::size_t pixels, const PhotoLimits& limits,
                                       std::string& allowed);

}  // namespace headjoint::photo::internal
