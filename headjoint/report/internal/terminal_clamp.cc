#include "headjoint/report/internal/terminal_clamp.h"

#include <algorithm>

#include "headjoint/report/internal/clamp_plan.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/terminal_readings.h"

namespace headjoint::report {
namespace {

void show_list(TerminalPage& page, const char* heading, const std::vector<std::string>& items) {
  if (items.empty()) return;
  page.heading(heading);
  for (const std::string& item : items) page.paragraph("- " + plain_text(item), 2, 4);
}

std::string kilonewton(double newton) { return fixed(newton * 1e-3, 1); }
std::string optional_figure(const std::optional<double>& value, int decimals) { return value ? fixed(*value, decimals) : "-"; }

std::string verdict(const std::optional<double>& margin) { return !margin ? "" : *margin < 1 ? "TOO LITTLE" : "enough"; }

void show_rings(TerminalPage& page, const assess::ClampedState& state, const std::string& heading) {
  if (state.rings.empty()) return;
  page.heading(heading);
  const assess::RingLoad* weakest = state.weakest_ring();
  std::vector<std::vector<std::string>> rows;
  for (const assess::RingLoad& ring : state.rings)
    rows.push_back({std::to_string(ring.bore), fixed(ring.least_N_per_mm, 0), fixed(ring.mean_N_per_mm, 0), fixed(ring.most_N_per_mm, 0),
                    side_words(ring.angle_of_least_deg), optional_figure(ring.margin, 2),
                    verdict(ring.margin) + (&ring == weakest && state.rings.size() > 1 ? "  < weakest" : "")});
  page.table({{"bore"}, {"least", true}, {"mean", true}, {"most", true}, {"least where"}, {"margin", true}, {""}}, rows);
  page.paragraph("Line load in N per mm of ring; margin: least over what the ring needs.", 2);
}

void show_passages(TerminalPage& page, const assess::ClampedState& state) {
  if (state.passages.empty()) return;
  std::vector<assess::PassagePressure> sorted = state.passages;
  std::stable_sort(sorted.begin(), sorted.end(), [](const auto& a, const auto& b) { return a.least_MPa < b.least_MPa; });
  constexpr std::size_t kShown = 6;
  page.heading(sorted.size() > kShown ? "Passages pressed least" : "Passages");
  std::vector<std::vector<std::string>> rows;
  for (std::size_t i = 0; i < std::min(sorted.size(), kShown); ++i) {
    std::string kind = sorted[i].kind;
    std::replace(kind.begin(), kind.end(), '_', ' ');
    rows.push_back({std::to_string(sorted[i].number), plain_text(kind), fixed(sorted[i].least_MPa, 2), optional_figure(sorted[i].margin, 2),
                    verdict(sorted[i].margin)});
  }
  page.table({{"passage"}, {""}, {"least MPa", true}, {"margin", true}, {""}}, rows);
}

void show_bolts(TerminalPage& page, const assess::ClampedState& state) {
  if (state.bolts.empty()) return;
  page.heading("Bolts");
  std::vector<std::vector<std::string>> rows;
  for (const assess::ClampedBolt& bolt : state.bolts)
    rows.push_back({std::to_string(bolt.number), kilonewton(bolt.force_N), fixed(bolt.movement_mm, 3),
                    bolt.utilisation ? fixed(100 * *bolt.utilisation, 0) : "-"});
  page.table({{"bolt"}, {"kN", true}, {"head sinks mm", true}, {"% of yield", true}}, rows);
}

void show_balance(TerminalPage& page, const assess::ClampedState& state, double grid_mm) {
  page.heading("How the calculation fared");
  page.paragraph(state.status + " after " + std::to_string(state.steps) + " steps on a grid of " + fixed(grid_mm, 1) +
                     " mm; the gasket carries " + kilonewton(state.reaction_N) + " kN of " + kilonewton(state.applied_N) +
                     " kN applied; area " + fixed(state.contact_area_mm2, 0) + " mm2 of " + fixed(state.exact_area_mm2, 0) +
                     " mm2 on the plan, " + fixed(100 * state.open_area_fraction, 1) + " % of it open; largest sinking " +
                     fixed(state.deflection_max_mm, 3) + " mm.",
                 2);
}

}  // namespace

void show(TerminalPage& page, const assess::Clamping& answer) {
  page.strong(answer.sentence);
  for (const std::string& load : answer.loads) page.paragraph(load);
  if (answer.state.stands()) {
    show_rings(page, answer.state, "Fire rings");
    if (answer.after_skim) show_rings(page, *answer.after_skim, "Fire rings after the cut of " + fixed(*answer.skim_mm, 3) + " mm");
    for (const std::string& line : pressure_plan_text(answer.state, answer.engine, answer.head, page.width())) page.raw(line + "\n");
    show_passages(page, answer.state);
    show_bolts(page, answer.state);
    show_balance(page, answer.state, answer.grid_mm);
  }
  show_list(page, "To note", answer.notes);
  page.blank();
  page.paragraph(
      "Bending thickness and gasket figures are rarely published: read this as a comparison. The engine maker's procedure comes first.");
}

void show(TerminalPage& page, const assess::SealingAnswer& answer) {
  page.strong(answer.sentence);
  constexpr int kCells = 40;
  page.raw(chance_bar(answer.low, answer.chance, answer.high, kCells) + " " + fixed(100 * answer.chance, 1) + " %\n");
  page.paragraph("Margin of the weakest ring: " + fixed(answer.margin_median, 2) + " in the middle, " + fixed(answer.margin_5_percent, 2) +
                 " or less in one trial of twenty.");
  page.heading("Which input matters most");
  std::vector<std::vector<std::string>> rows;
  for (const auto& input : answer.inputs) rows.push_back({plain_text(input.input), fixed(100 * input.share, 0) + " %"});
  page.table({{"input"}, {"of the spread", true}}, rows);
  page.heading("Weakest ring");
  rows.clear();
  for (const auto& ring : answer.weakest) rows.push_back({std::to_string(ring.bore), fixed(100 * ring.share, 0) + " %"});
  page.table({{"bore"}, {"of the trials", true}}, rows);
  page.paragraph(
      std::to_string(answer.samples) + " trials in " + fixed(answer.seconds, 1) + " s" +
          (answer.unsolved > 0 ? ", " + std::to_string(answer.unsolved) + " without a place of rest, counted as not sealing" : "") + ".",
      2);
  show_list(page, "Rests on", answer.notes);
}

void show(TerminalPage& page, const assess::TighteningAnswer& answer) {
  page.strong(answer.sentence);
  const std::string from = answer.order_from == "asked"   ? "as asked"
                           : answer.order_from == "maker" ? "the maker's"
                                                          : "from the middle outwards";
  page.paragraph("Order (" + from + "): " + order_words(answer.order) + ".");
  show_cautions(page, answer.cautions);
  if (!answer.passes.empty()) {
    page.heading("Force of each bolt after each pass, kN");
    std::vector<TerminalPage::Column> columns = {{"bolt"}};
    for (std::size_t p = 0; p < answer.passes.size(); ++p)
      columns.push_back({std::to_string(p + 1) + ": " + plain_text(answer.passes[p].stage), true});
    std::vector<std::vector<std::string>> rows;
    for (std::size_t b = 0; b < answer.passes.front().force_N.size(); ++b) {
      rows.push_back({std::to_string(b + 1)});
      for (const assess::TightenedPass& pass : answer.passes) rows.back().push_back(kilonewton(pass.force_N[b]));
    }
    const auto sum = [&](const char* name, double assess::TightenedPass::*figure) {
      rows.push_back({name});
      for (const assess::TightenedPass& pass : answer.passes) rows.back().push_back(kilonewton(pass.*figure));
    };
    sum("least", &assess::TightenedPass::min_N);
    sum("most", &assess::TightenedPass::max_N);
    sum("scatter", &assess::TightenedPass::std_N);
    page.table(columns, rows);
    show_rings(page, answer.clamped, "Fire rings as tightened");
  }
  if (!answer.recommended_order.empty()) {
    page.heading("Recommended");
    page.paragraph(answer.recommended_text, 2);
    page.paragraph("Order " + order_words(answer.recommended_order) + "; passes " + std::to_string(answer.recommended_passes) + ".", 2);
  }
  if (!answer.compensated_N.empty()) {
    std::string set;
    for (std::size_t b = 0; b < answer.compensated_N.size(); ++b)
      set += (b == 0 ? "" : ", ") + std::to_string(b + 1) + ": " + kilonewton(answer.compensated_N[b]);
    page.paragraph("One pass would do with forces of its own, kN (for test benches with measured bolts): " + set + ".", 2);
  }
  show_list(page, "To note", answer.notes);
  page.blank();
  page.paragraph("The engine maker's order, stages and lubricant come first.");
}

void show(TerminalPage& page, const assess::BoltAnswer& answer) {
  page.strong(answer.sentence);
  page.paragraph(answer.bolt);
  show_cautions(page, answer.cautions);
  page.blank();
  std::vector<std::vector<std::string>> rows = {
      {"preload", kilonewton(answer.preload_N) + " kN"},
      {"torque at the wrench", fixed(answer.torque_Nm, 1) + " N m"},
      {"of it: stretch, thread, under the head", fixed(100 * answer.torque_to_stretch, 0) + ", " + fixed(100 * answer.torque_to_thread, 0) +
                                                     ", " + fixed(100 * answer.torque_to_head, 0) + " %"},
      {"preload over the range of friction", kilonewton(answer.preload_low_N) + " to " + kilonewton(answer.preload_high_N) + " kN"},
      {"yields at, while being tightened", kilonewton(answer.yield_preload_N) + " kN"},
      {"used of it", fixed(100 * answer.utilisation, 0) + " %"},
      {"torque to loosen", fixed(answer.loosening_torque_Nm, 1) + " N m"},
      {"nut factor K", fixed(answer.nut_factor, 3)}};
  if (answer.stiffness_kN_per_mm) rows.push_back({"stiffness", fixed(*answer.stiffness_kN_per_mm, 1) + " kN/mm"});
  if (answer.preload_per_degree_N) rows.push_back({"preload per degree", fixed(*answer.preload_per_degree_N, 0) + " N"});
  if (answer.angle_to_yield_deg) rows.push_back({"angle from the torque to yield", fixed(*answer.angle_to_yield_deg, 0) + " deg"});
  if (answer.permanent_set_mm) rows.push_back({"stays stretched by", fixed(*answer.permanent_set_mm, 3) + " mm"});
  if (!answer.reuse.empty())
    rows.push_back({"serves again", answer.reuse == "reusable" ? "yes" : answer.reuse == "scrap" ? "NO" : "undecided"});
  page.table({{""}, {"", true}}, rows);
  if (!answer.reuse_why.empty()) page.paragraph(answer.reuse_why);
  show_list(page, "To note", answer.notes);
  page.blank();
  page.paragraph("A torque belongs to the maker's lubricant and bolt. The engine maker's figures come first.");
}

void show(TerminalPage& page, const assess::WrenchLogAnswer& answer) {
  page.strong(answer.sentence);
  page.blank();
  std::vector<std::vector<std::string>> rows;
  for (const assess::LoggedBolt& bolt : answer.bolts)
    rows.push_back({std::to_string(bolt.number), optional_figure(bolt.snug_Nm, 1), optional_figure(bolt.slope_Nm_per_deg, 2),
                    fixed(bolt.final_Nm, 1), fixed(bolt.final_deg, 0), bolt.yield ? "at " + optional_figure(bolt.yield_deg, 0) : "no",
                    optional_figure(bolt.friction, 3), optional_figure(bolt.preload_kN, 1), plain_text(bolt.why)});
  page.table({{"bolt"},
              {"snug N m", true},
              {"N m/deg", true},
              {"final N m", true},
              {"deg", true},
              {"yield", true},
              {"friction", true},
              {"kN", true},
              {""}},
             rows);
  show_list(page, "To note", answer.notes);
}

}  // namespace headjoint::report
