#include "headjoint/photo/photo.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <random>

namespace headjoint::photo {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

/// JPEG quality 95 on soft pictures keeps every colour within this many of 255 on average.
constexpr double kJpegMeanError = 3.0;

Photo soft_picture(int width, int height) {
  Photo photo{width, height, {}};
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      photo.rgb.push_back(static_cast<std::uint8_t>(255 * x / width));
      photo.rgb.push_back(static_cast<std::uint8_t>(255 * y / height));
      photo.rgb.push_back(static_cast<std::uint8_t>(128));
    }
  }
  return photo;
}

double mean_difference(const Photo& a, const Photo& b) {
  double sum = 0;
  for (std::size_t i = 0; i < a.rgb.size(); ++i) sum += std::abs(static_cast<double>(a.rgb[i]) - b.rgb[i]);
  return sum / static_cast<double>(a.rgb.size());
}

/// Exif data with nothing but an orientation, as an APP1 segment. Layout: Exif 2.32 section 4.5.2, written from the standard.
std::string exif_segment(int orientation, bool big_endian = true) {
  const auto two = [&](int value) {
    const char high = static_cast<char>(value >> 8);
    const char low = static_cast<char>(value);
    return big_endian ? std::string{high, low} : std::string{low, high};
  };
  const auto four = [&](int value) { return big_endian ? two(0) + two(value) : two(value) + two(0); };
  std::string body("Exif\0\0", 6);
  body += (big_endian ? "MM" : "II") + two(42) + four(8);
  body += two(1) + two(0x0112) + two(3) + four(1) + two(orientation) + two(0) + four(0);
  const auto length = static_cast<int>(body.size()) + 2;
  return std::string("\xff\xe1") + static_cast<char>(length >> 8) + static_cast<char>(length) + body;
}

std::string with_segment(const std::string& jpeg, const std::string& segment) { return jpeg.substr(0, 2) + segment + jpeg.substr(2); }

std::uint32_t crc32_of(std::string_view bytes) {
  std::uint32_t crc = ~0U;
  for (const char byte : bytes) {
    crc ^= static_cast<std::uint8_t>(byte);
    for (int bit = 0; bit < 8; ++bit) crc = (crc >> 1U) ^ (0xEDB88320U & (~(crc & 1U) + 1U));
  }
  return ~crc;
}

std::string four_bytes(std::uint32_t value) {
  std::string text;
  for (unsigned shift : {24U, 16U, 8U, 0U}) text += static_cast<char>(value >> shift);
  return text;
}

std::string png_chunk(const std::string& type, const std::string& body) {
  return four_bytes(static_cast<std::uint32_t>(body.size())) + type + body + four_bytes(crc32_of(type + body));
}

std::string png_head(std::uint32_t width, std::uint32_t height) {
  return std::string("\x89PNG\r\n\x1a\n", 8) + png_chunk("IHDR", four_bytes(width) + four_bytes(height) + std::string("\x08\x02\0\0\0", 5));
}

std::string why_refused(std::string_view bytes) {
  const auto photo = read_photo(bytes, "gasket.jpg");
  return photo ? "" : to_string(photo.problems());
}

TEST(Photo, PngComesBackExactly) {
  const Photo photo = soft_picture(61, 40);
  const auto read = read_photo(write_png(photo), "gasket.png");
  ASSERT_TRUE(read) << to_string(read.problems());
  EXPECT_EQ(read->width, 61);
  EXPECT_EQ(read->height, 40);
  EXPECT_EQ(read->rgb, photo.rgb);
}

TEST(Photo, JpegComesBackNearlyTheSame) {
  const Photo photo = soft_picture(61, 40);
  const auto read = read_photo(write_jpeg(photo, 95), "gasket.jpg");
  ASSERT_TRUE(read) << to_string(read.problems());
  ASSERT_EQ(read->rgb.size(), photo.rgb.size());
  EXPECT_LT(mean_difference(*read, photo), kJpegMeanError);
}

