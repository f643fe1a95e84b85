#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <future>

#include "headjoint/assess/clamp_input.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_clamp.h"
#include "headjoint/base/text.h"
#include "headjoint/clamp/sealing_chance.h"
#include "headjoint/joint/figure_file.h"

namespace headjoint::assess {
namespace {

constexpr std::int64_t kUsualSamples = 1000, kMostSamples = 10'000'000;

std::int64_t whole_number(const Request& request, OptionReader& options, const char* name, std::int64_t otherwise, std::int64_t least,
                          std::int64_t most) {
  const std::string text = request.option(name);
  if (text.empty()) return otherwise;
  const auto value = parse_number(text);
  if (value && *value >= static_cast<double>(least) && *value <= static_cast<double>(most) && *value == std::floor(*value))
    return static_cast<std::int64_t>(*value);
  options.refuse(std::string("--") + name, "\"" + text + "\" is not understood", fmt::format("a whole number from {} to {}", least, most));
  return otherwise;
}

/// "4 %" as a share of one.
double share(const Request& request, OptionReader& options, const char* name, double otherwise, double most) {
  const std::string text = request.option(name);
  if (text.empty()) return otherwise;
  std::string_view number = trimmed(text);
  const bool percent = number.ends_with('%');
  if (percent) number.remove_suffix(1);
  const auto value = parse_number(trimmed(number));
  if (value && percent && *value >= 0 && *value <= 100 * most) return *value / 100;
  options.refuse(std::string("--") + name, "\"" + text + "\" is no share", fmt::format("0 % to {} %", number_text(100 * most, 3)));
  return otherwise;
}

/// "0.10-0.14", "0.10,0.14" or one figure.
void read_friction(const Request& request, OptionReader& options, clamp::Scatter& scatter) {
  const std::string text = request.option("friction");
  if (text.empty()) return;
  const std::size_t cut = text.find_first_of("-;", 1);
  const auto least = parse_number(trimmed(std::string_view(text).substr(0, cut)));
  const auto most = cut == std::string::npos ? least : parse_number(trimmed(std::string_view(text).substr(cut + 1)));
  if (least && most && *least >= 0.02 && *most >= *least && *most <= 0.6)
    scatter.friction_least = *least, scatter.friction_most = *most;
  else
    options.refuse("--friction", "\"" + text + "\" is no range of friction", "0.02 to 0.6, such as 0.10-0.14");
}

/// What scatters, from options, else from the engine and usual figures; notes say what was taken.
clamp::Scatter read_scatter(const Request& request, OptionReader& options, const ClampInput& input, std::vector<std::string>& notes) {
  clamp::Scatter scatter;
  scatter.friction_least = input.model.bolts.friction_least;
  scatter.friction_most = input.model.bolts.friction_most;
  read_friction(request, options, scatter);
  scatter.tool = share(request, options, "tool", scatter.tool, 0.5);
  scatter.gas = share(request, options, "gas-scatter", scatter.gas, 0.5);
  const auto face = options.quantity<Length>("face-uncertainty");
  const bool is_measured = input.loads.head_face || input.loads.block_face;
  scatter.face = face ? face->value : Length::from_si(is_measured ? 5e-6 : 15e-6);
  if (!(scatter.face.si() >= 0 && scatter.face.si() <= 1e-3))
    options.refuse("--face-uncertainty", "is \"" + face->text + "\"", "0 mm to 1 mm");
  const std::string method = lower_case(request.option("method"));
  const bool ends_with_angle = !input.model.stages.empty() && input.model.stages.back().angle.has_value();
  if (!method.empty() && method != "torque" && method != "angle")
    options.refuse("--method", "\"" + method + "\" is not known", "torque or angle");
  scatter.by_torque = method.empty() ? !ends_with_angle : method == "torque";
  notes.push_back(
      fmt::format("Friction {} to {} for the whole job, 5 % from bolt to bolt; wrench off by up to {} %; peak pressure off by {} %; face "
                  "off by {} mm.",
                  number_text(scatter.friction_least, 2), number_text(scatter.friction_most, 2), number_text(100 * scatter.tool, 2),
                  number_text(100 * scatter.gas, 2), number_text(scatter.face.si() * 1e3, 2)));
  notes.emplace_back(scatter.by_torque ? "Tightened by torque: the preload follows the friction."
                                       : "Tightened by angle: the preload hardly follows the friction.");
  return scatter;
}

/// Runs the samples on two threads; the caller's own tells the progress.
class TwoThreads {
 public:
  TwoThreads(const Request& request, const clamp::SealCase& seal_case, std::int64_t samples, std::uint64_t seed)
      : request_(request), case_(seal_case), samples_(samples), seed_(seed) {}

  clamp::SealTally run(clamp::ClampedJoint& joint) {
    constexpr std::int64_t kWorthAThread = 20;
    const std::int64_t half = samples_ < kWorthAThread ? samples_ : samples_ / 2;
    clamp::ClampedJoint twin = joint.copy();
    auto other = std::async(half < samples_ ? std::launch::async : std::launch::deferred, [&] {
      return clamp::sample_sealing(twin, case_, seed_, half, samples_, {[&](std::int64_t done) { other_done_ = done; }, &stop_});
    });
    clamp::SealTally tally;
    try {
      tally = clamp::sample_sealing(joint, case_, seed_, 0, half, {[&](std::int64_t done) { tell(done); }, &stop_});
      while (other.wait_for(std::chrono::milliseconds(100)) == std::future_status::timeout) tell(tally.samples);
    } catch (...) {
      stop_ = true;  // the other thread ends before what it works on
      other.wait();
      throw;
    }
    tally.add(other.get());
    return tally;
  }

