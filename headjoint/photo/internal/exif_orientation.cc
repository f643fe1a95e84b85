#include "headjoint/photo/internal/exif_orientation.h"

#include <cstring>
#include <optional>

namespace headjoint::photo::internal {
namespace {

constexpr std::uint32_t kOrientationTag = 0x0112;
constexpr std::uint32_t kShort = 3;
constexpr std::size_t kEntryBytes = 12;

/// Whole numbers of either byte order out of a block; empty past its end.
class TiffBytes {
 public:
  TiffBytes(std::string_view bytes, bool big_endian) : bytes_(bytes), big_endian_(big_endian) {}

  [[nodiscard]] std::optional<std::uint32_t> whole(std::size_t at, std::size_t count) const {
    if (at > bytes_.size() || bytes_.size() - at < count) return std::nullopt;
    std::uint32_t value = 0;
    for (std::size_t i = 0; i < count; ++i) {
      const std::size_t byte = big_endian_ ? i : count - 1 - i;
      value = (value << 8U) | static_cast<std::uint8_t>(bytes_[at + byte]);
    }
    return value;
  }

 private:
  std::string_view bytes_;
  bool big_endian_;
};

}  // namespace

int orientation_in(std::string_view tiff) {
  if (tiff.size() < 8) return 1;
  const bool big_endian = tiff.starts_with("MM");
  if (!big_endian && !tiff.starts_with("II")) return 1;
  const TiffBytes bytes(tiff, big_endian);
  const auto directory = bytes.whole(4, 4);
  const auto entries = directory ? bytes.whole(*directory, 2) : std::nullopt;
  if (!entries) return 1;
  for (std::size_t i = 0; i < *entries; ++i) {
    const std::size_t at = std::size_t{*directory} + 2 + i * kEntryBytes;
    const auto tag = bytes.whole(at, 2);
    if (!tag) return 1;
    if (*tag != kOrientationTag || bytes.whole(at + 2, 2) != kShort) continue;
    const auto value = bytes.whole(at + 8, 2);
    return value && *value >= 1 && *value <= 8 ? static_cast<int>(*value) : 1;
  }
  return 1;
}

std::string_view exif_of_png(std::string_view png) {
  const TiffBytes bytes(png, true);
  std::size_t at = 8;
  while (const auto length = bytes.whole(at, 4)) {
    const std::size_t body = at + 8;
    if (body > png.size() || png.size() - body < *length) return {};
    const std::string_view type = png.substr(at + 4, 4);
    if (type == "eXIf") return png.substr(body, *length);
    if (type == "IEND") return {};
    at = body + *length + 4;
  }
  return {};
}

Photo upright(Photo photo, int orientation) {
  if (orientation <= 1 || orientation > 8) return photo;
  const bool swapped = orientation >= 5;
  const auto width = static_cast<std::size_t>(photo.width);
  const auto height = static_cast<std::size_t>(photo.height);
  Photo turned{swapped ? photo.height : photo.width, swapped ? photo.width : photo.height, {}};
  turned.rgb.resize(photo.rgb.size());
  const auto out_width = static_cast<std::size_t>(turned.width);
  const auto out_height = static_cast<std::size_t>(turned.height);
  for (std::size_t y = 0; y < out_height; ++y) {
    for (std::size_t x = 0; x < out_width; ++x) {
      std::size_t from_x = swapped ? y : x;
      std::size_t from_y = swapped ? x : y;
      if (orientation == 2 || orientation == 3 || orientation == 7 || orientation == 8) from_x = width - 1 - from_x;
      if (orientation == 3 || orientation == 4 || orientation == 6 || orientation == 7) from_y = height - 1 - from_y;
      std::memcpy(&turned.rgb[3 * (y * out_width + x)], &photo.rgb[3 * (from_y * width + from_x)], 3);
    }
  }
  return turned;
}

}  // namespace headjoint::photo::internal
