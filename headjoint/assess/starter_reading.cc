#include <fmt/format.h>

#include <algorithm>

#include "headjoint/assess/cranking_input.h"
#include "headjoint/assess/internal/reading_words.h"
#include "headjoint/assess/readings.h"
#include "headjoint/leakage/compression_model.h"
#include "headjoint/leakage/leak_size.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::assess {
namespace {

/// Error of one cylinder's share: the next one in firing order disturbs it. Order of magnitude, common practice, no source.
constexpr double kStarterSigma = 0.06;
/// The strongest pull is the highest of several that scatter: a sound cylinder stands a little below it.
constexpr double kSoundShare = 0.97;
constexpr double kLargestShare = 3.0;

}  // namespace

Result<ReadTest<StarterPull>> judge_starter(const jobs::Reading& reading, const jobs::Job& job) {
  ReadTest<StarterPull> read;
  const leakage::CompressionModel model(cranking_of(job.engine).value_or(leakage::Cranking{.displacement = 400 * unit_of<Volume>("cm3")}));
  leakage::LeakSizes sizes;
  sizes.compression_sigma = kStarterSigma;
  for (std::size_t i = 0; i < reading.values.size(); ++i) {
    const jobs::ReadingValue& value = reading.values[i];
    if (value.kind != jobs::ReadingValue::Kind::kLoss) continue;
    const double ratio = std::min(value.loss / kSoundShare, kLargestShare);
    const auto areas = leakage::leak_area_likelihood_of_compression(ratio, std::clamp(value.step_si, 1e-3, 0.5), model, sizes);
    read.areas.push_back({read.observations.size(), areas});
    read.observations.push_back({"starter_current", cylinder_name(i), states_of(areas.classes(sizes)),
                                 fmt::format("starter's pull on {}: {:.0f} %", cylinder_name(i), 100 * value.loss), true});
  }
  return read;
}

}  // namespace headjoint::assess
