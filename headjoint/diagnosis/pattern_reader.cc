#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "headjoint/base/text.h"
#include "headjoint/diagnosis/internal/row_reader.h"
#include "headjoint/diagnosis/pattern.h"

namespace headjoint::diagnosis {
namespace {

using internal::RowReader;

constexpr double kMostMinutes = 100000;
constexpr double kMostFactor = 1000;
constexpr double kMostChance = 0.5;
constexpr std::size_t kMostStates = 8;
constexpr double kRowSumTolerance = 1e-9;

/// What a link or context needs to know of a node.
struct NodeFacts {
  std::size_t states = 2;
  std::vector<double> leak;
  bool is_cause = false;
  bool reads = false;  ///< measures another node
};

class PatternReader {
 public:
  explicit PatternReader(const PatternTexts& texts)
      : texts_(texts),
        causes_(texts.causes.text, texts.causes.source,
                {"name", "text", "layer", "scope", "chance", "put_right_minutes", "left_minutes", "decision", "basis", "why"}, problems_),
        findings_(texts.findings.text, texts.findings.source,
                  {"name", "text", "question", "kind", "scope", "states", "false_positive", "minutes", "price_minutes", "set_up", "needs",
                   "cautions", "measures", "confusion", "cannot_see", "basis"},
                  problems_),
        set_ups_(texts.set_ups.text, texts.set_ups.source, {"name", "text", "minutes", "cautions", "basis"}, problems_),
        links_(texts.links.text, texts.links.source, {"cause", "effect", "strength", "meant", "basis", "why"}, problems_),
        contexts_(texts.contexts.text, texts.contexts.source, {"when", "node", "factor", "basis", "why"}, problems_) {}

  Result<Pattern> read() {
    if (has_errors(problems_)) return problems_;
    for_rows(set_ups_, [this] { read_set_up(); });
    for_rows(causes_, [this] { read_cause(); });
    for_rows(findings_, [this] { read_finding(); });
    check_measures();
    for_rows(links_, [this] { read_link(); });
    for_rows(contexts_, [this] { read_context(); });
    check_orphans();
    check_cycles();
    if (has_errors(problems_)) return problems_;
    return std::move(pattern_);
  }

 private:
  template <class Body>
  static void for_rows(RowReader& reader, const Body& body) {
    for (std::size_t row = 0; row < reader.rows(); ++row) {
      reader.go_to(row);
      body();
    }
  }

  std::string new_name(RowReader& rows, std::set<std::string>& names) {
    std::string name = rows.required("name");
    if (name.find('@') != std::string::npos) rows.add("name", "a name may not hold \"@\": \"" + name + "\"");
    if (!name.empty() && !names.insert(name).second) rows.add("name", "\"" + name + "\" stands twice");
    return name;
  }

  std::string scope(RowReader& rows) {
    std::string name = rows.required("scope");
    if (!texts_.scopes.empty()) (void)rows.choice("scope", texts_.scopes);
    return name;
  }

  void read_set_up() {
    pattern_.set_ups.push_back({new_name(set_ups_, set_up_names_), set_ups_.required("text"),
                                set_ups_.number("minutes", 0, kMostMinutes, "min"), set_ups_.words("cautions"),
                                set_ups_.required("basis")});
  }

  void read_cause() {
    RowReader& row = causes_;
    Cause cause;
    cause.name = new_name(row, node_names_);
    cause.text = row.required("text");
    cause.layer = static_cast<Layer>(row.choice("layer", {"root", "weakness", "path", "any", "rival"}));
    cause.scope = scope(row);
    cause.chance = row.number("chance", 0, kMostChance);
    if (cause.layer == Layer::kAny && cause.chance != 0) row.add("chance", "an \"any\" row has no chance of its own", "0");
    cause.put_right_minutes = row.number("put_right_minutes", 0, kMostMinutes, "min");
    cause.left_minutes = row.number("left_minutes", 0, kMostMinutes, "min");
    cause.decision = row.text("decision");
    cause.basis = row.required("basis");
    cause.why = row.text("why");
    facts_[cause.name] = {2, {cause.chance}, true, false};
    pattern_.causes.push_back(std::move(cause));
  }

