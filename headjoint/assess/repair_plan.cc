#include "headjoint/assess/repair_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/skim.h"
#include "headjoint/base/error.h"

namespace headjoint::assess {
namespace {

constexpr double kWorthACure = 0.15;  ///< of a cause that would spoil the new joint
constexpr double kWorthAWord = 0.5;   ///< of any other
constexpr std::size_t kMostCures = 6;

template <class T>
T shipped(Result<T> (*read)(std::string_view, const std::string&), const std::string& path) {
  auto result = read(shipped_file(path), "data/" + path);
  require(result.has_value(), to_string(result.problems()).c_str());
  return std::move(result).value();
}

/// Rivals that the finding does not rule out and that a repair of their own puts right.
std::vector<PlanStep> rival_cures(const Finding& finding) {
  std::vector<PlanStep> steps;
  std::set<std::string> said;
  for (const Suspect& rival : finding.rivals) {
    const std::string decision = decision_of(rival.name);
    const bool spoils = makes_hot(rival.name) && rival.chance.value > rival.before;
    if (rival.chance.value < (spoils ? kWorthACure : kWorthAWord) || decision.empty() || steps.size() >= kMostCures ||
        !said.insert(decision + rival.where).second)
      continue;
    std::string text = decision_text(decision);
    if (!rival.where.empty()) text += ", " + rival.where;
    text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
    steps.push_back({text + ".",
                     fmt::format("{}: chance {:.0f} in 100 by the finding.", rival.text, 100 * rival.chance.value),
                     "the finding of this job",
                     {}});
  }
  return steps;
}

/// Cuts for the last measurement of each face; what cannot be read was said when the face was judged.
std::vector<LeastCut> least_cuts(const jobs::Job& job) {
  constexpr double kFinish_mm = 0.02;  ///< last pass; common practice, no source
  std::vector<LeastCut> cuts;
  for (const jobs::Face& face : job.faces) {
    const bool is_measured_again = std::any_of(job.faces.begin(), job.faces.end(), [&](const jobs::Face& other) {
      return &other > &face && other.part == face.part && other.head == face.head && other.counts();
    });
    if (!face.counts() || is_measured_again) continue;
    SkimQuestion question;
    question.table = face.table;
    question.source = face.file;
    question.part = face.part == jobs::FacePart::kHead ? faces::MachinedPart::kHead : faces::MachinedPart::kBlock;
    question.finish = Length::from_si(kFinish_mm * 1e-3);
    if (face.uncertainty) question.uncertainty = face.uncertainty->value;
    const auto skim = judge_skim(question, job.engine);
    if (!skim) continue;
    cuts.push_back({skim->part, std::to_string(face.head), skim->least.depth_mm, skim->parallel.depth_mm, skim->total_mm, skim->cut_needed,
                    skim->decision_text});
  }
  return cuts;
}

std::string sentence_of(const Assessment& all, const RepairPlan& plan) {
  const std::size_t cures = plan.sections.empty() || plan.sections.front().name != "cure" ? 0 : plan.sections.front().steps.size();
  std::string text = all.job.engine.name.empty() ? "The repair" : "The repair of " + all.job.engine.name;
  text += plan.bolts == "new"     ? ": new bolts"
          : plan.bolts == "again" ? ": the measured bolts serve again"
                                  : ": measure the bolts or fit new ones";
  text += cures == 0   ? ", nothing else stands out that would spoil it."
          : cures == 1 ? ", and one cause to look for so that it does not fail again."
                       : fmt::format(", and {} causes to look for so that it does not fail again.", cures);
  return text;
}

void add_missing(const joint::Engine& engine, std::vector<std::string>& missing) {
  const auto need = [&](bool there, const char* key) {
    if (!there) missing.emplace_back(key);
  };
  need(engine.gasket && !engine.gasket->kind.empty(), "gasket.kind");
  need(engine.gasket && engine.gasket->thickness, "gasket.thickness");
  need(engine.bolts && engine.bolts->size, "bolts.size");
  need(engine.bolts && !engine.bolts->at.empty(), "bolts.at");
  need(engine.bolts && engine.bolts->single_use, "bolts.single_use");
  need(engine.tightening && !engine.tightening->order.empty(), "tightening.order");
  need(engine.tightening && !engine.tightening->stages.empty(), "tightening.stages");
  need(engine.tightening && engine.tightening->retighten, "tightening.retighten");
  need(engine.head && engine.head->flatness_limit, "head.flatness_limit");
  need(engine.head && engine.head->least_height, "head.least_height");
  need(engine.block && engine.block->flatness_limit, "block.flatness_limit");
  if (engine.general.cooling == joint::CooledBy::kAir) return;
  need(engine.cooling && engine.cooling->volume, "cooling.volume");
  need(engine.cooling && engine.cooling->cap, "cooling.cap");
}

}  // namespace

const repair::PlanBook& plan_book() {
  static const repair::PlanBook book = shipped(repair::read_plan_book, "repair/plan.toml");
  return book;
}

const repair::SecondFailure& second_failure_table() {
  static const repair::SecondFailure table = shipped(repair::read_second_failure, "repair/second_failure.toml");
  return table;
}

std::string decision_of(const std::string& cause) {
  for (const diagnosis::Cause& one : head_joint_pattern().causes)
    if (one.name == cause) return one.decision;
  return {};
}

RepairPlan plan_of_repair(const Assessment& all) {
  RepairPlan plan;
  plan.engine = all.job.engine.name;
  const BoltDecision bolts = bolt_decision(all.job);
  plan.bolts = bolts.answer;
  plan.bolts_why = bolts.why;
  plan.measured_bolts = bolts.measured;
  plan.least_cuts = least_cuts(all.job);
  for (const repair::ChosenPart& part : repair::plan_of(plan_book(), repair_facts(all), repair_figures(all))) {
    PlanSection section{part.part.name, part.part.title, {}};
    for (const repair::PlanLine& line : part.lines) section.steps.push_back({line.text, line.why, line.source, line.cautions});
    plan.sections.push_back(std::move(section));
  }
  std::vector<PlanStep> cures = all.finding.status == "done" ? rival_cures(all.finding) : std::vector<PlanStep>{};
  if (!cures.empty()) {
    if (plan.sections.empty() || plan.sections.front().name != "cure")
      plan.sections.insert(plan.sections.begin(), {"cure", plan_book().parts.front().title, {}});
    auto& steps = plan.sections.front().steps;
    steps.insert(steps.end(), cures.begin(), cures.end());
  }
  add_missing(all.job.engine, plan.missing);
  plan.sentence = sentence_of(all, plan);
  return plan;
}

}  // namespace headjoint::assess
