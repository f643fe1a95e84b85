#include "headjoint/report/internal/face_bands.h"

#include <algorithm>
#include <cmath>

#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

constexpr double kHundredths = 100;     // of a millimetre
constexpr double kCoarseFrom_mm = 0.5;  // from here on tenths of a hundredth say nothing
constexpr Paint kMarks[kBands] = {
    {"jp-band1", paint::kBlue, paint::kInk, 0.6, 0},  {"jp-band2", "#cfe0ec", paint::kInk, 0.6, 0},
    {"jp-band3", paint::kPaper, paint::kInk, 0.6, 0}, {"jp-band4", "#f4d9cc", paint::kInk, 0.6, 0},
    {"jp-band5", paint::kRust, paint::kInk, 0.6, 0},
};

constexpr Paint kFills[kBands] = {{"jp-fill1", "#a9c9de", "#a9c9de", 0.3, 0},
                                  {"jp-fill2", "#dce9f1", "#dce9f1", 0.3, 0},
                                  {"jp-fill3", "#f7f7f4", "#f7f7f4", 0.3, 0},
                                  {"jp-fill4", "#f8e6de", "#f8e6de", 0.3, 0},
                                  {"jp-fill5", "#e9b8a3", "#e9b8a3", 0.3, 0}};
constexpr Paint kFacets[kBands] = {{"jp-facet1", "#a9c9de", paint::kSoft, 0.4, 0},
                                   {"jp-facet2", "#dce9f1", paint::kSoft, 0.4, 0},
                                   {"jp-facet3", "#f7f7f4", paint::kSoft, 0.4, 0},
                                   {"jp-facet4", "#f8e6de", paint::kSoft, 0.4, 0},
                                   {"jp-facet5", "#e9b8a3", paint::kSoft, 0.4, 0}};

std::vector<Spot> triangle(Spot at, double radius, double up) {
  return {{at.x, at.y - up * radius}, {at.x + 0.95 * radius, at.y + 0.75 * up * radius}, {at.x - 0.95 * radius, at.y + 0.75 * up * radius}};
}

}  // namespace

HeightScale::HeightScale(const std::vector<assess::FacePoint>& points) {
  bool any = false;
  for (const assess::FacePoint& point : points) {
    if (!std::isfinite(point.deviation_mm)) continue;
    lowest_ = any ? std::min(lowest_, point.deviation_mm) : point.deviation_mm;
    highest_ = any ? std::max(highest_, point.deviation_mm) : point.deviation_mm;
    any = true;
  }
  half_ = std::max(std::abs(lowest_), std::abs(highest_));
  decimals_ = half_ >= kCoarseFrom_mm ? 0 : 1;
}

int HeightScale::band(double deviation_mm) const {
  if (!(half_ > 0) || !std::isfinite(deviation_mm)) return kBands / 2;
  const double share = (deviation_mm + half_) / (2 * half_);
  return std::clamp(static_cast<int>(std::floor(share * kBands)), 0, kBands - 1);
}

std::string HeightScale::band_text(int band) const {
  const double step = 2 * half_ / kBands;
  return number(-half_ + band * step) + " to " + number(-half_ + (band + 1) * step);
}

std::string HeightScale::number(double deviation_mm) const { return signed_fixed(deviation_mm * kHundredths, decimals_); }

const Paint& band_fill(int band, bool has_lines) {
  const int inside = std::clamp(band, 0, kBands - 1);
  return has_lines ? kFacets[inside] : kFills[inside];
}

void draw_marker(Svg& svg, Spot at, double radius, int band) {
  const Paint& mark = kMarks[std::clamp(band, 0, kBands - 1)];
  if (band == kBands / 2) return svg.circle(at, 0.6 * radius, mark);
  svg.polygon(triangle(at, radius, band > kBands / 2 ? 1 : -1), mark);
}

}  // namespace headjoint::report
