#include "headjoint/clamp/sealing_chance.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "headjoint/clamp/internal/joint_kernel.h"
#include "headjoint/clamp/internal/sample_numbers.h"
#include "headjoint/numerics/wilson_interval.h"

namespace headjoint::clamp {
namespace {

void check_scatter(const Scatter& s) {
  ask(s.friction_least > 0 && s.friction_most >= s.friction_least && s.friction_most <= 1, "friction",
      "above 0, at most 1, least before most");
  ask(s.friction_each >= 0 && s.friction_each <= 0.5, "friction_each", "a share from 0 to 0.5");
  ask(s.tool >= 0 && s.tool < 1, "tool", "a share from 0 to below 1");
  ask(mm(s.face) >= 0 && mm(s.face) <= 1, "face", "0 mm to 1 mm");
  ask(s.face_waves >= 1 && s.face_waves <= 8, "face_waves", "1 to 8");
  ask(s.gas >= 0 && s.gas <= 0.5, "gas", "a share from 0 to 0.5");
}

/// One throw of everything that scatters.
struct Throw {
  std::vector<double> forces_N;
  std::vector<double> waves_mm;
  double gas_factor = 1;
  std::vector<double> inputs;
};

/// Draws throws for one joint.
class Dice {
 public:
  Dice(const ClampModel& model, const SealCase& seal_case, std::vector<double> mean_forces)
      : model_(model), scatter_(seal_case.scatter), mean_forces_(std::move(mean_forces)) {}

  [[nodiscard]] std::size_t wave_count() const { return static_cast<std::size_t>(scatter_.face_waves) + 1; }

  [[nodiscard]] Throw throw_of(std::uint64_t seed, std::int64_t sample) const {
    SampleNumbers numbers(seed, static_cast<std::uint64_t>(sample));
    Throw result;
    const double position = numbers.uniform();
    const double friction = scatter_.friction_least + position * (scatter_.friction_most - scatter_.friction_least);
    const double middle = (scatter_.friction_least + scatter_.friction_most) / 2;
    double tool_sum = 0, each_sum = 0;
    for (const double mean : mean_forces_) {
      const double each = std::clamp(numbers.normal(), -3.0, 3.0) * scatter_.friction_each;
      const double tool = (2 * numbers.uniform() - 1) * scatter_.tool;
      tool_sum += tool, each_sum += each;
      const double by_friction = scatter_.by_torque ? lever(middle) / lever(friction * (1 + each)) : 1 - each;
      result.forces_N.push_back(std::max(0.0, mean * by_friction * (1 + tool)));
    }
    result.gas_factor = std::max(0.0, 1 + numbers.normal() * scatter_.gas);
    const double amplitude = mm(scatter_.face) * std::sqrt(2 / static_cast<double>(wave_count()));
    result.inputs = {friction, tool_sum, each_sum, result.gas_factor};
    for (std::size_t w = 0; w < wave_count(); ++w) {
      result.waves_mm.push_back(numbers.normal() * amplitude);
      result.inputs.push_back(result.waves_mm.back());
    }
    return result;
  }

 private:
  /// Torque per force for one friction in thread and under the head; in proportion to friction where the thread is not known.
  [[nodiscard]] double lever(double friction) const {
    if (!model_.bolts.thread) return friction;
    const Length bearing = (model_.bolts.washer_diameter + model_.bolts.thread->diameter) / 2;
    return newton_mm(tightening_torque(*model_.bolts.thread, {std::min(friction, 1.0), std::min(friction, 1.0)}, bearing, from_newton(1)));
  }

