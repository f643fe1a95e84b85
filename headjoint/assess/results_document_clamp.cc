#include "headjoint/assess/results_document_clamp.h"

#include <cmath>

#include "headjoint/assess/internal/document_parts.h"
#include "headjoint/assess/results_document.h"

namespace headjoint::assess {
namespace {

using internal::listed;
using internal::number;
using internal::texts;

Document place(const joint::PlanPoint& p) { return Array{number(p.x_mm), number(p.y_mm)}; }

Document numbered_forces(const std::vector<double>& forces) {
  Array list;
  for (std::size_t i = 0; i < forces.size(); ++i) {
    Document entry(Table{});
    entry.set("number", static_cast<int>(i) + 1).set("force_N", number(forces[i]));
    list.push_back(std::move(entry));
  }
  return list;
}

Document order_list(const std::vector<int>& order) {
  Array list;
  for (const int bolt : order) list.emplace_back(bolt);
  return list;
}

Document state_document(const ClampedState& state) {
  Document d(Table{});
  d.set("status", state.status);
  if (!state.status_text.empty()) d.set("status_text", state.status_text);
  d.set("steps", state.steps).set("residual", number(state.residual));
  d.set("reaction_N", number(state.reaction_N)).set("applied_N", number(state.applied_N));
  d.set("contact_area_mm2", number(state.contact_area_mm2)).set("exact_area_mm2", number(state.exact_area_mm2));
  d.set("open_area_fraction", number(state.open_area_fraction)).set("deflection_max_mm", number(state.deflection_max_mm));
  d.set("slide_mm", number(state.slide_mm)).set("plate_validity", number(state.plate_validity));
  d.set("fire_rings", listed(state.rings, [](Document& e, const RingLoad& r) {
          e.set("bore", r.bore)
              .set("line_load_min_N_per_mm", number(r.least_N_per_mm))
              .set("line_load_mean_N_per_mm", number(r.mean_N_per_mm));
          e.set("line_load_max_N_per_mm", number(r.most_N_per_mm)).set("angle_of_min_deg", number(r.angle_of_least_deg));
          e.set("force_N", number(r.force_N)).set("margin", number(r.margin)).set("weakest_at_mm", place(r.weakest));
        }));
  d.set("passages", listed(state.passages, [](Document& e, const PassagePressure& p) {
          e.set("number", p.number).set("kind", p.kind).set("pressure_min_MPa", number(p.least_MPa)).set("margin", number(p.margin));
        }));
  d.set("bolts", listed(state.bolts, [](Document& e, const ClampedBolt& b) {
          e.set("number", b.number).set("force_N", number(b.force_N)).set("movement_mm", number(b.movement_mm));
          e.set("utilisation", number(b.utilisation));
        }));
  return d;
}

}  // namespace

Document to_document(const Clamping& answer) {
  Document d = state_document(answer.state);
  d.set("sentence", answer.sentence).set("head", answer.head).set("grid_mm", number(answer.grid_mm)).set("loads", texts(answer.loads));
  if (answer.after_skim) d.set("skim_mm", number(answer.skim_mm)).set("after_skim", state_document(*answer.after_skim));
  d.set("notes", texts(answer.notes));
  return d;
}

Document to_document(const SealingAnswer& answer) {
  Document d(Table{});
  d.set("sentence", answer.sentence).set("chance", number(answer.chance)).set("low", number(answer.low)).set("high", number(answer.high));
  d.set("weakest",
        listed(answer.weakest, [](Document& e, const SealingAnswer::Share& s) { e.set("bore", s.bore).set("share", number(s.share)); }));
  d.set("inputs",
        listed(answer.inputs, [](Document& e, const SealingAnswer::Share& s) { e.set("input", s.input).set("share", number(s.share)); }));
  d.set("samples", static_cast<double>(answer.samples))
      .set("unsolved", static_cast<double>(answer.unsolved))
      .set("seconds", number(answer.seconds));
  d.set("margin_median", number(answer.margin_median)).set("margin_5_percent", number(answer.margin_5_percent));
  d.set("margins", listed(answer.margins, [](Document& e, const SealingAnswer::AtLeast& m) {
          e.set("margin", number(m.margin)).set("share", number(m.share));
        }));
  d.set("notes", texts(answer.notes));
  return d;
}

Document to_document(const TighteningAnswer& answer) {
  Document d(Table{});
  d.set("sentence", answer.sentence).set("head", answer.head).set("order", order_list(answer.order)).set("order_from", answer.order_from);
  d.set("passes", listed(answer.passes, [](Document& e, const TightenedPass& p) {
          e.set("stage", p.stage).set("bolts", numbered_forces(p.force_N)).set("min_N", number(p.min_N)).set("max_N", number(p.max_N));
          e.set("mean_N", number(p.mean_N)).set("std_N", number(p.std_N));
        }));
  Document recommended(Table{});
  recommended.set("order", order_list(answer.recommended_order))
      .set("passes", answer.recommended_passes)
      .set("text", answer.recommended_text);
  d.set("recommended", std::move(recommended)).set("compensated", numbered_forces(answer.compensated_N));
  d.set("clamped", state_document(answer.clamped)).set("notes", texts(answer.notes));
  d.set("cautions", list_document(answer.cautions));
  return d;
}

Document to_document(const BoltAnswer& answer) {
  Document d(Table{});
  d.set("bolt", answer.bolt).set("sentence", answer.sentence);
  d.set("preload_kN", number(answer.preload_N * 1e-3)).set("torque_Nm", number(answer.torque_Nm));
  d.set("yield_preload_kN", number(answer.yield_preload_N * 1e-3)).set("utilisation", number(answer.utilisation));
  d.set("stiffness_kN_per_mm", number(answer.stiffness_kN_per_mm));
  d.set("preload_low_kN", number(answer.preload_low_N * 1e-3)).set("preload_high_kN", number(answer.preload_high_N * 1e-3));
  d.set("loosening_torque_Nm", number(answer.loosening_torque_Nm)).set("nut_factor", number(answer.nut_factor));
  Document shares(Table{});
  shares.set("stretch", number(answer.torque_to_stretch))
      .set("thread", number(answer.torque_to_thread))
      .set("head", number(answer.torque_to_head));
  d.set("torque_shares", std::move(shares));
  d.set("angle_to_yield_deg", number(answer.angle_to_yield_deg)).set("preload_per_degree_N", number(answer.preload_per_degree_N));
  d.set("permanent_set_mm", number(answer.permanent_set_mm));
  if (!answer.reuse.empty()) d.set("reuse", answer.reuse).set("reuse_why", answer.reuse_why);
  d.set("notes", texts(answer.notes)).set("cautions", list_document(answer.cautions));
  return d;
}

Document to_document(const WrenchLogAnswer& answer) {
  Document d(Table{});
  d.set("sentence", answer.sentence);
  d.set("bolts", listed(answer.bolts, [](Document& e, const LoggedBolt& b) {
          e.set("number", b.number).set("snug", number(b.snug_Nm)).set("slope_Nm_per_deg", number(b.slope_Nm_per_deg));
          e.set("final_Nm", number(b.final_Nm)).set("final_deg", number(b.final_deg)).set("yield", b.yield);
          e.set("yield_deg", number(b.yield_deg)).set("friction", number(b.friction)).set("preload_kN", number(b.preload_kN));
          e.set("flag", b.flag).set("why", b.why);
        }));
  d.set("notes", texts(answer.notes));
  return d;
}

}  // namespace headjoint::assess