/// Exif 2.32 table of tag 0x0112: what the 0th row and the 0th column of the stored picture are, as seen.
TEST(Photo, OrientationIsAppliedAsExifDefinesIt) {
  struct Case {
    int orientation;
    char row0;  ///< t(op) b(ottom) l(eft) r(ight)
    char column0;
  };
  constexpr std::array<Case, 8> kCases = {
      {{1, 't', 'l'}, {2, 't', 'r'}, {3, 'b', 'r'}, {4, 'b', 'l'}, {5, 'l', 't'}, {6, 'r', 't'}, {7, 'r', 'b'}, {8, 'l', 'b'}}};
  // Stored: row 0 is red, column 0 is blue, the rest black.
  Photo stored{64, 32, std::vector<std::uint8_t>(std::size_t{3} * 64 * 32, 0)};
  for (std::size_t y = 0; y < 32; ++y) {
    for (std::size_t x = 0; x < 64; ++x) {
      if (y < 8) stored.rgb[3 * (y * 64 + x)] = 255;
      if (x < 8) stored.rgb[3 * (y * 64 + x) + 2] = 255;
    }
  }
  for (const Case& expected : kCases) {
    for (const bool big_endian : {true, false}) {
      const auto read = read_photo(with_segment(write_jpeg(stored, 98), exif_segment(expected.orientation, big_endian)), "a.jpg");
      ASSERT_TRUE(read);
      const bool turned = expected.orientation >= 5;
      ASSERT_EQ(read->width, turned ? 32 : 64) << expected.orientation;
      const auto colour = [&](char side, std::size_t channel) {
        const int x = side == 'l' ? 2 : side == 'r' ? read->width - 3 : read->width / 2;
        const int y = side == 't' ? 2 : side == 'b' ? read->height - 3 : read->height / 2;
        return static_cast<int>(read->rgb[3 * static_cast<std::size_t>(y * read->width + x) + channel]);
      };
      EXPECT_GT(colour(expected.row0, 0), 200) << expected.orientation;
      EXPECT_GT(colour(expected.column0, 2), 200) << expected.orientation;
    }
  }
}

TEST(Photo, NothingButPixelsIsKept) {
  const std::string note = "<script>alert(1)</script> taken at 48.1 N 11.5 E by the owner";
  const std::string comment = std::string("\xff\xfe\0", 3) + static_cast<char>(note.size() + 2) + note;
  const std::string sent = with_segment(with_segment(write_jpeg(soft_picture(80, 40)), comment), exif_segment(6)) + note;
  const auto kept = reencode_photo(sent, "a.jpg", 2400);
  ASSERT_TRUE(kept) << to_string(kept.problems());
  EXPECT_EQ(kept->width, 40) << "turned upright";
  EXPECT_THAT(kept->jpeg, Not(HasSubstr("script")));
  EXPECT_THAT(kept->jpeg, Not(HasSubstr("owner")));
  EXPECT_THAT(kept->jpeg, Not(HasSubstr("Exif")));
  EXPECT_TRUE(read_photo(kept->jpeg, "kept"));
}

TEST(Photo, ALargePictureIsKeptSmall) {
  const auto kept = reencode_photo(write_jpeg(soft_picture(3000, 1500)), "a.jpg", 1000);
  ASSERT_TRUE(kept);
  EXPECT_EQ(kept->width, 1000);
  EXPECT_EQ(kept->height, 500);
}

TEST(Photo, MakingItSmallerKeepsTheMeanBrightness) {
  std::mt19937 random(7);
  Photo noise{203, 117, {}};
  for (int i = 0; i < 203 * 117 * 3; ++i) noise.rgb.push_back(static_cast<std::uint8_t>(random()));
  const Photo small = scaled_down(noise, 50);
  const auto mean = [](const Photo& photo) {
    double sum = 0;
    for (const auto byte : photo.rgb) sum += byte;
    return sum / static_cast<double>(photo.rgb.size());
  };
  EXPECT_EQ(small.width, 50);
  EXPECT_NEAR(mean(small), mean(noise), 0.5) << "half a step of rounding";
}

TEST(Photo, NeverMadeLarger) { EXPECT_EQ(scaled_down(soft_picture(20, 30), 400).width, 20); }