  const ClampModel& model_;
  Scatter scatter_;
  std::vector<double> mean_forces_;
};

/// Half waves along the face, and one across, at every node.
std::vector<std::vector<double>> face_waves(const PlanGrid& grid, std::size_t count) {
  std::vector<std::vector<double>> waves(count, std::vector<double>(grid.node_count()));
  for (int ix = 0; ix <= grid.columns; ++ix)
    for (int iy = 0; iy <= grid.rows; ++iy)
      for (std::size_t w = 0; w < count; ++w) {
        const bool across = w + 1 == count;
        const double along = across ? static_cast<double>(iy) / grid.rows : static_cast<double>(ix) / grid.columns;
        waves[w][grid.node(ix, iy)] = std::cos(kPi * along * static_cast<double>(across ? 1 : w + 1));
      }
  return waves;
}

/// A place of rest at the mean of all inputs, with how it moves when one input changes: the start of every sample's search.
struct Prediction {
  std::vector<double> u;
  std::vector<std::vector<double>> per_bolt;  ///< for 1 N more in the spring or force
  std::vector<std::vector<double>> per_wave;  ///< for 1 mm
  std::vector<double> per_gas;                ///< for all of the mean gas once more
};

void add_scaled(std::vector<double>& sum, const std::vector<double>& term, double factor) {
  if (factor == 0 || term.empty()) return;
  for (std::size_t i = 0; i < sum.size(); ++i) sum[i] += factor * term[i];
}

/// Samples of one joint, each searched from the prediction and so exact whatever the contact does.
class Sampler {
 public:
  Sampler(ClampedJoint::Kernel& kernel, const SealCase& seal_case)
      : kernel_(kernel), case_(seal_case), mean_forces_(mean_forces()), dice_(kernel.model, seal_case, mean_forces_) {
    ask(kernel.model.ring.has_value() && kernel.model.ring->least_line_load.has_value() && !kernel.model.bores.empty(), "least_line_load",
        "the chance needs what the fire ring needs: least_line_load in [gasket.fire_ring]");
    nothing_ = kernel_.outer_load({}, {});
    if (seal_case.firing.empty())
      loads_.push_back(kernel_.outer_load(seal_case.loads.gas, seal_case.loads.heat));
    else
      for (const auto& firing : seal_case.firing) loads_.push_back(kernel_.outer_load({firing}, seal_case.loads.heat));
    heat_only_ = kernel_.outer_load({}, seal_case.loads.heat);
    stretch_ = seal_case.loads.heat ? kernel_.heat_stretch_mm(*seal_case.loads.heat) : 0;
    kernel_.begin(seal_case.loads.head_face, seal_case.loads.block_face);
    base_gap_.assign(kernel_.grid.node_count(), 0.0);
    for (const auto* face : {&seal_case.loads.head_face, &seal_case.loads.block_face})
      if (*face) add_scaled(base_gap_, kernel_.gap_of(**face), 1);
    waves_ = face_waves(kernel_.grid, dice_.wave_count());
    predict();
  }

  [[nodiscard]] bool stands() const { return stands_; }

  /// @returns least margin over all rings and firings with the ring's index; empty when the joint found no rest
  struct Margin {
    double least = std::numeric_limits<double>::infinity();
    std::size_t ring = 0;
  };
  [[nodiscard]] std::optional<Margin> sample(const Throw& t) {
    std::vector<double> gap = base_gap_;
    for (std::size_t w = 0; w < waves_.size(); ++w) add_scaled(gap, waves_[w], t.waves_mm[w]);
    kernel_.begin({}, {});
    kernel_.set_gap(std::move(gap));
    work_ = tightened_.u;
    for (std::size_t b = 0; b < t.forces_N.size(); ++b) add_scaled(work_, tightened_.per_bolt[b], t.forces_N[b] - mean_forces_[b]);
    for (std::size_t w = 0; w < waves_.size(); ++w) add_scaled(work_, tightened_.per_wave[w], t.waves_mm[w]);
    kernel_.settle(work_, nothing_, forces(t.forces_N));
    if (!at_rest()) return std::nullopt;
    kernel_.remember(work_);
    const std::vector<BoltAction1> bolts = locked(t.forces_N, work_);
    Margin margin;
    for (std::size_t l = 0; l < loads_.size(); ++l) {
      loaded_work_ = loaded_[l].u;
      for (std::size_t b = 0; b < bolts.size(); ++b)
        add_scaled(loaded_work_, loaded_[l].per_bolt[b], spring_load(bolts[b]) - spring_load(mean_bolts_[b]));
      for (std::size_t w = 0; w < waves_.size(); ++w) add_scaled(loaded_work_, loaded_[l].per_wave[w], t.waves_mm[w]);
      add_scaled(loaded_work_, loaded_[l].per_gas, t.gas_factor - 1);
      kernel_.settle(loaded_work_, scaled(loads_[l], t.gas_factor), bolts);
      if (!at_rest()) return std::nullopt;
      const std::vector<RingResult> rings = kernel_.ring_results(loaded_work_);
      for (std::size_t r = 0; r < rings.size(); ++r)
        if (*rings[r].margin < margin.least) margin = {*rings[r].margin, r};
    }
    return margin;
  }

  [[nodiscard]] const Dice& dice() const { return dice_; }

