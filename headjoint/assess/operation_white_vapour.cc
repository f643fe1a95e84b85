#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "headjoint/assess/cooling_input.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document_cooling.h"
#include "headjoint/leakage/white_vapour.h"

namespace headjoint::assess {
namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kLitrePerHour = 1e-3 / 3600;

struct Asked {
  leakage::Tailpipe pipe;
  Temperature outside;
  MassFlow fuel_flow;
};

Asked asked_of(const Request& request, OptionReader& options, CoolingFacts& facts) {
  Asked asked;
  asked.pipe.fuel = facts.fuel;
  asked.pipe.ambient = facts.ambient;
  asked.pipe.air_ratio = leakage::usual_air_ratio(facts.fuel, leakage::EngineState::kIdle);
  if (facts.fuel == leakage::Fuel::kDiesel) facts.assumed.push_back("air ratio 7, a diesel at idle");
  asked.pipe.gas = quantity_or<Temperature>(options, "pipe", asked.pipe.gas, "gas at the end of the pipe: 100 °C", facts.assumed);
  if (const auto humidity = share_option(request, options, "humidity"))
    asked.pipe.humidity = *humidity;
  else
    facts.assumed.push_back("humidity of the air: 70 %");
  if (const auto outside = options.quantity<Temperature>("outside"))
    asked.outside = outside->value;
  else if (facts.outside)
    asked.outside = *facts.outside;
  else if (request.option("outside").empty())
    options.refuse("--outside", "the temperature outside is missing", "--outside \"12 degC\"");
  double kg_per_hour = 0.6;
  if (const auto burnt = number_option(request, options, "fuel-use", 0.05, 200))
    kg_per_hour = *burnt;
  else
    facts.assumed.push_back("fuel burnt: 0.6 kg/h, a car at idle");
  asked.fuel_flow = MassFlow::from_si(kg_per_hour / 3600);
  return asked;
}

std::string status_text(leakage::VapourResult::Status status) {
  using Status = leakage::VapourResult::Status;
  return status == Status::kNormalHere     ? "normal here"
         : status == Status::kWouldBeASign ? "would be a sign"
         : status == Status::kNothingShows ? "nothing shows"
                                           : "not run";
}

void explain(WhiteVapourReply& shown, leakage::VapourResult::Status status) {
  using Status = leakage::VapourResult::Status;
  Meaning& meaning = shown.meaning;
  const std::string limit = std::isfinite(shown.normal_below_degC) ? fmt::format("below {:.0f} °C outside", shown.normal_below_degC)
                                                                   : "at any temperature outside";
  meaning.means.push_back("Sound engines steam " + limit + " with this pipe temperature and humidity.");
  if (status == Status::kNormalHere) meaning.sentence = "White vapour is normal today: seeing it says nothing.";
  if (status == Status::kNothingShows) meaning.sentence = "Nothing would show today, with or without a leak: no vapour says nothing.";
  if (status == Status::kWouldBeASign) {
    meaning.sentence = "A sound engine shows no white vapour today once it is warm.";
    meaning.means.push_back(fmt::format(
        "It takes {:.0f} % more water to show: {} to {} L of coolant an hour. Smaller losses stay invisible.",
        100 * *shown.extra_water_to_show, two_digits(shown.smallest_loss_L_per_h->low), two_digits(shown.smallest_loss_L_per_h->high)));
  }
  meaning.cannot_mean = {"Vapour on a cold exhaust is condensation drying out: judge it warm, after a quarter of an hour.",
                         "White smoke from a cold diesel that stings is unburnt fuel; blue is oil; black is too much fuel.",
                         "Clear exhaust is no proof: most leaks lose less than it takes to show. Watch the coolant level."};
  meaning.cautions = cautions_of({"exhaust_gas", "hot_exhaust"});
}

Result<Reply> run_white_vapour(const Request& request) {
  OptionReader options(request);
  CoolingFacts facts = cooling_facts(request, options, {.coolant = true, .ambient = true, .fuel = true});
  const Asked asked = asked_of(request, options, facts);
  if (has_errors(options.problems())) return options.problems();
  try {
    const leakage::VapourResult result = leakage::judge_white_vapour(asked.pipe, asked.outside, asked.fuel_flow, facts.coolant.share);
    WhiteVapourReply shown;
    shown.status = status_text(result.status);
    shown.outside_degC = asked.outside.celsius();
    shown.normal_below_degC = result.normal_below ? result.normal_below->celsius() : kNone;
    shown.extra_water_to_show = result.extra_water_to_show;
    if (result.smallest_loss)
      shown.smallest_loss_L_per_h =
          Band{kNone, result.smallest_loss->low.si() / kLitrePerHour, result.smallest_loss->high.si() / kLitrePerHour};
    shown.meaning.assumed = facts.assumed;
    explain(shown, result.status);
    Reply reply;
    reply.document = to_document(shown);
    reply.warnings = facts.warnings;
    reply.content = std::move(shown);
    return reply;
  } catch (const InputError& error) {
    return problem_of(error);
  }
}

}  // namespace

Operation white_vapour_operation() {
  return {
      .name = "white-vapour",
      .summary = "whether white vapour at the tailpipe is normal today, and how much coolant it takes to show",
      .argument = "JOB",
      .input = InputKind::kDocumentOrOptions,
      .options = {{"outside", "TEMPERATURE", "of the air: \"12 degC\""},
                  {"humidity", "SHARE", "of the air; 70 % when not given"},
                  {"pipe", "TEMPERATURE", "of the gas at the end of the pipe; 100 degC when not given"},
                  {"fuel-use", "NUMBER", "fuel burnt, kg/h; 0.6 when not given"},
                  cooling_option::kFuel,
                  cooling_option::kGlycol,
                  cooling_option::kAltitude,
                  cooling_option::kAmbient},
      .keys = "status, normal_below_degC, extra_water_to_show, smallest_loss_low_L_per_h, smallest_loss_high_L_per_h, cannot_mean[]",
      .run = run_white_vapour,
  };
}

}  // namespace headjoint::assess
