#include "headjoint/report/terminal_text.h"

#include <algorithm>
#include <set>

#include "headjoint/assess/content_types.h"
#include "headjoint/base/error.h"
#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/terminal_clamp.h"
#include "headjoint/report/internal/terminal_cooling.h"
#include "headjoint/report/internal/terminal_faces.h"
#include "headjoint/report/internal/terminal_finding.h"
#include "headjoint/report/internal/terminal_machining.h"
#include "headjoint/report/internal/terminal_options.h"
#include "headjoint/report/internal/terminal_page.h"
#include "headjoint/report/internal/terminal_photo.h"
#include "headjoint/report/internal/terminal_practice.h"
#include "headjoint/report/internal/terminal_readings.h"
#include "headjoint/report/internal/terminal_record.h"
#include "headjoint/report/internal/terminal_repair.h"
#include "headjoint/report/internal/terminal_traces.h"

namespace headjoint::report {
namespace {

constexpr std::size_t kLeastWidth = 40;
constexpr std::size_t kChecksInOverview = 3;
constexpr std::size_t kAll = 1000;

void show_warnings(TerminalPage& page, const Problems& first, const Problems& second) {
  std::set<std::string> said;
  for (const Problems* list : {&first, &second}) {
    for (const Problem& problem : *list) {
      const std::string text = to_string(problem);
      if (!said.insert(text).second) continue;
      if (said.size() == 1) page.heading("Warnings");
      page.paragraph(text, 2, 6);
    }
  }
}

/// Shows each kind of content; one function a kind.
class Shower {
 public:
  Shower(TerminalPage& page, const assess::Reply& reply) : page_(page), reply_(reply) {}

  void operator()(const assess::Assessment& all) {
    show_finding(page_, all.finding, all);
    show_next_checks(page_, all, kChecksInOverview);
    show_weights(page_, all.finding);
    if (all.compression || all.leak_down) page_.heading("Readings");
    if (all.compression) show(page_, *all.compression);
    if (all.leak_down) show(page_, *all.leak_down);
    if (!all.faces.empty()) page_.heading("Faces");
    for (const assess::Flatness& face : all.faces) show(page_, face);
    if (all.after_skim) {
      page_.heading("After the cut");
      show(page_, *all.after_skim);
    }
    show_choice(page_, all.choice);
    show_options(page_, all.options);
    show_warnings(page_, reply_.warnings, all.warnings);
    close_with_basis(all.version, all.learnt);
  }

  void operator()(const assess::FindingReply& reply) {
    show_finding(page_, reply.assessment.finding, reply.assessment);
    show_weights(page_, reply.assessment.finding);
    show_line(page_, reply.assessment.finding);
    show_warnings(page_, reply_.warnings, reply.assessment.warnings);
    close_with_basis(reply.assessment.version, reply.assessment.learnt);
  }

  void operator()(const assess::NextCheckReply& reply) {
    page_.strong(reply.assessment.finding.sentence);
    show_next_checks(page_, reply.assessment, kAll);
    show_warnings(page_, reply_.warnings, reply.assessment.warnings);
    close_with_basis(reply.assessment.version, reply.assessment.learnt);
  }

  /// Whatever has a function `show` of its own.
  template <class Content>
  void operator()(const Content& content) {
    show(page_, content);
    show_warnings(page_, reply_.warnings, {});
  }

  void operator()(const assess::CheckReply& reply) {
    const auto errors = std::count_if(reply.problems.begin(), reply.problems.end(),
                                      [](const Problem& p) { return p.severity == Problem::Severity::kError; });
    const auto warnings = static_cast<std::ptrdiff_t>(reply.problems.size()) - errors;
    const std::string kind = reply.kind.empty() ? "file" : reply.kind;
    page_.strong((kind == "points" ? "These " : "This ") + kind + (errors > 0 ? " cannot be used yet." : " can be used."));
    page_.paragraph(counted(errors, "error") + ", " + counted(warnings, "warning") + ".");
    for (const Problem& problem : reply.problems) page_.paragraph(to_string(problem), 2, 6);
    show_warnings(page_, reply_.warnings, reply.problems);
  }

  void operator()(const assess::NewReply& reply) { page_.raw(reply.text); }

  void operator()(const assess::QuestionsReply& reply) {
    page_.strong(counted(static_cast<std::ptrdiff_t>(reply.questions.size()), "question") + " about this engine");
    for (const assess::Question& question : reply.questions) show_question(page_, question);
  }

 private:
  void close_with_basis(const std::string& version, const std::string& learnt) {
    page_.blank();
    page_.paragraph(learnt.empty() ? assess::kBasis : learnt);
    page_.paragraph("The engine maker's procedure, local law and licensed practice come first." +
                    (version.empty() ? "" : " headjoint " + version + "."));
  }

  TerminalPage& page_;
  const assess::Reply& reply_;
};

}  // namespace

std::string terminal_text(const assess::Reply& reply, const TerminalStyle& style) {
  TerminalPage page(std::max(style.width, kLeastWidth), style.bold);
  require(assess::visit_content(reply.content, Shower(page, reply)), "the content of an answer is one of ContentTypes");
  return page.text();
}

}  // namespace headjoint::report