  void read_finding() {
    RowReader& row = findings_;
    Finding finding;
    finding.name = new_name(row, node_names_);
    finding.text = row.required("text");
    finding.kind = static_cast<FindingKind>(row.choice("kind", {"symptom", "history", "test", "reading", "hidden"}));
    finding.question = finding.kind == FindingKind::kHidden ? row.text("question") : row.required("question");
    finding.scope = scope(row);
    finding.states = row.parts("states");
    if (finding.states.size() < 2 || finding.states.size() > kMostStates) row.add("states", "wrong number of states", "2 to 8, by |");
    finding.false_positive = row.falling("false_positive", kMostChance);
    finding.minutes = row.number("minutes", 0, kMostMinutes, "min");
    finding.price_minutes = row.number("price_minutes", 0, kMostMinutes, "min");
    finding.set_up = row.text("set_up");
    if (!finding.set_up.empty() && !set_up_names_.contains(finding.set_up))
      row.unknown("set_up", finding.set_up, {set_up_names_.begin(), set_up_names_.end()});
    finding.needs = row.text("needs");
    finding.cautions = row.words("cautions");
    finding.measures = row.text("measures");
    finding.confusion = row.matrix("confusion");
    finding.cannot_see = row.text("cannot_see");
    finding.basis = row.required("basis");
    const std::size_t wanted = finding.measures.empty() ? finding.states.size() - 1 : 0;
    if (finding.false_positive.size() != wanted)
      row.add("false_positive", "wrong count of numbers",
              std::to_string(wanted) + ": one for each state above the lowest, none when it measures");
    facts_[finding.name] = {finding.states.size(), finding.false_positive, false, !finding.measures.empty()};
    pattern_.findings.push_back(std::move(finding));
  }

  void check_measures() {
    for (std::size_t i = 0; i < pattern_.findings.size(); ++i) {
      findings_.go_to(i);
      const Finding& finding = pattern_.findings[i];
      if (finding.measures.empty()) {
        if (!finding.confusion.empty()) findings_.add("confusion", "confusion rows without a measured node");
        continue;
      }
      const auto read = facts_.find(finding.measures);
      if (read == facts_.end()) {
        findings_.unknown("measures", finding.measures, {node_names_.begin(), node_names_.end()});
        continue;
      }
      if (read->second.reads) findings_.add("measures", "\"" + finding.measures + "\" is itself a reading");
      check_confusion(finding, read->second.states);
    }
  }

  void check_confusion(const Finding& finding, std::size_t true_states) {
    if (finding.confusion.size() != true_states)
      findings_.add("confusion", "wrong count of confusion rows", std::to_string(true_states) + ", one for each true state");
    for (const auto& row : finding.confusion) {
      double sum = 0;
      for (double value : row) sum += value;
      if (row.size() != finding.states.size() || !(std::abs(sum - 1) <= kRowSumTolerance))
        findings_.add("confusion", "a confusion row has " + std::to_string(row.size()) + " numbers with sum " + number_text(sum, 10),
                      std::to_string(finding.states.size()) + " numbers with sum 1");
    }
  }

  /// The node a cell names, or null pointer after a problem.
  const NodeFacts* known(RowReader& rows, std::string_view column) {
    const auto found = facts_.find(rows.text(column));
    if (found != facts_.end()) return &found->second;
    rows.unknown(column, rows.text(column), {node_names_.begin(), node_names_.end()});
    return nullptr;
  }