 private:
  [[nodiscard]] std::vector<double> mean_forces() const {
    if (!case_.loads.bolt_forces_N.empty()) {
      ask(case_.loads.bolt_forces_N.size() == kernel_.model.bolts.at.size(), "bolt_forces", "one force for each bolt");
      return case_.loads.bolt_forces_N;
    }
    const std::optional<Force> preload = case_.loads.preload ? case_.loads.preload : kernel_.model.preload;
    ask(preload.has_value() && newton(*preload) >= 0, "preload", "no preload is given, neither here nor in the engine file");
    return std::vector<double>(kernel_.model.bolts.at.size(), newton(*preload));
  }
  [[nodiscard]] bool at_rest() const { return kernel_.summary().status == ClampStatus::kConverged; }
  [[nodiscard]] std::vector<BoltAction1> forces(const std::vector<double>& force) const {
    std::vector<BoltAction1> bolts;
    for (const double f : force) bolts.push_back({BoltAction1::Kind::kForce, f, 0});
    return bolts;
  }
  [[nodiscard]] std::vector<BoltAction1> locked(const std::vector<double>& force, const std::vector<double>& u) const {
    if (case_.loads.action == BoltAction::kForce) return forces(force);
    std::vector<BoltAction1> bolts;
    for (std::size_t b = 0; b < force.size(); ++b)
      bolts.push_back({BoltAction1::Kind::kSpring, force[b], kernel_.solver->bolt_movement(b, u) + stretch_});
    return bolts;
  }
  /// Force of a spring at movement 0.
  [[nodiscard]] double spring_load(const BoltAction1& bolt) const {
    return bolt.force_N + (bolt.kind == BoltAction1::Kind::kSpring ? kernel_.solver->bolt_stiffness() * bolt.movement_mm : 0);
  }
  /// Gas of a load times a factor; heat stays.
  [[nodiscard]] OuterLoad scaled(const OuterLoad& load, double factor) const {
    OuterLoad result{heat_only_.nodal, factor * load.gas_N, factor * load.gas_x, factor * load.gas_y};
    for (std::size_t i = 0; i < result.nodal.size(); ++i) result.nodal[i] += factor * (load.nodal[i] - heat_only_.nodal[i]);
    return result;
  }

  void respond_to(Prediction& prediction, std::span<const BoltAction1> bolts, const OuterLoad* gas) {
    const std::size_t n = prediction.u.size();
    ContactSolver& solver = *kernel_.solver;
    for (std::size_t b = 0; b < bolts.size(); ++b) {
      std::vector<double> change(n, 0.0);
      solver.washer(b).add(1, change);
      solver.respond(change, prediction.u, bolts);
      prediction.per_bolt.push_back(std::move(change));
    }
    for (const std::vector<double>& wave : waves_) {
      std::vector<double> change(n, 0.0);
      if (mm(case_.scatter.face) > 0) {
        solver.add_gap_load(wave, change);
        solver.respond(change, prediction.u, bolts);
      }
      prediction.per_wave.push_back(std::move(change));
    }
    if (gas == nullptr) return;
    prediction.per_gas = gas->nodal;
    for (std::size_t i = 0; i < n; ++i) prediction.per_gas[i] -= heat_only_.nodal[i];
    solver.respond(prediction.per_gas, prediction.u, bolts);
  }

  void predict() {
    const std::vector<BoltAction1> bolts = forces(mean_forces_);
    tightened_.u = kernel_.u_clamped;
    kernel_.settle(tightened_.u, nothing_, bolts);
    stands_ = at_rest();
    if (!stands_) return;
    respond_to(tightened_, bolts, nullptr);
    kernel_.remember(tightened_.u);
    mean_bolts_ = locked(mean_forces_, tightened_.u);
    for (const OuterLoad& load : loads_) {
      Prediction& loaded = loaded_.emplace_back();
      loaded.u = tightened_.u;
      kernel_.settle(loaded.u, load, mean_bolts_);
      stands_ = stands_ && at_rest();
      if (!stands_) return;
      respond_to(loaded, mean_bolts_, &load);
    }
  }

