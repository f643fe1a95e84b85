#include "headjoint/photo/photo.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"
#include "headjoint/photo/internal/exif_orientation.h"
#include "headjoint/photo/internal/jpeg_codec.h"
#include "headjoint/photo/internal/png_codec.h"

namespace headjoint::photo {
namespace {

constexpr std::string_view kPngMark("\x89PNG\r\n\x1a\n", 8);
constexpr std::string_view kJpegMark("\xff\xd8\xff", 3);

/// What else people send, told apart so that the answer can help.
std::string other_format(std::string_view bytes) {
  const auto at = [&](std::size_t offset, std::string_view mark) {
    return bytes.size() > offset && bytes.substr(offset).starts_with(mark);
  };
  if (at(4, "ftypavif")) return "an AVIF picture";
  if (at(4, "ftyphe") || at(4, "ftypmif1") || at(4, "ftypmsf1")) return "a HEIC picture, as some telephones take them";
  if (at(0, "GIF8")) return "a GIF picture";
  if (at(0, "RIFF") && at(8, "WEBP")) return "a WebP picture";
  if (at(0, "BM")) return "a BMP picture";
  if (at(0, std::string_view("II*\0", 4)) || at(0, std::string_view("MM\0*", 4))) return "a TIFF or raw camera picture";
  if (at(0, "%PDF")) return "a PDF paper";
  if (at(0, "<")) return "a page or drawing in text, no photograph";
  return {};
}

Problem refused(const std::string& source, std::string what, std::string allowed = {}, std::string mend = {}) {
  return {{source, 0, 0, {}}, std::move(what), std::move(allowed), std::move(mend)};
}

Problem not_a_picture(std::string_view bytes, const std::string& source) {
  const std::string other = other_format(bytes);
  return refused(source, other.empty() ? "this is no picture" : "this is " + other, "a JPEG or PNG picture",
                 other.empty() ? "" : "save it as JPEG, or take the photograph with the camera set to JPEG");
}

/// Averages of `from` pixels over `to` cells along one direction: which pixels count in a cell and by how much.
struct Share {
  int first = 0;
  std::vector<float> weight;
};

std::vector<Share> shares(int from, int to) {
  std::vector<Share> all(static_cast<std::size_t>(to));
  const double step = static_cast<double>(from) / to;
  for (int i = 0; i < to; ++i) {
    const double begin = i * step;
    const double end = std::min(begin + step, static_cast<double>(from));
    Share& share = all[static_cast<std::size_t>(i)];
    share.first = static_cast<int>(begin);
    for (int pixel = share.first; pixel < end; ++pixel) {
      const double covered = std::min(end, pixel + 1.0) - std::max(begin, static_cast<double>(pixel));
      share.weight.push_back(static_cast<float>(covered / (end - begin)));
    }
  }
  return all;
}

}  // namespace

double GreyPicture::between(double x, double y) const {
  const double inside_x = std::clamp(x, 0.0, width - 1.0);
  const double inside_y = std::clamp(y, 0.0, height - 1.0);
  const int left = std::min(static_cast<int>(inside_x), width - 2);
  const int top = std::min(static_cast<int>(inside_y), height - 2);
  const double u = inside_x - left;
  const double v = inside_y - top;
  const double above = at(left, top) * (1 - u) + at(left + 1, top) * u;
  const double below = at(left, top + 1) * (1 - u) + at(left + 1, top + 1) * u;
  return above * (1 - v) + below * v;
}

Photo scaled_down(const Photo& photo, int largest_side) {
  require(largest_side > 0, "a picture needs a side");
  const int longest = std::max(photo.width, photo.height);
  if (longest <= largest_side) return photo;
  const double factor = static_cast<double>(largest_side) / longest;
  Photo small{std::max(1, static_cast<int>(std::lround(photo.width * factor))),
              std::max(1, static_cast<int>(std::lround(photo.height * factor))),
              {}};
  const auto columns = shares(photo.width, small.width);
  const auto rows = shares(photo.height, small.height);
  small.rgb.reserve(std::size_t{3} * static_cast<std::size_t>(small.width) * static_cast<std::size_t>(small.height));
  const auto from_width = static_cast<std::size_t>(photo.width);
  std::vector<float> row_sum(3 * from_width);
  for (const Share& row : rows) {
    std::fill(row_sum.begin(), row_sum.end(), 0.0F);
    for (std::size_t i = 0; i < row.weight.size(); ++i) {
      const std::uint8_t* line = &photo.rgb[3 * from_width * (static_cast<std::size_t>(row.first) + i)];
      for (std::size_t k = 0; k < row_sum.size(); ++k) row_sum[k] += row.weight[i] * static_cast<float>(line[k]);
    }
    for (const Share& column : columns) {
      for (std::size_t colour = 0; colour < 3; ++colour) {
        float sum = 0;
        for (std::size_t i = 0; i < column.weight.size(); ++i)
          sum += column.weight[i] * row_sum[3 * (static_cast<std::size_t>(column.first) + i) + colour];
        small.rgb.push_back(static_cast<std::uint8_t>(std::lround(std::clamp(sum, 0.0F, 255.0F))));
      }
    }
  }
  return small;
}

Result<Photo> read_photo(std::string_view bytes, const std::string& source, int largest_side, const PhotoLimits& limits) {
  if (bytes.empty()) return refused(source, "the picture is empty", "a JPEG or PNG picture");
  if (bytes.size() > limits.bytes)
    return refused(source, fmt::format("the picture has {:.1f} MB", static_cast<double>(bytes.size()) / 1e6),
                   fmt::format("up to {} MB", limits.bytes >> 20U), "send it smaller, or crop it to the gasket");
  const bool is_png = bytes.starts_with(kPngMark);
  if (!is_png && !bytes.starts_with(kJpegMark)) return not_a_picture(bytes, source);
  internal::DecodedPhoto decoded = is_png ? internal::decode_png(bytes, limits) : internal::decode_jpeg(bytes, largest_side, limits);
  if (!decoded.refusal.empty()) return refused(source, decoded.refusal, decoded.allowed, "take or save the picture again");
  Photo photo = largest_side > 0 ? scaled_down(decoded.photo, largest_side) : std::move(decoded.photo);
  decoded.photo = {};
  return internal::upright(std::move(photo), decoded.orientation);
}

std::string write_jpeg(const Photo& photo, int quality) {
  require(photo.width > 0 && photo.height > 0 && quality >= 1 && quality <= 100, "a JPEG needs a picture and a quality of 1 to 100");
  return internal::encode_jpeg(photo, quality);
}

std::string write_png(const Photo& photo) {
  require(photo.width > 0 && photo.height > 0, "a PNG needs a picture");
  return internal::encode_png(photo);
}

Result<KeptPhoto> reencode_photo(std::string_view bytes, const std::string& source, int largest_side, const PhotoLimits& limits) {
  require(largest_side > 0, "a picture needs a side");
  auto photo = read_photo(bytes, source, largest_side, limits);
  if (!photo) return photo.problems();
  return KeptPhoto{write_jpeg(*photo), photo->width, photo->height};
}

GreyPicture grey(const Photo& photo) {
  GreyPicture picture{photo.width, photo.height, {}};
  picture.value.resize(photo.rgb.size() / 3);
  for (std::size_t i = 0; i < picture.value.size(); ++i) {
    const std::uint8_t* pixel = &photo.rgb[3 * i];
    picture.value[i] =
        0.299F * static_cast<float>(pixel[0]) + 0.587F * static_cast<float>(pixel[1]) + 0.114F * static_cast<float>(pixel[2]);
  }
  return picture;
}

}  // namespace headjoint::photo