  void read_link() {
    RowReader& row = links_;
    Link link{row.text("cause"), row.text("effect"), row.falling("strength", 1), row.required("basis"), row.text("why")};
    const NodeFacts* cause = known(row, "cause");
    const NodeFacts* effect = known(row, "effect");
    const bool asked = row.choice("meant", {"net", "asked"}) == 1;
    if (cause == nullptr || effect == nullptr) return;
    if (!pairs_.insert({link.cause, link.effect}).second)
      row.add("effect", "the link " + link.cause + " - " + link.effect + " stands twice");
    if (cause->reads) row.add("cause", "a reading causes nothing: \"" + link.cause + "\"");
    if (effect->reads) row.add("effect", "\"" + link.effect + "\" measures another node: link that one");
    if (effect->is_cause && !cause->is_cause) row.add("effect", "a finding does not cause a cause");
    if (link.strength.size() != effect->states - 1) {
      row.add("strength", "wrong count of numbers",
              std::to_string(effect->states - 1) + ", one for each state of the effect above the lowest");
      return;
    }
    if (asked && effect->leak.size() == link.strength.size()) make_net(link, *effect);
    pattern_.links.push_back(std::move(link));
  }

  void make_net(Link& link, const NodeFacts& effect) {
    for (std::size_t k = 0; k < link.strength.size(); ++k) {
      if (link.strength[k] < effect.leak[k])
        links_.add("strength", "asked strength is below the leak " + number_text(effect.leak[k]), "at least the leak, which it contains");
      else
        link.strength[k] = net_strength(link.strength[k], effect.leak[k]);
    }
  }

  void read_context() {
    RowReader& row = contexts_;
    std::string when = row.required("when");
    const bool absent = when.starts_with('!');
    if (absent) when.erase(0, 1);
    if (when.empty()) row.add("when", "no fact named");
    if (known(row, "node") == nullptr) return;
    pattern_.contexts.push_back(
        {when, absent, row.text("node"), row.number("factor", 0, kMostFactor), row.required("basis"), row.text("why")});
  }

  void check_orphans() {
    std::set<std::string> causing;
    std::set<std::string> caused;
    for (const Link& link : pattern_.links) {
      causing.insert(link.cause);
      caused.insert(link.effect);
    }
    for (std::size_t i = 0; i < pattern_.causes.size(); ++i) {
      const std::string& name = pattern_.causes[i].name;
      causes_.go_to(i);
      if (!causing.contains(name) && !caused.contains(name)) causes_.add("name", "\"" + name + "\" is in no link");
      if (pattern_.causes[i].layer == Layer::kAny && !caused.contains(name)) causes_.add("name", "nothing defines \"" + name + "\"");
    }
    for (std::size_t i = 0; i < pattern_.findings.size(); ++i) {
      const Finding& finding = pattern_.findings[i];
      findings_.go_to(i);
      if (finding.measures.empty() && !caused.contains(finding.name)) findings_.add("name", "nothing causes \"" + finding.name + "\"");
    }
  }

  void check_cycles() {
    std::map<std::string, std::size_t> open;
    std::vector<std::string> ready;
    for (const Link& link : pattern_.links) ++open[link.effect];
    for (const std::string& name : node_names_)
      if (!open.contains(name)) ready.push_back(name);
    for (std::size_t done = 0; done < ready.size(); ++done)
      for (const Link& link : pattern_.links)
        if (link.cause == ready[done] && --open[link.effect] == 0) ready.push_back(link.effect);
    const std::set<std::string> free(ready.begin(), ready.end());
    for (std::size_t i = 0; i < links_.rows(); ++i) {
      links_.go_to(i);
      if (facts_.contains(links_.text("cause")) && facts_.contains(links_.text("effect")) && !free.contains(links_.text("cause")) &&
          !free.contains(links_.text("effect")))
        links_.add("effect", "the link is on or below a cycle", "no node its own ancestor");
    }
  }

  const PatternTexts& texts_;
  Problems problems_;
  RowReader causes_;
  RowReader findings_;
  RowReader set_ups_;
  RowReader links_;
  RowReader contexts_;
  Pattern pattern_;
  std::set<std::string> node_names_;
  std::set<std::string> set_up_names_;
  std::map<std::string, NodeFacts> facts_;
  std::set<std::pair<std::string, std::string>> pairs_;
};

}  // namespace

Result<Pattern> read_pattern(const PatternTexts& texts) { return PatternReader(texts).read(); }

}  // namespace headjoint::diagnosis
