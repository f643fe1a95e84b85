#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "headjoint/base/text.h"
#include "headjoint/joint/internal/engine_description.h"
#include "headjoint/joint/places.h"

namespace headjoint::joint {
namespace {

constexpr std::size_t kMostProblems = 200;
constexpr std::size_t kMostBolts = 500;

/// Which side of the line through `a` and `b` a point lies on.
double side_of(const PlanPoint& a, const PlanPoint& b, const PlanPoint& p) {
  return (b.x_mm - a.x_mm) * (p.y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (p.x_mm - a.x_mm);
}

/// Two sides of a closed outline that cross between their ends, or empty.
std::optional<std::pair<std::size_t, std::size_t>> crossing_sides(const std::vector<PlanPoint>& outline) {
  const std::size_t count = outline.size();
  for (std::size_t i = 0; i < count; ++i) {
    for (std::size_t j = i + 2; j < count; ++j) {
      const PlanPoint &a = outline[i], &b = outline[(i + 1) % count], &c = outline[j], &d = outline[(j + 1) % count];
      if (side_of(a, b, c) * side_of(a, b, d) < 0 && side_of(c, d, a) * side_of(c, d, b) < 0) return std::pair{i, j};
    }
  }
  return std::nullopt;
}

/// Lists what cannot be true together, each problem at the node that a person would mend.
class Checker {
 public:
  Checker(const Document& document, Engine& engine, Problems& problems) : document_(document), engine_(engine), problems_(problems) {}

  void settle_cylinders();
  void settle_heads();
  void check_name();
  void check_crank_train();
  void check_bores();
  void check_overlap();
  void check_passages();
  void check_gasket();
  void check_bolts();
  void check_tightening();
  void check_outlines();
  void check_ranges();

 private:
  /// The deepest node on the way that is there.
  [[nodiscard]] const Document& node(std::initializer_list<std::string_view> path) const {
    const Document* at = &document_;
    for (const std::string_view key : path) {
      const Document* next = at->find(key);
      if (next == nullptr) break;
      at = next;
    }
    return *at;
  }
  /// False when something inside the node was refused already: what follows from that need not be told too.
  [[nodiscard]] bool is_sound(const Place& place) const {
    return std::none_of(problems_.begin(), problems_.end(), [&](const Problem& p) { return p.place.pointer.starts_with(place.pointer); });
  }
  void add(const Place& place, std::string what, std::string allowed, std::string mend, Problem::Severity severity) {
    if (problems_.size() < kMostProblems) problems_.push_back({place, std::move(what), std::move(allowed), std::move(mend), severity});
  }
  void refuse(const Place& place, std::string what, std::string allowed = {}, std::string mend = {}) {
    add(place, std::move(what), std::move(allowed), std::move(mend), Problem::Severity::kError);
  }
  void warn(const Place& place, std::string what, std::string allowed = {}, std::string mend = {}) {
    add(place, std::move(what), std::move(allowed), std::move(mend), Problem::Severity::kWarning);
  }
  [[nodiscard]] Place item_place(const char* key, std::size_t index) const {
    const Document& list = node({key});
    return list.is_array() && index < list.array().size() ? list.array()[index].place() : list.place();
  }
  void check_permutation(const std::vector<int>& order, std::size_t count, const Document& at, const std::string& name,
                         const std::string& of);
  void check_outline(const std::vector<PlanPoint>& outline, const Document& at, const std::string& name);
  template <class T>
  void check_pair(const OptionalFigure<T>& least, const OptionalFigure<T>& most, const char* least_name, const char* most_name) {
    if (least && most && least->value > most->value)
      refuse(most->place, fmt::format("{} ({}) is below {} ({})", most_name, most->text, least_name, least->text));
  }

  const Document& document_;
  Engine& engine_;
  Problems& problems_;
};

void Checker::settle_cylinders() {
  General& general = engine_.general;
  if (general.cylinders == 0) general.cylinders = static_cast<int>(engine_.bores.size());
  if (general.cylinders == 0) general.cylinders = static_cast<int>(general.firing_order.size());
  if (general.cylinders == 0 && general.layout == Layout::kSingle) general.cylinders = 1;
  if (general.layout == Layout::kSingle && general.cylinders > 1)
    refuse(node({"engine", "layout"}).place(), fmt::format("layout is single, but there are {} cylinders", general.cylinders),
           "inline, vee or flat for more than one cylinder");
}

void Checker::settle_heads() {
  General& general = engine_.general;
  const bool two_banks = general.layout == Layout::kVee || general.layout == Layout::kFlat;
  const Document& engine_node = node({"engine"});
  if (engine_node.find("heads") == nullptr && two_banks) general.heads = HeadArrangement::kPerBank;
  if (general.heads == HeadArrangement::kPerBank && !two_banks)
    refuse(node({"engine", "heads"}).place(), "heads is per_bank, but the layout has one bank", "one or per_cylinder",
           "or mend the layout: vee or flat");
  if (general.vee_angle && general.layout != Layout::kVee)
    refuse(general.vee_angle->place, "vee_angle is given, but the layout is not vee", {}, "take it out, or write layout = \"vee\"");
}

void Checker::check_name() {
  if (const Document* name = document_.find("name"); name != nullptr && name->is_text() && trimmed(name->text()).empty())
    refuse(name->place(), "name is empty", "any text");
}

void Checker::check_permutation(const std::vector<int>& order, std::size_t count, const Document& at, const std::string& name,
                                const std::string& of) {
  if (order.empty() || !is_sound(at.place())) return;
  std::vector<int> sorted = order;
  std::sort(sorted.begin(), sorted.end());
  std::string wrong;
  for (std::size_t i = 1; i < sorted.size(); ++i)
    if (sorted[i] == sorted[i - 1]) wrong = fmt::format("{} is there twice", sorted[i]);
  if (wrong.empty() && count > 0 && order.size() != count) wrong = fmt::format("it has {} entries for {} {}", order.size(), count, of);
  if (wrong.empty() && (sorted.front() != 1 || sorted.back() != static_cast<int>(sorted.size())))
    wrong = fmt::format("it holds {}", sorted.front() != 1 ? sorted.front() : sorted.back());
  if (wrong.empty()) return;
  refuse(at.place(), fmt::format("{} is no order of the {}: {}", name, of, wrong),
         fmt::format("every number from 1 to {} once", count > 0 ? count : order.size()));
}

void Checker::check_crank_train() {
  const General& general = engine_.general;
  check_permutation(general.firing_order, static_cast<std::size_t>(general.cylinders), node({"engine", "firing_order"}), "firing_order",
                    "cylinders");
  if (general.rod_length && general.stroke && !(general.rod_length->value > 0.5 * general.stroke->value))
    refuse(general.rod_length->place, fmt::format("rod_length is {}, shorter than the crank", general.rod_length->text),
           "more than half the stroke; usually 1.4 to 2.2 strokes");
}

void Checker::check_bores() {
  const int count = engine_.general.cylinders;
  const auto& bores = engine_.bores;
  if (!bores.empty() && static_cast<int>(bores.size()) != count)
    refuse(node({"bore"}).place(), fmt::format("there are {} [[bore]] tables for {} cylinders", bores.size(), count),
           "one for each cylinder");
  std::set<int> seen;
  for (std::size_t i = 0; i < bores.size(); ++i) {
    const Bore& bore = bores[i];
    const Place place = item_place("bore", i);
    if (bore.number > count) refuse(place, fmt::format("bore {} is no cylinder", bore.number), fmt::format("1 to {}", count));
    if (bore.number > 0 && !seen.insert(bore.number).second) refuse(place, fmt::format("bore {} is given twice", bore.number));
    if (bore.head && *bore.head > head_count(engine_))
      refuse(place, fmt::format("bore {} is under head {}", bore.number, *bore.head), fmt::format("head 1 to {}", head_count(engine_)));
    if (bore.at.has_value() != bores.front().at.has_value())
      refuse(place, "some bores have a place and some have none", "`at` for every bore or for none");
  }
}

void Checker::check_overlap() {
  const auto& bores = engine_.bores;
  const auto& diameter = engine_.general.bore;
  const bool comparable =
      diameter && static_cast<int>(bores.size()) == engine_.general.cylinders &&
      std::all_of(bores.begin(), bores.end(), [&](const Bore& b) { return b.at && b.number > 0 && b.number <= engine_.general.cylinders; });
  if (!comparable) return;
  for (std::size_t i = 0; i < bores.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      if (head_of(engine_, bores[i].number) != head_of(engine_, bores[j].number)) continue;
      const double distance = std::hypot(bores[i].at->x_mm - bores[j].at->x_mm, bores[i].at->y_mm - bores[j].at->y_mm);
      if (!(distance > diameter->value.si() * 1e3))
        refuse(item_place("bore", i),
               fmt::format("bores {} and {} overlap: {} mm apart", bores[j].number, bores[i].number, number_text(distance, 4)),
               fmt::format("more than the bore, {}", diameter->text));
    }
  }
}

void Checker::check_passages() {
  std::set<int> seen;
  for (std::size_t i = 0; i < engine_.passages.size(); ++i) {
    const Passage& passage = engine_.passages[i];
    const Place place = item_place("passage", i);
    if (passage.number != 0 && !seen.insert(passage.number).second) refuse(place, fmt::format("passage {} is given twice", passage.number));
    const bool round = passage.at && passage.diameter;
    if (round == !passage.outline.empty() && is_sound(place))
      refuse(place, fmt::format("passage {} needs `at` and `diameter`, or `outline`, not both", passage.number));
    check_outline(passage.outline, node({"passage"}), fmt::format("outline of passage {}", passage.number));
  }
}

void Checker::check_gasket() {
  if (!engine_.gasket || !engine_.gasket->fire_ring) return;
  const FireRing& ring = *engine_.gasket->fire_ring;
  if (ring.inner_radius && ring.outer_radius && !(ring.outer_radius->value > ring.inner_radius->value))
    refuse(ring.outer_radius->place,
           fmt::format("outer_radius ({}) is not larger than inner_radius ({})", ring.outer_radius->text, ring.inner_radius->text));
  const auto& bore = engine_.general.bore;
  if (ring.inner_radius && bore && ring.inner_radius->value < 0.5 * bore->value)
    warn(ring.inner_radius->place, fmt::format("the fire ring ({} radius) reaches into the bore ({})", ring.inner_radius->text, bore->text),
         "radii, not diameters: at least half the bore");
  if (ring.inner_radius && bore && ring.inner_radius->value > 0.9 * bore->value)
    warn(ring.inner_radius->place,
         fmt::format("the fire ring ({} radius) is as large as the bore ({})", ring.inner_radius->text, bore->text),
         "a radius, a little more than half the bore", "did you type a diameter?");
}

void Checker::check_bolts() {
  if (!engine_.bolts) return;
  const auto& at = engine_.bolts->at;
  if (at.size() > kMostBolts) {
    refuse(node({"bolts", "at"}).place(), fmt::format("there are {} bolts", at.size()), fmt::format("at most {}", kMostBolts));
    return;
  }
  for (std::size_t i = 0; i < at.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      if (std::hypot(at[i].x_mm - at[j].x_mm, at[i].y_mm - at[j].y_mm) < 1)
        refuse(node({"bolts", "at"}).place(), fmt::format("bolts {} and {} stand at the same place", j + 1, i + 1));
}

void Checker::check_tightening() {
  if (!engine_.tightening) return;
  const std::size_t count = engine_.bolts ? engine_.bolts->at.size() : 0;
  check_permutation(engine_.tightening->order, count, node({"tightening", "order"}), "order", "bolts");
  const Document& stages = node({"tightening", "stages"});
  for (std::size_t i = 0; i < engine_.tightening->stages.size(); ++i) {
    const TighteningStage& stage = engine_.tightening->stages[i];
    if (stage.torque.has_value() != stage.angle.has_value()) continue;
    const Place& place = stages.is_array() && i < stages.array().size() ? stages.array()[i].place() : stages.place();
    if (!is_sound(place)) continue;
    refuse(place, fmt::format("stage {} needs a torque or an angle, one of them", i + 1),
           "{ torque = \"40 N.m\" } or { angle = \"90 deg\" }");
  }
}

void Checker::check_outline(const std::vector<PlanPoint>& outline, const Document& at, const std::string& name) {
  if (outline.empty() || !is_sound(at.place())) return;
  double twice_area = 0;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const PlanPoint& a = outline[i];
    const PlanPoint& b = outline[(i + 1) % outline.size()];
    twice_area += a.x_mm * b.y_mm - b.x_mm * a.y_mm;
  }
  if (const auto crossing = crossing_sides(outline))
    refuse(at.place(), fmt::format("{} crosses itself: side {} and side {}", name, crossing->first + 1, crossing->second + 1),
           "three or more corners in order round the edge", "side 1 runs from corner 1 to corner 2: are two corners swapped?");
  else if (outline.size() < 3 || !(std::abs(twice_area) > 1))
    refuse(at.place(), name + " encloses no area", "three or more corners in order round the edge");
}

void Checker::check_outlines() {
  if (!engine_.head) return;
  check_outline(engine_.head->outline, node({"head", "outline"}), "outline of the head");
  for (const Zone& zone : engine_.head->zones) check_outline(zone.outline, node({"head", "zone"}), "outline of a zone");
}

void Checker::check_ranges() {
  if (engine_.head && engine_.head->height && engine_.head->least_height && engine_.head->height->value < engine_.head->least_height->value)
    warn(engine_.head->height->place,
         fmt::format("height ({}) is already below least_height ({})", engine_.head->height->text, engine_.head->least_height->text));
  if (engine_.valves)
    for (const auto& row : {engine_.valves->intake, engine_.valves->exhaust})
      if (row) check_pair(row->lash_least, row->lash_most, "lash_least", "lash_most");
  if (engine_.gasket)
    for (const GasketGrade& grade : engine_.gasket->grades)
      check_pair(grade.protrusion_least, grade.protrusion_most, "protrusion_least", "protrusion_most");
  if (!engine_.limits) return;
  const Limits& limits = *engine_.limits;
  check_pair(limits.squish_least, limits.squish_most, "squish_least", "squish_most");
  check_pair(limits.valve_recession_least, limits.valve_recession_most, "valve_recession_least", "valve_recession_most");
  check_pair(limits.lifter_preload_least, limits.lifter_preload_most, "lifter_preload_least", "lifter_preload_most");
  check_pair(limits.liner_protrusion_least, limits.liner_protrusion_most, "liner_protrusion_least", "liner_protrusion_most");
}

}  // namespace

void settle_and_check(const Document& document, Engine& engine, Problems& problems) {
  Checker checker(document, engine, problems);
  checker.settle_cylinders();
  checker.settle_heads();
  checker.check_name();
  checker.check_crank_train();
  checker.check_bores();
  checker.check_overlap();
  checker.check_passages();
  checker.check_gasket();
  checker.check_bolts();
  checker.check_tightening();
  checker.check_outlines();
  checker.check_ranges();
}

}  // namespace headjoint::joint
