// Chances given for simulated jobs against what was wrong with the engines: calibration and regret, as shipped and with every number
// of the network moved by half a decade. Usage: calibration [jobs]

#include "headjoint/diagnosis/calibration.h"

#include <fmt/format.h>

#include <cstdlib>
#include <string>
#include <vector>

#include "headjoint/assess/engine_layout.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/diagnosis/simulator.h"
#include "headjoint/diagnosis/testing/shipped_pattern.h"

namespace headjoint {
namespace {

using namespace diagnosis;

constexpr double kOpenMinutes = 600;    // to lift the head and renew the joint
constexpr double kLeaveMinutes = 1200;  // a failed joint left in

/// What a workshop would have looked at: the owner's story mostly, under the bonnet often, gauges now and then.
bool is_looked_at(const Finding& finding, bool gauges, std::mt19937& random) {
  if (finding.kind == FindingKind::kHidden || finding.needs == "head_off") return false;
  if (finding.kind == FindingKind::kReading) return gauges;
  if (finding.kind == FindingKind::kTest) return random() % 6 == 0;
  return random() % 3 != 0;
}

struct Tally {
  std::vector<Forecast> joint;
  std::vector<Forecast> paths;
  double regret_minutes = 0;
};

double loss(bool open, bool failed) { return open ? kOpenMinutes : (failed ? kLeaveMinutes : 0); }

void run(const InstanceNetwork& truth, const InstanceNetwork& model, std::size_t jobs, Tally& tally) {
  DiagnosisOptions plain;
  plain.bands = plain.weights = false;
  std::mt19937 random(2026);
  for (std::size_t job = 0; job < jobs; ++job) {
    const DrawnEngine engine = draw_engine(truth, random);
    const bool gauges = random() % 2 == 0;
    std::vector<Observation> looks;
    for (std::size_t i = 0; i < truth.instances.size(); ++i)
      if (!truth.instances[i].is_cause && is_looked_at(truth.finding(i), gauges, random))
        looks.push_back(look_at(truth, engine, i, random));
    const Diagnosis said = diagnose(model, looks, plain);
    const Diagnosis best = &truth == &model ? said : diagnose(truth, looks, plain);
    if (said.status != Status::kDone || best.status != Status::kDone) continue;
    for (std::size_t c = 0; c < said.causes.size(); ++c) {
      const CausePosterior& cause = said.causes[c];
      const bool there = engine.state[cause.instance] > 0;
      if (model.cause(cause.instance).layer == Layer::kPath) tally.paths.push_back({cause.posterior, there});
      if (model.instances[cause.instance].name != "joint_failed") continue;
      tally.joint.push_back({cause.posterior, there});
      const double turns = kOpenMinutes / kLeaveMinutes;
      tally.regret_minutes += loss(cause.posterior > turns, there) - loss(best.causes[c].posterior > turns, there);
    }
  }
}

void print(const std::string& title, const Tally& tally) {
  fmt::print("{}\n  joint failed: {} jobs, Brier {:.4f}, log score {:.4f}, regret {:.1f} workshop minutes a job\n", title,
             tally.joint.size(), brier_score(tally.joint), log_score(tally.joint),
             tally.regret_minutes / static_cast<double>(tally.joint.size()));
  fmt::print("  seal paths:   {} chances, Brier {:.4f}, log score {:.4f}\n", tally.paths.size(), brier_score(tally.paths),
             log_score(tally.paths));
  fmt::print("  said   came true   95 % band      jobs\n");
  for (const ReliabilityBin& bin : reliability(tally.joint)) {
    const bool inside = bin.mean_chance >= bin.interval.low && bin.mean_chance <= bin.interval.high;
    fmt::print("  {:.3f}  {:.3f}       {:.3f}-{:.3f} {:>6}{}\n", bin.mean_chance, bin.frequency, bin.interval.low, bin.interval.high,
               bin.cases, inside ? "" : "  outside");
  }
}

}  // namespace
}  // namespace headjoint

int main(int argc, char** argv) {
  using namespace headjoint;
  const std::size_t jobs = argc > 1 ? static_cast<std::size_t>(std::atol(argv[1])) : 2000;
  const auto network = build(assess::head_joint_pattern(), diagnosis::testing::engine_layout(4, 1), {"liquid", "petrol", "inline"});
  Tally shipped;
  run(network, network, jobs, shipped);
  print("as shipped", shipped);
  std::mt19937 random(7);
  Tally moved;
  run(network, disturbed(network, random), jobs, moved);
  print("every number moved by half a decade, up or down at random", moved);
}
