#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/result.h"

/// Photographs and scans of a gasket or a face: read, turned upright, made small, measured.
namespace headjoint::photo {

/// What a picture from outside may cost. The figures are checked in the picture's head, before anything is unpacked.
struct PhotoLimits {
  std::size_t bytes = std::size_t{24} << 20U;  ///< of the file
  std::size_t pixels = 50'000'000;             ///< width times height: a small file may unpack to a huge picture
  std::size_t layered_pixels = 24'000'000;     ///< of a JPEG in several scans, which has to be held whole
  int scans = 64;                              ///< of such a JPEG: each costs a pass over the picture
  int side = 20'000;                           ///< either side
  int least_side = 16;                         ///< either side
};

/// A colour picture: upright, without any of the notes a camera writes.
struct Photo {
  int width = 0;
  int height = 0;
  std::vector<std::uint8_t> rgb;  ///< row by row from the top, 3 bytes a pixel, sRGB
};

/// Brightness alone, for measuring: 0 (black) to 255, as the picture holds it.
struct GreyPicture {
  int width = 0;
  int height = 0;
  std::vector<float> value;  ///< row by row from the top

  [[nodiscard]] float at(int x, int y) const {
    return value[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)];
  }

  /// Between the pixels, bilinear. Pixel centres lie at whole numbers; outside, the nearest pixel of the rim.
  [[nodiscard]] double between(double x, double y) const;
};

/// Reads a JPEG (baseline or progressive, grey or colour) or a PNG, turned the way the camera was held.
///
/// What follows from Exif is the orientation alone; every note (place, time, owner, comment, profile, thumbnail) is left behind.
/// Transparent parts become white.
///
/// @param bytes         the file
/// @param source        name for places in messages
/// @param largest_side  the picture is made smaller until its longer side is no longer than this; 0 leaves its size
/// @returns the picture, or in words why not: too large, cut short, damaged, another format, no picture at all
[[nodiscard]] Result<Photo> read_photo(std::string_view bytes, const std::string& source, int largest_side = 0,
                                       const PhotoLimits& limits = {});

/// JPEG (baseline, 4:2:0) with nothing but the picture in it. @param quality 1 to 100
[[nodiscard]] std::string write_jpeg(const Photo& photo, int quality = 85);

/// PNG, 8 bits a colour, with nothing but the picture in it.
[[nodiscard]] std::string write_png(const Photo& photo);

/// A picture as the store keeps it: read with every check, upright, small enough, written anew, so that nothing but pixels is left
/// of what was sent.
/// @param largest_side  > 0
/// @returns JPEG bytes with their size, or why the picture was refused
struct KeptPhoto {
  std::string jpeg;
  int width = 0;
  int height = 0;
};
[[nodiscard]] Result<KeptPhoto> reencode_photo(std::string_view bytes, const std::string& source, int largest_side = 2400,
                                               const PhotoLimits& limits = {});

/// The picture made smaller by averaging, never larger. @param largest_side > 0
[[nodiscard]] Photo scaled_down(const Photo& photo, int largest_side);

/// Luma by ITU-R BT.601.
[[nodiscard]] GreyPicture grey(const Photo& photo);

}  // namespace headjoint::photo