 private:
  void tell(std::int64_t own) {
    const std::int64_t done = own + other_done_.load();
    if (!request_.progress(static_cast<double>(done) / static_cast<double>(samples_))) stop_ = true;
  }

  const Request& request_;
  const clamp::SealCase& case_;
  std::int64_t samples_;
  std::uint64_t seed_;
  std::atomic<bool> stop_{false};
  std::atomic<std::int64_t> other_done_{0};
};

/// How many trials had at least which margin, at round margins over the range that occurred.
std::vector<SealingAnswer::AtLeast> margin_curve(std::vector<double> margins) {
  std::vector<SealingAnswer::AtLeast> curve;
  if (margins.empty()) return curve;
  std::sort(margins.begin(), margins.end());
  constexpr int kSteps = 24;
  const double range = std::max(margins.back() - margins.front(), 0.1);
  const double step = range > kSteps * 0.05 ? 0.1 * std::ceil(10 * range / kSteps) : 0.05;
  for (double margin = step * std::floor(margins.front() / step); margin < margins.back() + step; margin += step) {
    const auto reached = margins.end() - std::lower_bound(margins.begin(), margins.end(), margin);
    curve.push_back({margin, static_cast<double>(reached) / static_cast<double>(margins.size())});
  }
  return curve;
}

std::string sentence_of(const SealingAnswer& answer) {
  if (answer.samples == 0) return "Stopped before the first trial.";
  std::string text = fmt::format("It seals in {} of 100 ({} to {}), from {} trials", number_text(100 * answer.chance, 3),
                                 number_text(100 * answer.low, 3), number_text(100 * answer.high, 3), answer.samples);
  if (!answer.weakest.empty()) text += fmt::format("; most often bore {} is the weakest", answer.weakest.front().bore);
  text += ".";
  if (answer.samples < answer.asked) text += fmt::format(" Stopped before all {}.", answer.asked);
  return text;
}

Result<Reply> run_seal_chance(const Request& request) {
  const auto start = std::chrono::steady_clock::now();
  const auto input = clamp_input(request, true);
  if (!input) return input.problems();
  OptionReader options(request);
  SealingAnswer answer;
  answer.notes = input->said;
  clamp::SealCase seal_case;
  seal_case.loads = input->loads;
  seal_case.firing = input->loads.gas;
  seal_case.scatter = read_scatter(request, options, *input, answer.notes);
  answer.asked = whole_number(request, options, "samples", kUsualSamples, 1, kMostSamples);
  const auto seed = static_cast<std::uint64_t>(whole_number(request, options, "seed", 1, 0, 1'000'000'000'000));
  if (seal_case.firing.empty()) {
    if (const auto& peak = input->engine.general.peak_pressure)
      for (const clamp::BoreSeal& bore : input->model.bores) seal_case.firing[bore.number] = peak->value;
    else
      options.refuse("--gas", "the gas pressure is not known", "--gas \"80 bar\", or peak_pressure in [engine]");
    answer.notes.emplace_back("Every bore fires in turn at the engine file's peak pressure; all must hold.");
  }
  if (has_errors(options.problems())) return options.problems();
  for (const std::string& note : input->notes) answer.notes.push_back(note);
  try {
    clamp::ClampedJoint joint(input->model, input->options);
    const clamp::SealTally tally = TwoThreads(request, seal_case, answer.asked, seed).run(joint);
    const clamp::SealChance chance = clamp::seal_chance(tally, input->model);
    answer.chance = chance.chance, answer.low = chance.low, answer.high = chance.high;
    answer.samples = chance.samples, answer.unsolved = chance.unsolved;
    answer.margin_median = chance.margin_median, answer.margin_5_percent = chance.margin_5_percent;
    answer.margins = margin_curve(tally.margins);
    for (const clamp::WeakRing& ring : chance.weakest) answer.weakest.push_back({ring.bore, {}, ring.share});
    for (const clamp::InputShare& one : chance.inputs) answer.inputs.push_back({0, one.input, one.share});
  } catch (const InputError& error) {
    return option_problem(error);
  }
  answer.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  answer.sentence = sentence_of(answer);
  Reply reply;
  reply.document = assess::answer();
  merge_members(reply.document, to_document(answer));
  reply.warnings = input->warnings;
  reply.answer_is_no = answer.chance < 0.5;
  reply.content = std::move(answer);
  return reply;
}

}  // namespace

Operation seal_chance_operation() {
  std::vector<OptionSpec> options = clamp_options(true);
  options.push_back({"samples", "COUNT", "trials; 1000 when not given"});
  options.push_back({"seed", "NUMBER", "the same seed gives the same trials; 1 when not given"});
  options.push_back({"friction", "RANGE", "in thread and under the head, 0.10-0.14; the engine file's when not given"});
  options.push_back({"tool", "SHARE", "how far the wrench may be off; 4 % when not given"});
  options.push_back({"gas-scatter", "SHARE", "standard deviation of the peak pressure; 5 % when not given"});
  options.push_back({"face-uncertainty", "LENGTH", "of the faces' shape; 0.005 mm measured, 0.015 mm not measured, when not given"});
  options.push_back({"method", "WORD", "torque or angle; after the engine file's last stage when not given"});
  return {
      .name = "seal-chance",
      .summary = "how likely the joint seals when friction, wrench, faces and peak pressure scatter, and which of them matters most",
      .argument = "ENGINE",
      .input = InputKind::kDocument,
      .options = std::move(options),
      .keys =
          "chance, low, high, weakest[]{bore, share}, inputs[]{input, share}, samples, unsolved, seconds, margin_median, margin_5_percent, "
          "margins[]{margin, share}, notes[]",
      .run = run_seal_chance,
      .takes_long = true,
  };
}

}  // namespace headjoint::assess
