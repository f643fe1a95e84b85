#include "headjoint/assess/repair_in_hand.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <set>

#include "headjoint/assess/knowledge.h"
#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/joint/places.h"

namespace headjoint::assess {
namespace {

using diagnosis::CauseEvent;
using diagnosis::InstanceNetwork;
using diagnosis::Layer;

constexpr const char* kJointDecision = "open_joint";
constexpr const char* kExample = "shop/prices.toml";

/// Paths that cost alike when left in, in the order of LeakBit.
const std::vector<std::set<std::string>>& leak_kinds() {
  static const std::vector<std::set<std::string>> kinds = {{"gas_to_neighbour", "gas_to_outside"},
                                                           {"gas_to_coolant"},
                                                           {"coolant_to_cylinder", "coolant_with_oil", "gas_to_oil"},
                                                           {"coolant_to_outside", "oil_to_outside"}};
  return kinds;
}

/// Causes behind a second failure, in the order of PartBit; the cooling fault is put in by hand.
const std::vector<std::set<std::string>>& part_kinds() {
  static const std::vector<std::set<std::string>> kinds = {
      {"head_face_out", "faces_corroded"}, {"block_face_out"}, {"head_cracked"}, {"block_cracked", "bore_holed"}, {}, {"detonation"}};
  return kinds;
}

CauseEvent event_of(const InstanceNetwork& network, const std::set<std::string>& names) {
  CauseEvent event;
  for (std::size_t i = 0; i < network.instances.size(); ++i)
    if (network.instances[i].is_cause && names.contains(network.cause(i).name)) event.push_back(i);
  return event;
}

/// Rivals that would have cooked the gasket before: they lead to an overheat more than rarely.
std::set<std::string> overheating_causes(const InstanceNetwork& network) {
  constexpr double kOften = 0.2;
  std::set<std::string> names;
  const int overheated = network.find("overheated");
  if (overheated < 0) return names;
  for (const diagnosis::Influence& parent : network.instances[static_cast<std::size_t>(overheated)].parents)
    if (parent.strength.front() >= kOften) names.insert(network.cause(parent.parent).name);
  return names;
}

/// Minutes that the shop's table gives for a cure, else those of the network.
double cure_minutes(const std::string& decision, double otherwise, const repair::ShopPrices& prices) {
  for (const repair::CureFigure& cure : prices.cures) {
    if (cure.decision != decision) continue;
    const double hours = cure.hours ? 60 * cure.hours->mean() : 0.0;
    const double price = cure.price ? prices.minutes_of(cure.price->mean()) : 0.0;
    return hours + price;
  }
  return otherwise;
}

repair::Rival rival_of(const std::string& decision, bool overheats) {
  repair::Rival rival;
  rival.decision = decision;
  rival.text = decision_text(decision);
  rival.overheats = overheats;
  rival.goes_with_head = exchanged_with(decision) == "head";
  rival.goes_with_engine = !exchanged_with(decision).empty();
  return rival;
}

std::map<std::string, bool> decisions_that_overheat(const InstanceNetwork& network) {
  const std::set<std::string> overheating = overheating_causes(network);
  std::map<std::string, bool> decisions;
  for (const diagnosis::Cause& cause : network.pattern.causes) {
    if (cause.decision.empty()) continue;
    bool& overheats = decisions[cause.decision];
    overheats = overheats || overheating.contains(cause.name);
  }
  return decisions;
}

/// Rivals by the chances of the finding: places of one decision as if they were apart.
std::vector<repair::Rival> rivals_of(const InstanceNetwork& network, const Finding& finding, const repair::ShopPrices& prices) {
  const auto overheats = decisions_that_overheat(network);
  std::map<std::string, repair::Rival> rivals;
  for (const Suspect& suspect : finding.rivals) {
    const diagnosis::Cause& cause = network.pattern.causes[static_cast<std::size_t>(network.pattern.cause(suspect.name))];
    if (cause.decision.empty() || cause.decision == kJointDecision) continue;
    repair::Rival& rival = rivals.try_emplace(cause.decision, rival_of(cause.decision, overheats.at(cause.decision))).first->second;
    rival.chance = 1 - (1 - rival.chance) * (1 - suspect.chance.value);
    rival.put_right = prices.cost_of_minutes(cure_minutes(cause.decision, cause.put_right_minutes, prices));
    rival.left += prices.cost_of_minutes(suspect.chance.value * cause.left_minutes);
  }
  std::vector<repair::Rival> list;
  for (auto& [name, rival] : rivals) list.push_back(std::move(rival));
  return list;
}

/// Heads to take off: as few as hold nine tenths of what leaks at a place; all of them when the leak has no place.
int heads_to_open(const joint::Engine& engine, const Finding& finding) {
  constexpr double kMostOfIt = 0.9;
  const int heads = joint::head_count(engine);
  if (heads <= 1) return 1;
  std::vector<double> at(static_cast<std::size_t>(heads), 0.0);
  double anywhere = 0;
  for (const Suspect& path : finding.paths) {
    const auto cylinder = parse_number(path.where.substr(0, path.where.find('-')));
    if (!cylinder)
      anywhere += path.chance.value;
    else
      at[static_cast<std::size_t>(joint::head_of(engine, static_cast<int>(*cylinder)) - 1)] += path.chance.value;
  }
  const double placed = std::accumulate(at.begin(), at.end(), 0.0);
  if (!(placed > anywhere)) return heads;
  std::sort(at.rbegin(), at.rend());
  double held = 0;
  for (int n = 0; n < heads; ++n)
    if ((held += at[static_cast<std::size_t>(n)]) >= kMostOfIt * placed) return n + 1;
  return heads;
}

std::string why_no_retightening(const joint::Engine& engine) {
  if (engine.bolts && engine.bolts->single_use.value_or(false))
    return "stretch bolts that are used once: tightened again they may yield or break";
  if (engine.gasket && engine.gasket->kind == "multi_layer_steel") return "a multi-layer steel gasket is never tightened again";
  if (!engine.tightening || !engine.tightening->retighten) return "the engine's file does not say that the maker allows it";
  if (!*engine.tightening->retighten) return "the maker does not allow it";
  return {};
}

/// Why the measured head cannot be skimmed, when its height says so.
std::string why_no_head_service(const joint::Engine& engine, const std::vector<Flatness>& faces) {
  if (!engine.head || !engine.head->height || !engine.head->least_height) return {};
  const double removed = engine.head->removed_before ? engine.head->removed_before->value.si() : 0.0;
  const double left_mm = 1e3 * (engine.head->height->value.si() - removed - engine.head->least_height->value.si());
  for (const Flatness& face : faces)
    if (face.part == "head" && face.decision == "fail" && face.minimum_zone_FLTt_mm > left_mm)
      return fmt::format("the face needs a cut of {:.2f} mm or more and the head has {:.2f} mm left to its least height",
                         face.minimum_zone_FLTt_mm, std::max(left_mm, 0.0));
  return {};
}

unsigned faces_measured_out(const std::vector<Flatness>& faces) {
  unsigned bits = 0;
  for (const Flatness& face : faces)
    if (face.decision == "fail") bits |= face.part == "head" ? repair::kHeadFaceOut : repair::kBlockFaceOut;
  return bits;
}

/// A face measured out of limit is out: what was in doubt goes over to the states with it.
std::vector<double> with_parts(std::vector<double> parts, unsigned certain) {
  for (unsigned state = 0; state < parts.size(); ++state) {
    if ((state | certain) == state) continue;
    parts[state | certain] += parts[state];
    parts[state] = 0;
  }
  return parts;
}

std::vector<CauseEvent> leak_events_of(const InstanceNetwork& network) {
  std::vector<CauseEvent> events;
  for (const auto& kind : leak_kinds()) events.push_back(event_of(network, kind));
  events.push_back(event_of(network, overheating_causes(network)));
  return events;
}

/// Cooling faults left in are those not cured when the joint is renewed.
std::vector<CauseEvent> part_events_of(const InstanceNetwork& network, const RepairInHand& in_hand) {
  std::set<std::string> left_in = overheating_causes(network);
  for (std::size_t i = 0; i < in_hand.repair_case.rivals.size(); ++i) {
    if (!in_hand.cured.with_joint[i]) continue;
    for (const diagnosis::Cause& cause : network.pattern.causes)
      if (cause.decision == in_hand.repair_case.rivals[i].decision) left_in.erase(cause.name);
  }
  std::vector<CauseEvent> events;
  for (const auto& kind : part_kinds()) events.push_back(event_of(network, kind));
  events[4] = event_of(network, left_in);
  return events;
}

double come_back(const RepairInHand& in_hand) { return repair::cost_of_coming_back(in_hand.repair_case, in_hand.prices); }

}  // namespace

Result<repair::ShopPrices> shop_prices(const RepairTerms& terms, const jobs::Workshop& workshop) {
  const std::vector<std::string> names = decision_names();
  static const repair::ShopTable example = [&] {
    const auto document = read_toml(shipped_file(kExample), std::string("data/") + kExample);
    require(document.has_value(), to_string(document.problems()).c_str());
    auto table = repair::read_shop_table(*document, names);
    require(table.has_value(), to_string(table.problems()).c_str());
    return std::move(table).value();
  }();
  const repair::JobTerms job{workshop.hour_price, workshop.currency};
  if (!terms.prices) return repair::prices_from(example, example, job);
  const bool is_json = trimmed(terms.prices->text).starts_with('{');
  const auto document = is_json ? read_json(terms.prices->text, terms.prices->source) : read_toml(terms.prices->text, terms.prices->source);
  if (!document) return document.problems();
  const auto table = repair::read_shop_table(*document, names);
  if (!table) return table.problems();
  return Result<repair::ShopPrices>(repair::prices_from(*table, example, job), table.problems());
}

RepairInHand repair_in_hand(const InstanceNetwork& network, const std::vector<diagnosis::Observation>& observations,
                            const Assessment& assessed, const RepairTerms& terms, const repair::ShopPrices& prices) {
  RepairInHand in_hand;
  in_hand.prices = prices;
  in_hand.measured_out = faces_measured_out(assessed.faces);
  const joint::Engine& engine = assessed.job.engine;
  repair::RepairCase& in_case = in_hand.repair_case;
  in_case.hours = repair::hours_figure(engine.general);
  in_case.heads = heads_to_open(engine, assessed.finding);
  in_case.head_off = assessed.job.head_off;
  in_case.liquid_cooled = engine.general.cooling == joint::CooledBy::kLiquid;
  in_case.bolts_due = !engine.bolts || engine.bolts->single_use.value_or(true);
  in_case.no_retightening = why_no_retightening(engine);
  if (in_hand.measured_out != 0)
    in_case.no_gasket_only = "a face is measured out of limit; with a sealing chance worked out it may be weighed";
  in_case.no_head_service = why_no_head_service(engine, assessed.faces);
  in_case.sealing_chance = terms.sealing_chance;
  in_case.distance_km = terms.distance_km;
  in_case.rivals = rivals_of(network, assessed.finding, prices);
  in_hand.cured = repair::worth_curing(in_case.rivals, prices, come_back(in_hand));
  in_hand.leak_events = leak_events_of(network);
  in_hand.part_events = part_events_of(network, in_hand);
  diagnosis::EventChances leaks = diagnosis::event_chances(network, observations, in_hand.leak_events);
  diagnosis::EventChances parts = diagnosis::event_chances(network, observations, in_hand.part_events);
  in_hand.status = diagnosis::to_text(leaks.status != diagnosis::Status::kDone ? leaks.status : parts.status);
  if (in_hand.status != "done") return in_hand;
  in_case.leaks = std::move(leaks.chance);
  in_case.parts = with_parts(std::move(parts.chance), in_hand.measured_out);
  return in_hand;
}

void set_costs(InstanceNetwork& network, const RepairInHand& in_hand) {
  if (in_hand.status != "done") return;
  const repair::ShopPrices& prices = in_hand.prices;
  const double renewing = prices.minutes_of(repair::cost_of_renewing(in_hand.repair_case, prices));
  for (diagnosis::Cause& cause : network.pattern.causes) {
    if (cause.decision.empty()) continue;
    if (cause.decision != kJointDecision) {
      cause.put_right_minutes = cure_minutes(cause.decision, cause.put_right_minutes, prices);
      continue;
    }
    unsigned bits = 0;
    for (std::size_t kind = 0; kind < leak_kinds().size(); ++kind)
      if (leak_kinds()[kind].contains(cause.name)) bits |= 1U << kind;
    // A face or a crack that does not leak yet has no leak to cost: what it costs when left keeps its share of the work.
    cause.left_minutes = bits != 0 ? prices.minutes_of(repair::cost_left_in(bits, in_hand.repair_case, prices))
                                   : renewing * cause.left_minutes / std::max(cause.put_right_minutes, 1.0);
    cause.put_right_minutes = renewing;
  }
}

void take_rivals(RepairInHand& in_hand, const InstanceNetwork& network, const diagnosis::NextChecks& ranked) {
  const auto overheats = decisions_that_overheat(network);
  std::vector<repair::Rival> rivals;
  for (const diagnosis::Decision& decision : ranked.decisions) {
    if (decision.name == kJointDecision) continue;
    repair::Rival rival = rival_of(decision.name, overheats.at(decision.name));
    rival.chance = decision.probability;
    rival.put_right = in_hand.prices.cost_of_minutes(decision.put_right_minutes);
    rival.left = in_hand.prices.cost_of_minutes(decision.left_minutes);
    rivals.push_back(std::move(rival));
  }
  in_hand.repair_case.rivals = std::move(rivals);
  in_hand.cured = repair::worth_curing(in_hand.repair_case.rivals, in_hand.prices, come_back(in_hand));
  repair::leave_background_out(in_hand.repair_case.rivals, in_hand.cured);
}

std::optional<RepairChances> chances_after(const InstanceNetwork& network, std::vector<diagnosis::Observation> observations,
                                           const diagnosis::Observation& look, const RepairInHand& in_hand) {
  observations.push_back(look);
  diagnosis::EventChances leaks = diagnosis::event_chances(network, observations, in_hand.leak_events);
  diagnosis::EventChances parts = diagnosis::event_chances(network, observations, in_hand.part_events);
  if (leaks.status != diagnosis::Status::kDone || parts.status != diagnosis::Status::kDone) return std::nullopt;
  return RepairChances{std::move(leaks.chance), with_parts(std::move(parts.chance), in_hand.measured_out)};
}

}  // namespace headjoint::assess
