#include "headjoint/photo/internal/jpeg_codec.h"

#include <fmt/format.h>

#include <algorithm>
#include <csetjmp>
#include <cstdio>
#include <cstdlib>
#include <vector>

// After the standard headers: they need its types.
#include <jerror.h>
#include <jpeglib.h>

#include "headjoint/base/error.h"
#include "headjoint/photo/internal/exif_orientation.h"
#include "headjoint/photo/internal/png_codec.h"

/// The one file that knows libjpeg. It leaves on errors by longjmp: between setjmp and the calls that may fail stand plain values
/// only; everything with a destructor lives in the caller.
namespace headjoint::photo::internal {
namespace {

constexpr int kExifMarker = JPEG_APP0 + 1;
constexpr std::string_view kExifHead("Exif\0\0", 6);

/// Damage that leaves the picture whole: the library goes on after it.
bool is_harmless(int code) {
  return code == JWRN_EXTRANEOUS_DATA || code == JWRN_ADOBE_XFORM || code == JWRN_JFIF_MAJOR || code == JWRN_TOO_MUCH_DATA;
}

/// The library's error handler with the place to return to.
struct Failure {
  jpeg_error_mgr handler = {};
  jmp_buf back = {};
  char message[JMSG_LENGTH_MAX] = {};
  bool cut_short = false;
  bool too_many_scans = false;
};

Failure& failure_of(j_common_ptr info) { return *static_cast<Failure*>(info->client_data); }

[[noreturn]] void leave(j_common_ptr info) {
  Failure& failure = failure_of(info);
  info->err->format_message(info, failure.message);
  std::longjmp(failure.back, 1);
}

void judge_warning(j_common_ptr info, int level) {
  if (level >= 0 || is_harmless(info->err->msg_code)) return;
  failure_of(info).cut_short = info->err->msg_code == JWRN_JPEG_EOF || info->err->msg_code == JWRN_HIT_MARKER;
  leave(info);
}

void stay_silent(j_common_ptr /*info*/) {}

void handle_errors(Failure& failure, j_common_ptr info) {
  info->err = jpeg_std_error(&failure.handler);
  info->client_data = &failure;
  failure.handler.error_exit = leave;
  failure.handler.emit_message = judge_warning;
  failure.handler.output_message = stay_silent;
}

struct ScanLimit {
  jpeg_progress_mgr monitor = {};
  int most = 0;
};

void count_scans(j_common_ptr info) {
  const auto* limit = reinterpret_cast<const ScanLimit*>(info->progress);
  if (reinterpret_cast<j_decompress_ptr>(info)->input_scan_number <= limit->most) return;
  failure_of(info).too_many_scans = true;
  leave(info);
}

/// One decompression: what has to outlive a longjmp.
struct Decoder {
  jpeg_decompress_struct info = {};
  Failure failure;
  ScanLimit scans;
  Decoder() = default;
  Decoder(const Decoder&) = delete;
  Decoder& operator=(const Decoder&) = delete;
  ~Decoder() { jpeg_destroy_decompress(&info); }
};

/// @returns false when the library gave up
bool read_head(Decoder& decoder, std::string_view bytes) {
  if (setjmp(decoder.failure.back) != 0) return false;
  handle_errors(decoder.failure, reinterpret_cast<j_common_ptr>(&decoder.info));
  jpeg_create_decompress(&decoder.info);
  decoder.scans.monitor.progress_monitor = count_scans;
  decoder.info.progress = &decoder.scans.monitor;
  jpeg_mem_src(&decoder.info, reinterpret_cast<const unsigned char*>(bytes.data()), static_cast<unsigned long>(bytes.size()));
  jpeg_save_markers(&decoder.info, kExifMarker, 0xFFFF);
  jpeg_read_header(&decoder.info, TRUE);
  return true;
}

bool start(Decoder& decoder) {
  if (setjmp(decoder.failure.back) != 0) return false;
  decoder.info.out_color_space = JCS_RGB;
  jpeg_start_decompress(&decoder.info);
  return true;
}

bool read_rows(Decoder& decoder, std::uint8_t* rgb) {
  if (setjmp(decoder.failure.back) != 0) return false;
  while (decoder.info.output_scanline < decoder.info.output_height) {
    JSAMPROW row = rgb + std::size_t{3} * decoder.info.output_width * decoder.info.output_scanline;
    jpeg_read_scanlines(&decoder.info, &row, 1);
  }
  return true;
}

int orientation_of(const Decoder& decoder) {
  for (jpeg_saved_marker_ptr marker = decoder.info.marker_list; marker != nullptr; marker = marker->next) {
    const std::string_view data(reinterpret_cast<const char*>(marker->data), marker->data_length);
    if (marker->marker == kExifMarker && data.starts_with(kExifHead)) return orientation_in(data.substr(kExifHead.size()));
  }
  return 1;
}

std::string refusal_of(const Failure& failure, const PhotoLimits& limits) {
  if (failure.too_many_scans) return fmt::format("this JPEG is built of more than {} scans", limits.scans);
  if (failure.cut_short) return "this JPEG is cut short: part of the picture is missing";
  return fmt::format("this JPEG is damaged ({})", failure.message);
}

std::string head_refusal(const jpeg_decompress_struct& info, const PhotoLimits& limits, std::string& allowed) {
  if (info.jpeg_color_space == JCS_CMYK || info.jpeg_color_space == JCS_YCCK) {
    allowed = "grey or RGB";
    return "this JPEG holds printing colours (CMYK)";
  }
  const bool layered = info.progressive_mode != FALSE || info.comps_in_scan < info.num_components;
  return size_refusal(info.image_width, info.image_height, layered ? limits.layered_pixels : limits.pixels, limits, allowed);
}

void choose_scale(jpeg_decompress_struct& info, int largest_side) {
  const auto longest = static_cast<int>(std::max(info.image_width, info.image_height));
  info.scale_num = 1;
  info.scale_denom = 1;
  if (largest_side <= 0) return;
  while (info.scale_denom < 8 && longest / static_cast<int>(info.scale_denom * 2) >= largest_side) info.scale_denom *= 2;
}

struct Encoder {
  jpeg_compress_struct info = {};
  Failure failure;
  unsigned char* bytes = nullptr;
  unsigned long size = 0;
  Encoder() = default;
  Encoder(const Encoder&) = delete;
  Encoder& operator=(const Encoder&) = delete;
  ~Encoder() {
    jpeg_destroy_compress(&info);
    std::free(bytes);  // NOLINT: the library's own block
  }
};

bool write_rows(Encoder& encoder, const Photo& photo, int quality) {
  if (setjmp(encoder.failure.back) != 0) return false;
  handle_errors(encoder.failure, reinterpret_cast<j_common_ptr>(&encoder.info));
  jpeg_create_compress(&encoder.info);
  jpeg_mem_dest(&encoder.info, &encoder.bytes, &encoder.size);
  encoder.info.image_width = static_cast<JDIMENSION>(photo.width);
  encoder.info.image_height = static_cast<JDIMENSION>(photo.height);
  encoder.info.input_components = 3;
  encoder.info.in_color_space = JCS_RGB;
  jpeg_set_defaults(&encoder.info);
  jpeg_set_quality(&encoder.info, quality, TRUE);
  jpeg_start_compress(&encoder.info, TRUE);
  while (encoder.info.next_scanline < encoder.info.image_height) {
    JSAMPROW row = const_cast<JSAMPROW>(photo.rgb.data()) + std::size_t{3} * encoder.info.image_width * encoder.info.next_scanline;
    jpeg_write_scanlines(&encoder.info, &row, 1);
  }
  jpeg_finish_compress(&encoder.info);
  return true;
}

}  // namespace

DecodedPhoto decode_jpeg(std::string_view bytes, int largest_side, const PhotoLimits& limits) {
  DecodedPhoto decoded;
  Decoder decoder;
  decoder.scans.most = limits.scans;
  const auto refused = [&] {
    decoded.refusal = refusal_of(decoder.failure, limits);
    decoded.photo = {};
    return decoded;
  };
  if (!read_head(decoder, bytes)) return refused();
  decoded.refusal = head_refusal(decoder.info, limits, decoded.allowed);
  if (!decoded.refusal.empty()) return decoded;
  decoded.orientation = orientation_of(decoder);
  choose_scale(decoder.info, largest_side);
  if (!start(decoder)) return refused();
  Photo& photo = decoded.photo;
  photo.width = static_cast<int>(decoder.info.output_width);
  photo.height = static_cast<int>(decoder.info.output_height);
  photo.rgb.resize(std::size_t{3} * decoder.info.output_width * decoder.info.output_height);
  if (!read_rows(decoder, photo.rgb.data())) return refused();
  return decoded;
}

std::string encode_jpeg(const Photo& photo, int quality) {
  Encoder encoder;
  require(write_rows(encoder, photo, quality), "a photo that cannot be written as JPEG");
  return {reinterpret_cast<const char*>(encoder.bytes), encoder.size};
}

}  // namespace headjoint::photo::internal