  ClampedJoint::Kernel& kernel_;
  const SealCase& case_;
  std::vector<double> mean_forces_;
  Dice dice_;
  OuterLoad nothing_, heat_only_;
  std::vector<OuterLoad> loads_;
  double stretch_ = 0;
  std::vector<double> base_gap_;
  std::vector<std::vector<double>> waves_;
  Prediction tightened_;
  std::vector<Prediction> loaded_;
  std::vector<BoltAction1> mean_bolts_;
  bool stands_ = false;
  std::vector<double> work_, loaded_work_;
};

/// Ranks from 0; ties by place.
std::vector<double> ranks(const std::vector<double>& values) {
  std::vector<std::size_t> order(values.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return values[a] < values[b]; });
  std::vector<double> rank(values.size());
  for (std::size_t i = 0; i < order.size(); ++i) rank[order[i]] = static_cast<double>(i);
  return rank;
}

double rank_correlation(const std::vector<double>& a, const std::vector<double>& b) {
  const std::vector<double> ra = ranks(a), rb = ranks(b);
  const double middle = (static_cast<double>(a.size()) - 1) / 2;
  double product = 0, squares = 0;
  for (std::size_t i = 0; i < ra.size(); ++i) {
    product += (ra[i] - middle) * (rb[i] - middle);
    squares += (ra[i] - middle) * (ra[i] - middle);
  }
  return squares > 0 ? product / squares : 0;
}

bool is_constant(const std::vector<double>& values) {
  return std::all_of(values.begin(), values.end(), [&](double v) { return v == values.front(); });
}

std::vector<InputShare> input_shares(const SealTally& tally) {
  static const std::vector<std::string> kNames = {"friction of the job", "wrench", "friction from bolt to bolt", "peak pressure",
                                                  "shape of the face"};
  std::vector<InputShare> shares;
  for (const std::string& name : kNames) shares.push_back({name, 0});
  if (tally.inputs.size() < 3) return {};
  double sum = 0;
  for (std::size_t k = 0; k < tally.inputs.front().size(); ++k) {
    std::vector<double> values;
    for (const auto& inputs : tally.inputs) values.push_back(inputs[k]);
    if (is_constant(values)) continue;
    const double r = rank_correlation(values, tally.margins);
    shares[std::min(k, kNames.size() - 1)].share += r * r;
    sum += r * r;
  }
  for (InputShare& share : shares) share.share = sum > 0 ? share.share / std::max(sum, 1e-300) : 0;
  std::stable_sort(shares.begin(), shares.end(), [](const InputShare& a, const InputShare& b) { return a.share > b.share; });
  return shares;
}

double quantile(std::vector<double> values, double share) {
  if (values.empty()) return 0;
  const auto at = static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1) + 0.5);
  std::nth_element(values.begin(), values.begin() + at, values.end());
  return values[static_cast<std::size_t>(at)];
}

}  // namespace

void SealTally::add(const SealTally& other) {
  samples += other.samples;
  sealed += other.sealed;
  unsolved += other.unsolved;
  weakest.resize(std::max(weakest.size(), other.weakest.size()), 0);
  for (std::size_t i = 0; i < other.weakest.size(); ++i) weakest[i] += other.weakest[i];
  margins.insert(margins.end(), other.margins.begin(), other.margins.end());
  inputs.insert(inputs.end(), other.inputs.begin(), other.inputs.end());
}

SealTally sample_sealing(ClampedJoint& joint, const SealCase& seal_case, std::uint64_t seed, std::int64_t first, std::int64_t last,
                         const SealProgress& progress) {
  check_scatter(seal_case.scatter);
  ask(first >= 0 && last >= first && last - first <= 10'000'000, "samples", "0 to 10 million");
  constexpr std::int64_t kTellEvery = 10;
  Sampler sampler(joint.kernel(), seal_case);
  SealTally tally;
  tally.weakest.assign(joint.model().bores.size(), 0);
  for (std::int64_t i = first; i < last; ++i) {
    if (progress.stop != nullptr && progress.stop->load(std::memory_order_relaxed)) break;
    const Throw thrown = sampler.dice().throw_of(seed, i);
    const auto margin = sampler.stands() ? sampler.sample(thrown) : std::nullopt;
    ++tally.samples;
    tally.inputs.push_back(thrown.inputs);
    tally.margins.push_back(margin ? margin->least : 0);
    if (margin) {
      ++tally.weakest[margin->ring];
      if (margin->least >= 1) ++tally.sealed;
    } else {
      ++tally.unsolved;
    }
    if (progress.report && tally.samples % kTellEvery == 0) progress.report(tally.samples);
  }
  return tally;
}

SealChance seal_chance(const SealTally& tally, const ClampModel& model) {
  SealChance result;
  result.samples = tally.samples;
  result.unsolved = tally.unsolved;
  if (tally.samples == 0) return result;
  result.chance = static_cast<double>(tally.sealed) / static_cast<double>(tally.samples);
  const numerics::Interval interval =
      numerics::wilson_interval(static_cast<std::size_t>(tally.sealed), static_cast<std::size_t>(tally.samples));
  result.low = interval.low;
  result.high = interval.high;
  for (std::size_t r = 0; r < tally.weakest.size() && r < model.bores.size(); ++r)
    if (tally.weakest[r] > 0)
      result.weakest.push_back({model.bores[r].number, static_cast<double>(tally.weakest[r]) / static_cast<double>(tally.samples)});
  std::stable_sort(result.weakest.begin(), result.weakest.end(), [](const WeakRing& a, const WeakRing& b) { return a.share > b.share; });
  result.inputs = input_shares(tally);
  result.margin_median = quantile(tally.margins, 0.5);
  result.margin_5_percent = quantile(tally.margins, 0.05);
  return result;
}

}  // namespace headjoint::clamp
