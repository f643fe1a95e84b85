#include "headjoint/photo/internal/png_codec.h"

#include <fmt/format.h>
#include <png.h>

#include "headjoint/base/error.h"
#include "headjoint/photo/internal/exif_orientation.h"

namespace headjoint::photo::internal {
namespace {

/// The library's own state, freed whatever happens.
struct PngImage : png_image {
  PngImage() : png_image{} { version = PNG_IMAGE_VERSION; }
  PngImage(const PngImage&) = delete;
  PngImage& operator=(const PngImage&) = delete;
  ~PngImage() { png_image_free(this); }
};

constexpr png_color kWhite = {255, 255, 255};

std::string damaged(const PngImage& image) { return fmt::format("this PNG is damaged or cut short ({})", image.message); }

}  // namespace

std::string size_refusal(std::size_t width, std::size_t height, std::size_t pixels, const PhotoLimits& limits, std::string& allowed) {
  const auto side = static_cast<std::size_t>(limits.side);
  const auto least = static_cast<std::size_t>(limits.least_side);
  if (width < least || height < least) {
    allowed = fmt::format("at least {} pixels a side", limits.least_side);
    return fmt::format("the picture is only {} x {} pixels", width, height);
  }
  if (width > side || height > side || width * height > pixels) {
    allowed = fmt::format("up to {} million pixels, {} a side", pixels / 1'000'000, limits.side);
    return fmt::format("the picture has {} x {} pixels: too many", width, height);
  }
  return {};
}

DecodedPhoto decode_png(std::string_view bytes, const PhotoLimits& limits) {
  DecodedPhoto decoded;
  PngImage image;
  if (png_image_begin_read_from_memory(&image, bytes.data(), bytes.size()) == 0) {
    decoded.refusal = damaged(image);
    return decoded;
  }
  decoded.refusal = size_refusal(image.width, image.height, limits.pixels, limits, decoded.allowed);
  if (!decoded.refusal.empty()) return decoded;
  image.format = PNG_FORMAT_RGB;
  Photo& photo = decoded.photo;
  photo.width = static_cast<int>(image.width);
  photo.height = static_cast<int>(image.height);
  photo.rgb.resize(PNG_IMAGE_SIZE(image));
  if (png_image_finish_read(&image, &kWhite, photo.rgb.data(), 0, nullptr) == 0) {
    decoded.refusal = damaged(image);
    photo = {};
    return decoded;
  }
  decoded.orientation = orientation_in(exif_of_png(bytes));
  return decoded;
}

std::string encode_png(const Photo& photo) {
  PngImage image;
  image.width = static_cast<png_uint_32>(photo.width);
  image.height = static_cast<png_uint_32>(photo.height);
  image.format = PNG_FORMAT_RGB;
  png_alloc_size_t size = 0;
  require(png_image_write_to_memory(&image, nullptr, &size, 0, photo.rgb.data(), 0, nullptr) != 0, "a photo that cannot be written as PNG");
  std::string bytes(size, '\0');
  require(png_image_write_to_memory(&image, bytes.data(), &size, 0, photo.rgb.data(), 0, nullptr) != 0,
          "a photo that cannot be written as PNG");
  bytes.resize(size);
  return bytes;
}

}  // namespace headjoint::photo::internal
