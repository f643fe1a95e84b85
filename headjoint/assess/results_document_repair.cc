#include "headjoint/assess/results_document_repair.h"

#include <cmath>

#include "headjoint/assess/internal/document_parts.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/results_document.h"

namespace headjoint::assess {
namespace {

using internal::listed;
using internal::number;
using internal::texts;

Document numbers(const std::vector<double>& items) {
  Array list;
  for (const double item : items) list.push_back(number(item));
  return list;
}

Document step_list(const std::vector<PlanStep>& steps) {
  return listed(steps, [](Document& e, const PlanStep& step) {
    e.set("text", step.text).set("why", step.why).set("source", step.source).set("cautions", list_document(cautions_of(step.cautions)));
  });
}

Document check_list(const std::vector<ProofCheck>& checks) {
  return listed(checks, [](Document& e, const ProofCheck& check) {
    e.set("check", check.check).set("expected", check.expected ? number(check.expected) : Document(check.expected_text));
    e.set("accept_low", number(check.accept_low)).set("accept_high", number(check.accept_high)).set("unit", check.unit);
    e.set("expected_text", check.expected_text).set("test", check.test).set("where", check.where);
    e.set("reading", check.reading).set("value", number(check.value)).set("verdict", check.verdict).set("why", check.why);
  });
}

Document remaining_list(const std::vector<RemainingFault>& faults) {
  return listed(faults, [](Document& e, const RemainingFault& fault) {
    e.set("fault", fault.name).set("where", fault.where).set("text", fault.text).set("before", number(fault.before));
    e.set("factor", number(fault.factor)).set("chance", number(fault.chance)).set("why", fault.why);
  });
}

Document warm_up_document(const std::optional<WarmUp>& curve) {
  if (!curve) return nullptr;
  Document d(Table{});
  d.set("opens_degC", number(curve->opens_degC)).set("minutes", numbers(curve->minutes)).set("low_degC", numbers(curve->low_degC));
  d.set("expected_degC", numbers(curve->expected_degC)).set("high_degC", numbers(curve->high_degC));
  return d;
}

}  // namespace

Document to_document(const RepairPlan& plan) {
  Document d(Table{});
  d.set("sentence", plan.sentence).set("engine", plan.engine).set("bolts", plan.bolts).set("bolts_why", plan.bolts_why);
  d.set("measured_bolts", listed(plan.measured_bolts, [](Document& e, const MeasuredBolt& bolt) {
          e.set("number", bolt.number).set("length_mm", number(bolt.length_mm)).set("stretch_low_mm", number(bolt.stretch_low_mm));
          e.set("stretch_high_mm", number(bolt.stretch_high_mm)).set("verdict", bolt.verdict).set("why", bolt.why);
        }));
  d.set("least_cuts", listed(plan.least_cuts, [](Document& e, const LeastCut& cut) {
          e.set("part", cut.part).set("head", cut.head).set("free_mm", number(cut.free_mm)).set("parallel_mm", number(cut.parallel_mm));
          e.set("total_mm", number(cut.total_mm)).set("needed", cut.needed).set("text", cut.text);
        }));
  d.set("sections", listed(plan.sections, [](Document& e, const PlanSection& section) {
          e.set("name", section.name).set("title", section.title).set("steps", step_list(section.steps));
        }));
  d.set("missing", texts(plan.missing)).set("defer", defer_line());
  return d;
}

Document to_document(const Proof& proof) {
  Document d(Table{});
  d.set("sentence", proof.sentence).set("engine", proof.engine).set("checks", check_list(proof.checks));
  d.set("fault_remains", number(proof.fault_remains)).set("low", number(proof.low)).set("high", number(proof.high));
  d.set("is_repaired", proof.is_repaired).set("is_anything_read", proof.is_anything_read).set("says_no", proof.says_no());
  d.set("remaining", remaining_list(proof.remaining));
  d.set("left_undone", listed(proof.left_undone, [](Document& e, const LeftUndone& one) {
          e.set("text", one.text).set("factor", number(one.factor)).set("mend", one.mend);
        }));
  d.set("still_to_take", texts(proof.still_to_take)).set("not_counted", texts(proof.not_counted));
  d.set("compression_ratio", Table{{"before", number(proof.ratio_before)}, {"after", number(proof.ratio_after)}});
  d.set("warm_up", warm_up_document(proof.warm_up)).set("missing", texts(proof.missing)).set("notes", texts(proof.notes));
  d.set("cautions", list_document(cautions_of(proof.cautions))).set("basis", kBasis);
  return d;
}

}  // namespace headjoint::assess
