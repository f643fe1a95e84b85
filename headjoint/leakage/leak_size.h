#pragma once

#include <optional>
#include <vector>

#include "headjoint/leakage/compression_model.h"
#include "headjoint/leakage/leak_down.h"

/// What a reading says about the size of a cylinder's leak, for the diagnosis.
///
/// Every class is a spread of effective areas; the reading's probability is averaged over it. The error is Gaussian in the
/// quantity that the gauge shows (leak-down: pressure; compression: ratio), where it is about symmetric; a reading stands for
/// its whole rounding step, and the ends of the scale for all that lies beyond. A wrong reading may be any on the scale; no
/// single reading moves the odds between two classes by more than 1 / wrong_reading. Only the ratios between the classes matter.
/// Compression and leak-down see the same area: their errors are independent, the area is not, so a class is one shared state.
namespace headjoint::leakage {

/// Bounds of the classes and the spreads assumed; no published figures exist for these tests, so all are stated assumptions.
struct LeakSizes {
  Area smallest = Area::from_si(0.002e-6);      ///< a bubble test shows leaks from about here (0.15 L/min at 80 psi)
  Area small_to_large = Area::from_si(0.2e-6);  ///< a cranking compression test shows leaks from about here (5 % drop, 400 cm3)
  Area largest = Area::from_si(10e-6);          ///< nearly all compression lost
  double healthy_loss_low = 0.02;               ///< leak-down loss of sound rings and valves, common practice, no source
  double healthy_loss_high = 0.10;              ///< likewise
  double healthy_loss_spread = 0.02;            ///< sound cylinders of one engine differ from their level by up to this
  double leak_down_sigma = 3.0 / 80;            ///< of the supply: one operator, piston moved and set again; assumption
  double compression_sigma = 0.04;              ///< of the ratio: sound cylinders and repeated cranking together; assumption
  double wrong_reading = 0.01;                  ///< chance that the reading says nothing about the cylinder; assumption
};

/// Probability of the reading if the cylinder has no leak beyond a healthy one, a small one, a large one.
struct LeakSizeLikelihood {
  double none = 1;
  double small = 1;
  double large = 1;
};

/// Probability of a reading given each area of a fixed grid; a product of several is what they say together. Independent errors multiply
/// area by area, not class by class: two gauges on one large leak both say how large it is.
class LeakAreaLikelihood {
 public:
  /// Nothing read: 1 everywhere.
  LeakAreaLikelihood();
  /// @param probability  P(reading | leak area beyond a healthy one), finite, >= 0
  /// @param probability_if_wrong  of this reading on a gauge that says nothing about the cylinder
  template <class Function>
  LeakAreaLikelihood(const LeakSizes& sizes, double probability_if_wrong, Function&& probability) {
    for (const Area area : areas(sizes))
      values_.push_back((1 - sizes.wrong_reading) * probability(area.si()) + sizes.wrong_reading * probability_if_wrong);
  }

  /// A second reading of the same leak.
  void multiply(const LeakAreaLikelihood& other);

  /// Mean over each class; no class less than `wrong_reading` of the largest.
  [[nodiscard]] LeakSizeLikelihood classes(const LeakSizes& sizes = {}) const;

  /// What this says on top of what `before` said: for this = before times one reading, classes() = before.classes() times it.
  [[nodiscard]] LeakSizeLikelihood classes_after(const LeakAreaLikelihood& before, const LeakSizes& sizes = {}) const;

 private:
  /// No leak, then each class spread evenly over the logarithm of the area.
  static std::vector<Area> areas(const LeakSizes& sizes);
  [[nodiscard]] LeakSizeLikelihood means() const;

  std::vector<double> values_;
};

/// The loss that this engine's sound cylinders show: median of the lower half of the losses, held inside the healthy band.
/// Leaks only ever raise a loss, so the sound level lies at the bottom. Empty for fewer than two cylinders: one cannot be its
/// own measure.
/// @param losses  loss fractions, each 0 to 1
/// @throws InputError naming the argument
[[nodiscard]] std::optional<double> healthy_leak_down_loss(std::vector<double> losses, const LeakSizes& sizes = {});

/// Likelihood of one leak-down reading.
///
/// @param reading  0 <= reading <= supply
/// @param healthy_loss  from healthy_leak_down_loss; empty: nothing known but the healthy band
/// @throws InputError naming the argument
[[nodiscard]] LeakAreaLikelihood leak_area_likelihood_of_leak_down(const LeakDownTest& test, GaugePressure reading,
                                                                   std::optional<double> healthy_loss, const LeakSizes& sizes = {});
/// The same for the three classes.
[[nodiscard]] LeakSizeLikelihood leak_size_from_leak_down(const LeakDownTest& test, GaugePressure reading,
                                                          std::optional<double> healthy_loss, const LeakSizes& sizes = {});

/// Likelihood of one compression reading as a ratio to the engine's healthy level.
///
/// @param ratio       reading / reference; 0 to 3
/// @param ratio_step  gauge step / reference; > 0, < 1
/// @throws InputError naming the argument
[[nodiscard]] LeakAreaLikelihood leak_area_likelihood_of_compression(double ratio, double ratio_step, const CompressionModel& model,
                                                                     const LeakSizes& sizes = {});
/// The same for the three classes.
[[nodiscard]] LeakSizeLikelihood leak_size_from_compression(double ratio, double ratio_step, const CompressionModel& model,
                                                            const LeakSizes& sizes = {});

}  // namespace headjoint::leakage
