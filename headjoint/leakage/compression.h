#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "headjoint/leakage/compression_level.h"
#include "headjoint/leakage/compression_model.h"
#include "headjoint/leakage/compression_pair.h"

/// Cranking compression compared within one engine. Ratios cancel what all cylinders share (valve timing, altitude, the gauge's
/// own error, heat loss); the level all share is set beside the engine maker's figure and the model's wide band.
namespace headjoint::leakage {

/// A cylinder counts as low below this share of the healthy level. Common practice, no source.
inline constexpr double kLowRatio = 0.90;

/// One cylinder's gauge reading after the last stroke.
struct CompressionReading {
  std::optional<GaugePressure> pressure;  ///< empty: not taken. 0 to 100 bar
  bool confirmed = false;                 ///< taken again with the same result: no longer doubted
};

struct CompressionTest {
  std::vector<CompressionReading> readings;                     ///< one per cylinder, at least one
  std::vector<std::pair<std::size_t, std::size_t>> neighbours;  ///< indexes of cylinders that share a bridge of the gasket
  std::optional<Cranking> cranking;                             ///< empty: no areas
  GaugePressure gauge_step = GaugePressure::from_pascal(2e4);   ///< smallest trusted difference; > 0. Default 0.2 bar (3 psi)
  AbsolutePressure ambient = kStandardPressure;
  Plugs plugs = Plugs::kOut;
  std::vector<Angle> firing = {};                 ///< top dead centres of compression, one per cylinder; needed with plugs in
  std::optional<GaugePressure> maker_level = {};  ///< the engine maker's figure for a sound cylinder
};

enum class ReadingState {
  kNotTaken,
  kPlausible,
  kImplausiblyHigh,  ///< far above all others that agree: liquid in the bore, or wrong gauge; not used
  kLikelySlip,       ///< looks like another unit or an absolute gauge; not used until confirmed
};

struct CylinderCompression {
  ReadingState state = ReadingState::kNotTaken;
  double ratio = 0;  ///< reading / reference; 0 when not taken
  LeakArea extra;    ///< beyond the healthy cylinders; kNotRun without cranking data or when the reading is not used
  std::string note;  ///< in words, when the reading is not used: what it may be and what to do
};

enum class CompressionRule {
  kLowestToHighest,  ///< lowest at least 75 % of highest
  kSpread,           ///< (highest - lowest) / highest at most 10 % (good) or 15 % (limit)
  kAdjacentPair,     ///< two neighbours low and equal: a breach between them
};

enum class Verdict { kNotJudged, kPass, kBorderline, kFail };

struct RuleResult {
  CompressionRule rule = CompressionRule::kLowestToHighest;
  Verdict verdict = Verdict::kNotJudged;
  double value = 0;
  double limit = 0;
  std::vector<std::size_t> cylinders;  ///< indexes concerned
  std::string source;                  ///< where the rule stands
};

struct CompressionComparison {
  std::optional<GaugePressure> reference;            ///< the engine's healthy level; empty without a usable reading
  std::optional<GaugePressure> reference_sea_level;  ///< as it would read at 101325 Pa ambient
  std::vector<CylinderCompression> cylinders;
  std::vector<RuleResult> rules;                  ///< the two level rules once, one kAdjacentPair per pair found
  std::vector<PairBreach> pairs;                  ///< every pair of neighbours that both read low; breach areas with cranking data
  LevelFinding level;                             ///< what all cylinders share; not judged without cranking data
  std::shared_ptr<const CompressionModel> model;  ///< fitted to the reference; null without cranking data
  std::string note;                               ///< what concerns the whole engine, in words; may be empty
  LeakArea smallest_visible;  ///< `high` is the smallest extra leak this test would have shown; kNotRun without cranking data
};

/// Compares the cylinders of one engine.
///
/// The reference is the median of the upper half of the usable readings: leaks only ever lower a reading, so the healthy level
/// lies at the top; the plain median would fall between good and bad when a breach pulls down two of four.
/// A rule needs at least two usable readings. Two readings or fewer cannot show which one is right.
///
/// @throws InputError naming the argument; ContractError for a neighbour index out of range
/// @par Source  rules: see RuleResult::source
/// @par Checked published.compression
[[nodiscard]] CompressionComparison compare_compression(const CompressionTest& test);

}  // namespace headjoint::leakage
