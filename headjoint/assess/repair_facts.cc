#include "headjoint/assess/repair_facts.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "headjoint/assess/engine_layout.h"
#include "headjoint/clamp/torque_angle.h"
#include "headjoint/jobs/job_file.h"
#include "headjoint/joint/figure_file.h"
#include "headjoint/joint/places.h"

namespace headjoint::assess {
namespace {

using repair::Facts;
using repair::Figures;

constexpr double kWorthCuring = 0.15;  ///< chance from which a cause is looked for before the joint is closed again
constexpr double kLikely = 0.3;
constexpr std::size_t kMostPlaces = 3;
const char* const kMakerBlank = "as the maker asks";

/// Causes of the network that make an engine hot, as `cured` names them.
constexpr std::array kHeatCauses = {"thermostat",     "thermostat_reversed", "coolant_pump", "belt_slipping", "radiator",
                                    "block_silted",   "hose_collapsing",     "fan",          "pressure_cap",  "hose_leak",
                                    "heat_exchanger", "cooling_fins",        "air_lock"};

double chance_of(const std::vector<Suspect>& suspects, const std::string& name) {
  double most = 0;
  for (const Suspect& suspect : suspects)
    if (suspect.name == name) most = std::max(most, suspect.chance.value);
  return most;
}

bool was_seen(const jobs::Job& job, const std::string& sign) {
  return std::any_of(job.signs.begin(), job.signs.end(), [&](const jobs::Sign& one) {
    return one.name == sign && !one.is_void() && one.state != "absent" && one.state != "none";
  });
}

bool was_found(const jobs::Job& job, const std::string& part, const std::string& kind) {
  return std::any_of(job.seen.begin(), job.seen.end(),
                     [&](const jobs::Seen& one) { return (part.empty() || one.part == part) && one.kind == kind; });
}

bool is_face_out(const Assessment& all, const std::string& part) {
  return std::any_of(all.faces.begin(), all.faces.end(),
                     [&](const Flatness& face) { return face.part == part && face.decision == "fail"; });
}

bool has_word(const std::vector<std::string>& words, std::string_view word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

/// Collects facts: one line a fact.
class FactList {
 public:
  explicit FactList(Facts facts) : facts_(std::move(facts)) {}
  void put(const char* word, bool is_so) {
    if (is_so) facts_.insert(word);
  }
  [[nodiscard]] Facts take() { return std::move(facts_); }

 private:
  Facts facts_;
};

void add_fitted(FactList& list, const joint::Engine& engine, const BoltDecision& bolts) {
  const std::string kind = engine.gasket ? engine.gasket->kind : std::string();
  list.put("has_gasket", !kind.empty());
  for (const char* word : {"multi_layer_steel", "composite", "graphite", "copper", "steel_ring", "rubber_coated_steel"})
    if (kind == word) list.put(("gasket_" + kind).c_str(), true);
  list.put("old_gasket_kind", kind.empty() || kind == "composite" || kind == "steel_ring" || kind == "copper");
  list.put("bolts_new", bolts.answer == "new");
  list.put("bolts_undecided", bolts.answer == "undecided");
  list.put("bolts_again", bolts.answer == "again");
  list.put("bolts_measured", !bolts.measured.empty());
  list.put("bolts_condemned", bolts.has_condemned());
  list.put("bolts_single_use", engine.bolts && engine.bolts->single_use.value_or(false));
  list.put("wet_holes", engine.bolts && engine.bolts->wet_holes.value_or(false));
  const auto drive = engine.valves ? engine.valves->drive : std::nullopt;
  list.put("overhead_cam", drive == joint::ValveDrive::kOverheadCam);
  list.put("pushrods", drive == joint::ValveDrive::kPushrod);
  const auto cam = engine.cam_drive ? engine.cam_drive->kind : std::nullopt;
  list.put("belt", cam == joint::CamDriveKind::kBelt);
  list.put("chain", cam == joint::CamDriveKind::kChain);
  list.put("head_aluminium", engine.head && engine.head->material.name == "aluminium");
  list.put("heads_several", joint::head_count(engine) > 1);
  const auto again = engine.tightening ? engine.tightening->retighten : std::nullopt;
  list.put("retighten", again == true);
  list.put("no_retighten", again == false);
  list.put("retighten_unknown", !again);
  list.put("angle_tightened", engine.tightening && std::any_of(engine.tightening->stages.begin(), engine.tightening->stages.end(),
                                                               [](const auto& stage) { return stage.angle.has_value(); }));
}

void add_found(FactList& list, const Assessment& all) {
  const jobs::Job& job = all.job;
  const auto cause = [&](const char* name) { return chance_of(all.finding.causes, name); };
  const auto path = [&](const char* name) { return chance_of(all.finding.paths, name); };
  list.put("overheated", has_word(job.history.facts, "overheated_before") || was_seen(job, "overheat_reported") ||
                             was_seen(job, "runs_hot") || cause("overheated") >= kLikely);
  list.put("detonation", cause("detonation") >= kWorthCuring);
  list.put("low_clamp", cause("low_clamp") >= kWorthCuring);
  list.put("fitting_error", cause("fitting_error") >= kWorthCuring || job.strip_down.gasket_side_up == "wrong");
  list.put("corroded", cause("faces_corroded") >= kWorthCuring || was_found(job, "", "corroded") || was_found(job, "", "eroded"));
  list.put("head_out", is_face_out(all, "head"));
  list.put("block_out", is_face_out(all, "block") || cause("block_face_out") >= kWorthCuring);
  list.put("crack", cause("head_cracked") >= kWorthCuring || cause("block_cracked") >= kWorthCuring || was_found(job, "", "crack"));
  list.put("coolant_in_oil", was_seen(job, "milky_oil") || path("coolant_with_oil") >= kLikely);
  list.put("oil_in_coolant", was_seen(job, "oil_in_coolant"));
  list.put("coolant_burnt", was_seen(job, "white_smoke") || was_seen(job, "plug_washed") || path("coolant_to_cylinder") >= kLikely);
  list.put("head_cut", job.cut.head && job.cut.head->value.si() > 0);
  list.put("deck_cut", job.cut.deck && job.cut.deck->value.si() > 0);
  list.put("cut_out_of_limit", all.after_skim && all.after_skim->is_out_of_limit);
  const bool has_place =
      std::any_of(all.finding.paths.begin(), all.finding.paths.end(), [](const Suspect& one) { return one.chance.value >= kWorthCuring; });
  list.put("suspect_places", has_place && all.finding.status == "done");
}

template <class T>
std::string typed(const joint::OptionalFigure<T>& figure) {
  return figure ? joint::figure_text(*figure) : std::string();
}

std::string order_text(std::vector<int> order) {
  std::reverse(order.begin(), order.end());
  return fmt::format("{}", fmt::join(order, ", "));
}

std::string stage_text(const joint::TighteningStage& stage) {
  return stage.torque ? typed(stage.torque) : "a further " + typed(stage.angle);
}

std::string tightening_text(const joint::Engine& engine) {
  if (!engine.tightening) return "order and stages are the maker's, not in the engine file";
  const joint::Tightening& tightening = *engine.tightening;
  std::string stages;
  for (const joint::TighteningStage& stage : tightening.stages) stages += (stages.empty() ? "" : ", then ") + stage_text(stage);
  const std::string order =
      tightening.order.empty() ? "order as the maker gives it" : fmt::format("order {}", fmt::join(tightening.order, ", "));
  return order + "; " + (stages.empty() ? "stages as the maker gives them" : stages);
}

std::string places_text(const std::vector<Suspect>& paths) {
  std::string text;
  std::size_t count = 0;
  for (const Suspect& path : paths) {
    if (path.chance.value < kWorthCuring || count++ >= kMostPlaces) continue;
    text += (text.empty() ? "" : "; ") + path.text;
  }
  return text;
}

std::string spoken(std::string word) {
  std::replace(word.begin(), word.end(), '_', ' ');
  return word;
}

void add_bolt_figures(Figures& figures, const jobs::Job& job) {
  const BoltDecision decision = bolt_decision(job);
  figures["bolt_why"] = decision.why;
  figures["bolt_source"] = decision.source;
  std::string verdict;
  for (const MeasuredBolt& bolt : decision.measured)
    if (bolt.verdict != "may serve again") verdict += fmt::format("{}bolt {} {}", verdict.empty() ? "" : ", ", bolt.number, bolt.verdict);
  const bool are_used_once = job.engine.bolts && job.engine.bolts->single_use.value_or(false);
  figures["bolt_verdict"] = decision.measured.empty() ? ""
                            : are_used_once           ? "but they are used once in any case."
                            : verdict.empty()         ? "all within the limit."
                                                      : verdict + ".";
  if (!job.engine.bolts) return;
  const joint::Bolts& bolts = *job.engine.bolts;
  const auto heads = static_cast<std::size_t>(joint::head_count(job.engine));
  if (!bolts.at.empty()) figures["bolt_count"] = std::to_string(bolts.at.size() * heads);
  if (bolts.size) figures["bolt_size"] = bolts.size->text + (bolts.strength_class.empty() ? "" : " class " + bolts.strength_class);
}

}  // namespace

bool makes_hot(const std::string& cause) { return std::find(kHeatCauses.begin(), kHeatCauses.end(), cause) != kHeatCauses.end(); }

bool BoltDecision::has_condemned() const {
  return std::any_of(measured.begin(), measured.end(), [](const MeasuredBolt& bolt) { return bolt.verdict == "scrap"; });
}

BoltDecision bolt_decision(const jobs::Job& job) {
  constexpr const char* kWords[] = {"may serve again", "undecided", "scrap"};
  constexpr double kRuler_mm = 0.05;  ///< of one length by a good calliper; assumption
  const jobs::StripDown& strip = job.strip_down;
  const bool single_use = job.engine.bolts && job.engine.bolts->single_use.value_or(false);
  BoltDecision decision;
  const joint::OptionalFigure<Length>& as_new =
      strip.bolt_new_length || !job.engine.bolts ? strip.bolt_new_length : job.engine.bolts->length;
  const bool can_judge = as_new && job.engine.bolts && job.engine.bolts->grip;
  for (std::size_t i = 0; i < strip.bolt_lengths.size(); ++i) {
    if (!strip.bolt_lengths[i]) continue;
    MeasuredBolt bolt;
    bolt.number = static_cast<int>(i) + 1;
    bolt.length_mm = strip.bolt_lengths[i]->value.si() * 1e3;
    const bool necked = std::find(strip.bolts_necked.begin(), strip.bolts_necked.end(), bolt.number) != strip.bolts_necked.end();
    if (can_judge) {
      const auto judged = clamp::reuse_decision(
          strip.bolt_lengths[i]->value, as_new->value,
          strip.bolt_uncertainty ? strip.bolt_uncertainty->value : Length::from_si(kRuler_mm * 1e-3), job.engine.bolts->grip->value,
          strip.bolt_longest ? std::optional(strip.bolt_longest->value) : std::nullopt, single_use, necked);
      bolt.stretch_low_mm = judged.stretch_low.si() * 1e3;
      bolt.stretch_high_mm = judged.stretch_high.si() * 1e3;
      bolt.verdict = kWords[static_cast<std::size_t>(judged.verdict)];
      bolt.why = judged.why;
    } else if (strip.bolt_longest && strip.bolt_lengths[i]->value > strip.bolt_longest->value) {
      bolt.verdict = kWords[2];
      bolt.why = "Longer than the maker allows.";
    } else {
      bolt.verdict = necked ? kWords[2] : kWords[1];
      bolt.why = necked ? "Necked." : "Nothing to compare it with: the length of a new one, and the grip in the engine file.";
    }
    decision.measured.push_back(std::move(bolt));
  }
  const auto all_are = [&](const char* verdict) {
    return std::all_of(decision.measured.begin(), decision.measured.end(),
                       [&](const MeasuredBolt& bolt) { return bolt.verdict == verdict; });
  };
  const std::size_t fitted = job.engine.bolts ? job.engine.bolts->at.size() * static_cast<std::size_t>(joint::head_count(job.engine)) : 0;
  if (single_use)
    decision = {"new", "The engine file says that these bolts are used once.", "engine file", std::move(decision.measured)};
  else if (decision.has_condemned())
    decision = {"new", "Measuring condemned at least one; a mixed set does not clamp evenly.", "job, [strip_down]",
                std::move(decision.measured)};
  else if (!decision.measured.empty() && all_are(kWords[0]) && (fitted == 0 || decision.measured.size() >= fitted))
    decision = {"again", "Every bolt was measured and is within the limit.", "job, [strip_down]", std::move(decision.measured)};
  else
    decision = {"undecided",
                decision.measured.empty() ? "Neither the engine file nor a measurement says that they may serve again."
                                          : "Not every bolt was measured, or the measurement does not settle it.",
                "engine file and job", std::move(decision.measured)};
  return decision;
}

Facts repair_facts(const Assessment& all) {
  FactList list(facts_of(all.job.engine, all.job.history));
  add_fitted(list, all.job.engine, bolt_decision(all.job));
  add_found(list, all);
  return list.take();
}

Facts proof_facts(const Assessment& all) {
  Facts facts = repair_facts(all);
  const jobs::Job& job = all.job;
  const auto has_face = [&](jobs::FacePart part) {
    return std::any_of(job.faces.begin(), job.faces.end(), [&](const jobs::Face& face) { return face.part == part && face.counts(); });
  };
  if (has_face(jobs::FacePart::kHead)) facts.insert("head_measured");
  if (has_face(jobs::FacePart::kBlock)) facts.insert("deck_measured");
  if (!job.strip_down.liner_protrusions.empty()) facts.insert("liners_measured");
  if (!job.repair) return facts;
  const jobs::RepairDone& done = *job.repair;
  facts.insert(done.done.begin(), done.done.end());
  if (done.bolts == "used") facts.insert("bolts_used_again");
  if (done.bolts == "measured") facts.insert("bolts_measured_again");
  const bool cured_heat = std::any_of(done.cured.begin(), done.cured.end(), makes_hot);
  if (cured_heat) facts.insert("overheat_cured");
  if (has_word(done.cured, "detonation")) facts.insert("detonation_cured");
  return facts;
}

Figures repair_figures(const Assessment& all) {
  const joint::Engine& engine = all.job.engine;
  const jobs::Cut& cut = all.job.cut;
  Figures figures;
  add_bolt_figures(figures, all.job);
  if (engine.gasket) {
    figures["gasket_kind"] = spoken(engine.gasket->kind);
    figures["gasket_thickness"] = cut.gasket ? typed(cut.gasket) : typed(engine.gasket->thickness);
  }
  const int heads = joint::head_count(engine);
  figures["heads_text"] = heads > 1 ? fmt::format("{} of them, one for each head taken off", heads) : "one";
  const bool has_order = engine.tightening && !engine.tightening->order.empty();
  figures["loosening_order"] = has_order ? order_text(engine.tightening->order) : "the maker's tightening order backwards";
  figures["tightening"] = tightening_text(engine);
  figures["suspect_places"] = places_text(all.finding.paths);
  figures["head_limit"] = engine.head ? typed(engine.head->flatness_limit) : "";
  figures["block_limit"] = engine.block ? typed(engine.block->flatness_limit) : "";
  figures["head_height"] = engine.head ? typed(engine.head->height) : "";
  figures["head_least"] = engine.head ? typed(engine.head->least_height) : "";
  figures["head_cut"] = typed(cut.head);
  figures["deck_cut"] = typed(cut.deck);
  if (all.after_skim) {
    figures["cut_sentence"] = all.after_skim->sentence;
    figures["lowered"] = fmt::format("{:.2f} mm", all.after_skim->lowered_mm);
  }
  if (engine.cooling) {
    figures["coolant_volume"] = typed(engine.cooling->volume);
    figures["cap"] = typed(engine.cooling->cap);
    if (engine.cooling->glycol) figures["glycol"] = engine.cooling->glycol->text;
  }
  if (figures["glycol"].empty()) figures["glycol"] = std::string("coolant ") + kMakerBlank;
  const WarmUpTime warm = warm_up_time(engine, Temperature::from_celsius(20));
  figures["warm_low"] = fmt::format("{:.0f}", warm.low_min);
  figures["warm_high"] = fmt::format("{:.0f} min from 20 degC", warm.high_min);
  return figures;
}

const std::vector<std::string>& fact_words() {
  static const std::vector<std::string> words = [] {
    std::vector<std::string> all = {"petrol",
                                    "diesel",
                                    "gas",
                                    "liquid",
                                    "air",
                                    "inline",
                                    "vee",
                                    "flat",
                                    "single",
                                    "iron_head",
                                    "head_per_cylinder",
                                    "has_gasket",
                                    "gasket_multi_layer_steel",
                                    "gasket_composite",
                                    "gasket_graphite",
                                    "gasket_copper",
                                    "gasket_steel_ring",
                                    "gasket_rubber_coated_steel",
                                    "old_gasket_kind",
                                    "bolts_new",
                                    "bolts_undecided",
                                    "bolts_again",
                                    "bolts_measured",
                                    "bolts_condemned",
                                    "bolts_single_use",
                                    "wet_holes",
                                    "overhead_cam",
                                    "pushrods",
                                    "belt",
                                    "chain",
                                    "head_aluminium",
                                    "heads_several",
                                    "retighten",
                                    "no_retighten",
                                    "retighten_unknown",
                                    "angle_tightened",
                                    "overheated",
                                    "detonation",
                                    "low_clamp",
                                    "fitting_error",
                                    "corroded",
                                    "head_out",
                                    "block_out",
                                    "crack",
                                    "coolant_in_oil",
                                    "oil_in_coolant",
                                    "coolant_burnt",
                                    "head_cut",
                                    "deck_cut",
                                    "cut_out_of_limit",
                                    "suspect_places",
                                    "bolts_used_again",
                                    "bolts_measured_again",
                                    "overheat_cured",
                                    "detonation_cured",
                                    "egr_cooler",
                                    "water_oil_cooler",
                                    "turbo",
                                    "wet_liners",
                                    "wet_intake",
                                    "raw_water",
                                    "internal_pump"};
    all.insert(all.end(), jobs::history_facts().begin(), jobs::history_facts().end());
    all.insert(all.end(), jobs::repair_work().begin(), jobs::repair_work().end());
    return all;
  }();
  return words;
}

}  // namespace headjoint::assess
