#include "headjoint/report/internal/figures_table.h"

#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/paper_parts.h"

namespace headjoint::report {
namespace {

std::string origin(joint::FigureStatus status, const std::string& source) {
  std::string word;
  if (status == joint::FigureStatus::kMeasured) word = "measured";
  if (status == joint::FigureStatus::kPublished) word = "published";
  if (status == joint::FigureStatus::kAssumed) word = "assumed";
  if (word.empty() && source.empty()) return "engine file, origin not given";
  return word + (word.empty() || source.empty() ? "" : ": ") + plain_text(source);
}

/// Collects figures; those without a typed text were made by the program and are named where they are used.
class Figures {
 public:
  template <class T>
  void add(const std::string& name, const joint::OptionalFigure<T>& figure) {
    if (figure && !figure->text.empty()) table_.row({name, figure->text, origin(figure->status, figure->source)});
  }
  [[nodiscard]] std::string html() const { return table_.is_empty() ? "" : section("Engine") + table_.html(); }

 private:
  HtmlTable table_{"Figures as typed", {{"figure"}, {"value", true}, {"origin"}}};
};

void add_general(Figures& figures, const joint::General& general) {
  figures.add("bore", general.bore);
  figures.add("stroke", general.stroke);
  figures.add("rod length", general.rod_length);
  figures.add("compression ratio", general.compression_ratio);
  figures.add("cranking speed", general.cranking_speed);
  figures.add("highest firing pressure", general.peak_pressure);
  figures.add("compression of a sound cylinder", general.expected_compression);
}

void add_limits(Figures& figures, const joint::Limits& limits) {
  figures.add("least compression", limits.compression_least);
  figures.add("most spread of compression", limits.compression_spread_most);
  figures.add("most leak-down loss", limits.leak_down_most);
}

}  // namespace

std::string figures_part(const joint::Engine& engine) {
  Figures figures;
  add_general(figures, engine.general);
  if (engine.head) {
    figures.add("head height", engine.head->height);
    figures.add("least head height", engine.head->least_height);
    figures.add("head flatness limit", engine.head->flatness_limit);
  }
  if (engine.block) figures.add("block flatness limit", engine.block->flatness_limit);
  if (engine.gasket) figures.add("gasket, compressed", engine.gasket->thickness);
  if (engine.bolts) figures.add("bolt preload", engine.bolts->preload);
  if (engine.cooling) figures.add("cap opens", engine.cooling->cap);
  if (engine.limits) add_limits(figures, *engine.limits);
  return figures.html();
}

}  // namespace headjoint::report
