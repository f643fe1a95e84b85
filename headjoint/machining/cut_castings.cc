#include <algorithm>

#include "headjoint/machining/internal/matters.h"

/// What the cut leaves of the castings themselves.
namespace headjoint::machining {
namespace {

using enum Ingredient;

/// A room that must not close up: the limit is the geometry's own.
Bound must_not_touch() { return {0, "no space below zero", "geometry", joint::FigureStatus::kNotSaid}; }

void add_heights(const Work& work, Consequences& into) {
  Asked height{Matter::kHeadHeight, {kHeadHeight, kHeadCut}, [](const Values& v) { return v[kHeadHeight] - v[kHeadCut]; }, {}, {}, {}, {}};
  set_bound(height.least, height, "head.least_height", work.engine.head ? work.engine.head->least_height : joint::OptionalFigure<Length>{});
  into.lines.push_back(reckon(height, work.figures));
  Asked head{Matter::kHeadRemoved,
             {kHeadRemovedBefore, kHeadCut},
             [](const Values& v) { return v[kHeadRemovedBefore] + v[kHeadCut]; },
             {},
             {},
             {},
             {}};
  set_bound(head.most, head, "limits.head_removed_most", work.limits.head_removed_most);
  into.lines.push_back(reckon(head, work.figures));
  Asked deck{Matter::kDeckRemoved,
             {kDeckRemovedBefore, kDeckCut},
             [](const Values& v) { return v[kDeckRemovedBefore] + v[kDeckCut]; },
             {},
             {},
             {},
             {}};
  set_bound(deck.most, deck, "limits.deck_removed_most", work.limits.deck_removed_most);
  into.lines.push_back(reckon(deck, work.figures));
}

/// Dowels stand in the block and reach through the gasket into the head.
void add_dowels(const Work& work, Consequences& into) {
  const auto space = [](const Values& v) { return v[kDowelHole] - v[kHeadCut] + v[kGasketAfter] - v[kDowelHeight] - v[kDeckCut]; };
  Asked asked{Matter::kDowelSpace, {kDowelHole, kDowelHeight, kGasketAfter, kHeadCut, kDeckCut}, space, {}, {}, {}, {}};
  asked.least = must_not_touch();
  into.lines.push_back(reckon(asked, work.figures));
}

/// Less metal under its head and a shallower hole: the bolt's tip comes nearer to the bottom.
void add_bolt_ends(const Work& work, Consequences& into) {
  Asked asked{Matter::kBoltEndSpace, {kBoltHole, kBoltLength, kBoltGrip, kHeadCut, kDeckCut}, {}, {}, {}, {}, {}};
  if (work.figures.gasket_is_changed()) asked.needs.insert(asked.needs.end(), {kGasketBefore, kGasketAfter});
  asked.formula = [](const Values& v) { return v[kBoltHole] - v[kBoltLength] + v[kBoltGrip] - v.lowered(); };
  asked.least = must_not_touch();
  into.lines.push_back(reckon(asked, work.figures));
}

void add_liners(const Work& work, Consequences& into) {
  const auto& fitted = work.engine.general.fitted;
  const bool has_liners = std::find(fitted.begin(), fitted.end(), "wet_liners") != fitted.end();
  if (!has_liners && !work.figures.has(kLinerProtrusion)) return;
  const auto protrusion = [](const Values& v) { return v[kLinerProtrusion] + v[kDeckCut]; };
  Asked asked{Matter::kLinerProtrusion, {kLinerProtrusion, kDeckCut}, protrusion, {}, {}, {}, {}};
  set_bound(asked.least, asked, "limits.liner_protrusion_least", work.limits.liner_protrusion_least);
  set_bound(asked.most, asked, "limits.liner_protrusion_most", work.limits.liner_protrusion_most);
  into.lines.push_back(reckon(asked, work.figures));
}

}  // namespace

void add_castings(const Work& work, Consequences& into) {
  add_heights(work, into);
  add_dowels(work, into);
  add_bolt_ends(work, into);
  add_liners(work, into);
}

}  // namespace headjoint::machining
