#pragma once

#include <string_view>

#include "headjoint/photo/photo.h"

namespace headjoint::photo::internal {

/// The orientation (1 to 8) that a block of Exif data holds, 1 when it holds none or is damaged.
/// @param tiff  from the byte order mark on
/// @par Source  Exif 2.32 (CIPA DC-008) 4.6.4 A, tag 0x0112; TIFF 6.0 section 2
[[nodiscard]] int orientation_in(std::string_view tiff);

/// The eXIf chunk of a PNG, or nothing. @par Source PNG specification, third edition, 11.3.4.5
[[nodiscard]] std::string_view exif_of_png(std::string_view png);

/// The picture as it was seen: rows and columns changed as `orientation` says.
[[nodiscard]] Photo upright(Photo photo, int orientation);

}  // namespace headjoint::photo::internal