TEST(Photo, WhatIsNoPictureIsRefusedInWords) {
  EXPECT_THAT(why_refused(""), HasSubstr("empty"));
  EXPECT_THAT(why_refused("bore_mm,81.0\n"), HasSubstr("no picture"));
  EXPECT_THAT(why_refused("<svg><script>alert(1)</script></svg>"), HasSubstr("no photograph"));
  EXPECT_THAT(why_refused(std::string("\0\0\0\x18", 4) + "ftypheic\0\0\0\0"), HasSubstr("HEIC"));
  EXPECT_THAT(why_refused("GIF89a and more"), HasSubstr("GIF"));
  EXPECT_THAT(why_refused("RIFF....WEBPVP8 "), HasSubstr("WebP"));
  EXPECT_THAT(why_refused(std::string("\xff\xd8\xff\xe0", 4)), HasSubstr("JPEG"));
  EXPECT_THAT(why_refused(std::string("\x89PNG\r\n\x1a\n", 8)), HasSubstr("PNG"));
}

TEST(Photo, APictureThatWouldUnpackHugeIsRefusedBeforeUnpacking) {
  EXPECT_THAT(why_refused(png_head(60'000, 60'000) + png_chunk("IDAT", "x") + png_chunk("IEND", "")), HasSubstr("too many"));
  std::string jpeg = write_jpeg(soft_picture(64, 64));
  const std::size_t frame = jpeg.find("\xff\xc0");
  ASSERT_NE(frame, std::string::npos);
  for (const std::size_t at : {frame + 5, frame + 6, frame + 7, frame + 8}) jpeg[at] = static_cast<char>(0xfe);
  EXPECT_THAT(why_refused(jpeg), HasSubstr("too many"));
  const auto limited = read_photo(write_png(soft_picture(200, 200)), "a.png", 0, {.pixels = 30'000});
  EXPECT_FALSE(limited);
  const auto heavy = read_photo(write_png(soft_picture(200, 200)), "a.png", 0, {.bytes = 100});
  ASSERT_FALSE(heavy);
  EXPECT_THAT(to_string(heavy.problems()), HasSubstr("MB"));
}

TEST(Photo, ATruncatedPictureIsRefused) {
  for (const std::string& whole : {write_jpeg(soft_picture(160, 120)), write_png(soft_picture(160, 120))}) {
    for (std::size_t length = 1; length + 16 < whole.size(); length += 37) {
      EXPECT_FALSE(read_photo(whole.substr(0, length), "cut")) << "at " << length << " of " << whole.size();
    }
  }
}

TEST(Photo, DamagedBytesNeverCrash) {
  constexpr unsigned kSeed = 20240611;
  std::mt19937 random(kSeed);
  SCOPED_TRACE(kSeed);
  int read = 0;
  for (const std::string& whole : {with_segment(write_jpeg(soft_picture(96, 64)), exif_segment(6)), write_png(soft_picture(96, 64))}) {
    for (int round = 0; round < 1500; ++round) {
      std::string bytes = whole;
      const auto hits = 1 + random() % 8;
      for (unsigned i = 0; i < hits; ++i) bytes[random() % bytes.size()] = static_cast<char>(random());
      const auto photo = read_photo(bytes, "damaged", 0, {.pixels = 1'000'000, .layered_pixels = 1'000'000});
      if (photo) {
        ++read;
        EXPECT_EQ(photo->rgb.size(), std::size_t{3} * static_cast<std::size_t>(photo->width) * static_cast<std::size_t>(photo->height));
      } else {
        EXPECT_FALSE(to_string(photo.problems()).empty());
      }
    }
  }
  EXPECT_GT(read, 0) << "some damage must be harmless, or nothing was tried";
}

TEST(Photo, BrightnessBetweenPixelsIsStraight) {
  const GreyPicture picture{2, 2, {0, 10, 20, 30}};
  EXPECT_DOUBLE_EQ(picture.between(0.5, 0.5), 15);
  EXPECT_DOUBLE_EQ(picture.between(0.25, 0), 2.5);
  EXPECT_DOUBLE_EQ(picture.between(-5, 9), 20);
}

}  // namespace
}  // namespace headjoint::photo
