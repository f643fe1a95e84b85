#include <fmt/format.h>

#include "headjoint/assess/learnt_option.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/option_reader.h"
#include "headjoint/assess/repair_terms.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_options.h"
#include "headjoint/base/text.h"
#include "headjoint/jobs/job_file.h"

namespace headjoint::assess {
namespace {

constexpr double kMostKm = 100000;
constexpr double kKmPerMile = 1.609344;

/// "200 km", "120 mi"
void read_distance(const Request& request, OptionReader& options, RepairTerms& terms) {
  const std::string text = request.option("distance");
  if (text.empty()) return;
  const auto [number, unit] = split_number_and_unit(text);
  const auto value = parse_number(number);
  const bool is_miles = unit == "mi" || unit == "miles";
  if (value && (unit == "km" || is_miles)) {
    terms.distance_km = *value * (is_miles ? kKmPerMile : 1.0);
    if (terms.distance_km > 0 && terms.distance_km <= kMostKm) return;
  }
  options.refuse("--distance", "\"" + text.substr(0, 40) + "\" is no distance",
                 "more than 0 km to 100000 km, such as \"200 km\" or \"120 mi\"");
}

/// "85 %" or 0.85
void read_sealing_chance(const Request& request, OptionReader& options, RepairTerms& terms) {
  const std::string text = request.option("sealing-chance");
  if (text.empty()) return;
  std::string_view number = trimmed(text);
  const bool is_percent = number.ends_with('%');
  if (is_percent) number.remove_suffix(1);
  const auto value = parse_number(trimmed(number));
  const double chance = value ? *value / (is_percent ? 100 : 1) : -1;
  if (chance >= 0 && chance <= 1)
    terms.sealing_chance = chance;
  else
    options.refuse("--sealing-chance", "\"" + text.substr(0, 40) + "\" is no chance",
                   "0 to 1, or \"0 %\" to \"100 %\", as seal-chance gives it");
}

Result<Reply> run_options(const Request& request) {
  Problems problems;
  auto job = jobs::read_job(request.input, request.read_beside);
  auto terms = repair_terms(request);
  const auto learnt = learnt_of(request);
  for (const Problems* list : {&job.problems(), &learnt.problems(), &terms.problems()})
    problems.insert(problems.end(), list->begin(), list->end());
  if (!job || !learnt || !terms) return problems;
  auto assessment = assess(*job, problems, *learnt ? &**learnt : nullptr, *terms);
  if (!assessment) return assessment.problems();
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(assessment->choice));
  reply.warnings = assessment->warnings;
  reply.content = OptionsReply{std::move(assessment).value()};
  return reply;
}

}  // namespace

OptionSpec prices_option() {
  return {"prices", "FILE", "the shop's table of hours and prices; the shipped example when not given", OptionKind::kFile};
}

Result<RepairTerms> repair_terms(const Request& request) {
  RepairTerms terms;
  OptionReader options(request);
  read_distance(request, options, terms);
  read_sealing_chance(request, options, terms);
  if (const auto file = request.files.find("prices"); file != request.files.end()) {
    terms.prices = file->second;
    options.add(problems_of_prices(*terms.prices));
  }
  if (has_errors(options.problems())) return options.problems();
  return terms;
}

Operation options_operation() {
  return {
      .name = "options",
      .summary = "what to do now: every repair and way on with its expected cost, spread and chance of a second failure",
      .argument = "JOB",
      .input = InputKind::kDocument,
      .options = {learnt_option_spec(),
                  prices_option(),
                  {"distance", "DISTANCE", "to be driven on, \"200 km\" or \"120 mi\"; 200 km when not given"},
                  {"sealing-chance", "CHANCE",
                   "of the joint clamped without machining, as seal-chance gives it; it then stands for the faces"}},
      .keys =
          "options[]{option, expected_cost, low, high, second_failure, engine_lost, state, forbidden, items[], drivers[]}, chosen, "
          "check{check, where, net_value}, turns[]{figure, now, at, then}, weights[], unit",
      .run = run_options,
  };
}

}  // namespace headjoint::assess
