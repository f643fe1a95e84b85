#include "headjoint/assess/after_skim.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "headjoint/assess/cut_words.h"
#include "headjoint/base/error.h"

namespace headjoint::assess {
namespace {

using machining::Consequence;
using machining::Consequences;
using machining::Matter;
using machining::Verdict;

constexpr double kRatioRiseWorthAWord = 0.3;  // common practice, no source
constexpr std::size_t kMostNamed = 3;

std::optional<double> in_mm(const std::optional<Length>& length) {
  if (!length) return std::nullopt;
  return length->si() * 1e3;
}

std::string source_of(const machining::Bound& bound) {
  std::string text = bound.key;
  if (!bound.source.empty()) text += ": " + bound.source;
  if (bound.status == joint::FigureStatus::kAssumed) text += " (assumed)";
  return text;
}

CutLine line_of(const Consequence& from, const Consequences& all) {
  CutLine line;
  line.line = word_of(from.matter);
  line.name = name_of(from.matter);
  line.unit = word_of(unit_of(from.matter));
  line.before = from.before;
  line.after = from.after;
  line.band = from.band;
  for (const auto& [bound, into] : {std::pair{&from.least, &line.least}, std::pair{&from.most, &line.most}}) {
    if (!*bound) continue;
    *into = (*bound)->value;
    const std::string source = source_of(**bound);
    if (line.limit_source.find(source) == std::string::npos) line.limit_source += (line.limit_source.empty() ? "" : "; ") + source;
  }
  line.verdict = word_of(from.verdict);
  line.at_deg_before = from.at_deg_before;
  line.at_deg_after = from.at_deg_after;
  line.with_cam_set_back = from.after_with_cam_set_back;
  line.gasket_to_restore_mm = from.gasket_that_restores_mm;
  line.gasket_to_suffice_mm = from.gasket_that_is_enough_mm;
  line.missing = from.missing;
  line.assumed = from.assumed;
  line.limit_keys = from.limit_keys;
  line.remedies = remedies_of(from, all);
  line.note = note_of(from);
  return line;
}

/// "compression ratio, squish height and 2 more"
std::string named(const AfterSkim& answer, Verdict verdict) {
  std::vector<std::string> names;
  for (const CutLine& line : answer.lines)
    if (line.verdict == word_of(verdict)) names.push_back(line.name);
  std::string text;
  for (std::size_t i = 0; i < std::min(kMostNamed, names.size()); ++i) text += (i > 0 ? ", " : "") + names[i];
  if (names.size() > kMostNamed) text += fmt::format(" and {} more", names.size() - kMostNamed);
  return text;
}

std::string sentence_of(const AfterSkim& answer, const Consequences& all) {
  if (all.has(Verdict::kOutOfLimit)) return "Out of limit: " + named(answer, Verdict::kOutOfLimit) + ".";
  if (all.has(Verdict::kNearLimit)) return "Inside, but near the limit: " + named(answer, Verdict::kNearLimit) + ".";
  const bool judged = all.has(Verdict::kOk);
  if (!judged) return "Nothing can be judged: the engine file has no limits or not the figures for them.";
  if (all.has(Verdict::kCannotSay)) return "Nothing is out of limit as far as the engine file goes; some lines cannot be said.";
  return "Everything that has a limit stays inside it.";
}

std::string line_warning(const CutLine& line) {
  const std::string number = line.after ? cut_number(*line.after, line.unit) : line.note;
  std::string text = line.name + ": " + number + (line.verdict == "out_of_limit" ? " is out of limit" : " is near the limit");
  if (line.least) text += ", least " + cut_number(*line.least, line.unit);
  if (line.most) text += ", most " + cut_number(*line.most, line.unit);
  if (!line.note.empty() && line.after) text += "; " + line.note;
  return text;
}

/// What the lines do not say of themselves.
void add_hints(const joint::Engine& engine, const Consequences& all, AfterSkim& answer) {
  const CutLine* ratio = answer.find("compression_ratio");
  if (all.ratio_stated && ratio != nullptr && ratio->before)
    answer.hints.push_back(fmt::format("The volumes give a compression ratio of {:.2f}, the engine file states {:.2f}: measure the chamber",
                                       *ratio->before, *all.ratio_stated));
  const bool has_both = ratio != nullptr && ratio->before && ratio->after;
  if (has_both && *ratio->after - *ratio->before > kRatioRiseWorthAWord)
    answer.hints.push_back(
        fmt::format("The compression ratio rises by {:.2f}: above {:.1f} think of fuel and ignition (common practice, no source)",
                    *ratio->after - *ratio->before, kRatioRiseWorthAWord));
  if (engine.general.layout == joint::Layout::kVee && answer.lowered_mm != 0)
    answer.hints.push_back("Both banks must lose the same, or the manifold stands askew and the banks differ in timing");
  const bool is_wet = std::find(engine.general.fitted.begin(), engine.general.fitted.end(), "wet_liners") != engine.general.fitted.end();
  if (is_wet && answer.deck_mm > 0) answer.hints.push_back("With the deck cut, every liner's seat and protrusion must be measured again");
}

void add_warnings(const joint::Engine& engine, const Consequences& all, AfterSkim& answer) {
  for (const char* verdict : {"out_of_limit", "near_limit"})
    for (const CutLine& line : answer.lines)
      if (line.verdict == verdict) answer.warnings.push_back(line_warning(line));
  for (const CutLine& line : answer.lines) {
    if (line.verdict != word_of(Verdict::kCannotSay)) continue;
    std::string text = line.name + ": cannot say, missing";
    for (std::size_t i = 0; i < line.missing.size(); ++i) text += (i > 0 ? ", " : " ") + line.missing[i];
    answer.warnings.push_back(std::move(text));
  }
  add_hints(engine, all, answer);
  answer.warnings.insert(answer.warnings.end(), answer.hints.begin(), answer.hints.end());
}

void copy_changes(const Consequences& all, AfterSkim& answer) {
  if (all.timing) {
    answer.cam_deg = all.timing->cam.degrees();
    answer.crank_deg = all.timing->crank.degrees();
  } else if (all.find(Matter::kCamTiming) == nullptr) {
    answer.cam_deg = 0;
    answer.crank_deg = 0;
  }
  answer.lash_change_mm = in_mm(all.lash_change);
  answer.preload_change_mm = in_mm(all.preload_change);
}

}  // namespace

const CutLine* AfterSkim::find(const std::string& line) const {
  const auto found = std::find_if(lines.begin(), lines.end(), [&](const CutLine& one) { return one.line == line; });
  return found == lines.end() ? nullptr : &*found;
}

Result<AfterSkim> judge_cut(const joint::Engine& engine, const machining::Cut& cut) {
  Consequences all;
  try {
    all = machining::consequences_of(engine, cut);
  } catch (const InputError& error) {
    return Problem{{{}, 0, 0, "--" + error.argument()}, error.what(), {}, {}};
  }
  AfterSkim answer;
  answer.engine = engine.name;
  answer.head_mm = cut.head.si() * 1e3;
  answer.deck_mm = cut.deck.si() * 1e3;
  if (engine.gasket && engine.gasket->thickness) answer.gasket_before_mm = engine.gasket->thickness->value.si() * 1e3;
  answer.gasket_after_mm = cut.gasket_thickness ? in_mm(cut.gasket_thickness) : answer.gasket_before_mm;
  answer.lowered_mm = all.lowered.si() * 1e3;
  answer.scatter_mm = cut.scatter.si() * 1e3;
  for (const Consequence& line : all.lines) answer.lines.push_back(line_of(line, all));
  copy_changes(all, answer);
  if (all.grade) answer.grade = grade_words(*all.grade, engine.gasket->grades);
  answer.is_out_of_limit = all.has(Verdict::kOutOfLimit);
  answer.sentence = sentence_of(answer, all);
  add_warnings(engine, all, answer);
  return answer;
}

std::optional<machining::Cut> ordered_cut(const jobs::Job& job) {
  if (!job.cut.head && !job.cut.deck && !job.cut.gasket) return std::nullopt;
  machining::Cut cut;
  if (job.cut.head) cut.head = job.cut.head->value;
  if (job.cut.deck) cut.deck = job.cut.deck->value;
  if (job.cut.gasket) cut.gasket_thickness = job.cut.gasket->value;
  return cut;
}

}  // namespace headjoint::assess
