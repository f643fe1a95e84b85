#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/option_reader.h"
#include "headjoint/assess/placed_option.h"
#include "headjoint/assess/readings.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/base/text.h"
#include "headjoint/jobs/job_file.h"

namespace headjoint::assess {
namespace {

constexpr std::size_t kMostCylinders = 64;

/// Values of --reading: separated by ";" when one occurs, else by ","; a bare number takes the supply's unit.
std::vector<jobs::ReadingValue> values_of(const std::string& list, const std::string& supply_unit, OptionReader& options) {
  std::vector<jobs::ReadingValue> values;
  const char separator = list.find(';') == std::string::npos ? ',' : ';';
  for (const std::string_view part : split(list, separator)) {
    jobs::ReadingValue value;
    value.text = trimmed(part);
    value.place.pointer = "--reading";
    if (!value.text.empty() && value.text != "-") {
      const bool bare = split_number_and_unit(value.text).unit.empty();
      const auto pressure = parse_typed<GaugePressure>(bare ? value.text + " " + supply_unit : value.text);
      if (pressure) {
        value.kind = jobs::ReadingValue::Kind::kPressure;
        value.pressure = pressure->value;
      } else {
        options.refuse("--reading", pressure.problems().front().what, "pressures such as 60,75,74 or \"60 psi\"; - = not taken");
      }
    }
    values.push_back(std::move(value));
  }
  if (values.size() > kMostCylinders) options.refuse("--reading", "more values than any engine has cylinders", "at most 64");
  return values;
}

template <class T>
joint::OptionalFigure<T> figure_of(const std::optional<Typed<T>>& typed) {
  if (!typed) return std::nullopt;
  joint::Figure<T> figure;
  figure.value = typed->value;
  figure.text = typed->text;
  return figure;
}

std::optional<leakage::Outlet> outlet_of(std::string_view word) {
  using leakage::Outlet;
  constexpr std::pair<std::string_view, Outlet> kWords[] = {
      {"intake", Outlet::kIntake},   {"exhaust", Outlet::kExhaust},         {"valve", Outlet::kValve},    {"oil", Outlet::kOilFiller},
      {"coolant", Outlet::kCoolant}, {"neighbour", Outlet::kNeighbourPlug}, {"outside", Outlet::kOutside}};
  for (const auto& [known, outlet] : kWords)
    if (word == known) return outlet;
  return std::nullopt;
}

std::optional<leakage::AirHeard> heard_of(std::string_view word) {
  using leakage::AirHeard;
  constexpr std::pair<std::string_view, AirHeard> kWords[] = {
      {"none", AirHeard::kNone}, {"faint", AirHeard::kFaint}, {"clear", AirHeard::kClear}, {"strong", AirHeard::kStrong}};
  for (const auto& [known, heard] : kWords)
    if (word == known) return heard;
  return std::nullopt;
}

/// --outlet 2="coolant strong", 2="oil 12 L/min"
std::vector<CylinderOutlet> outlets_of(const Request& request, std::size_t cylinders, OptionReader& options) {
  constexpr const char* kAllowed =
      "2=\"coolant strong\" or 2=\"oil 12 L/min\": intake, exhaust, valve, oil, coolant, neighbour or outside, then none, faint, "
      "clear, strong or a flow";
  std::vector<CylinderOutlet> outlets;
  for (const PlacedValue& placed : placed_values(request, "outlet")) {
    const std::vector<std::size_t> cylinder = cylinders_of_place(placed.place, cylinders);
    const std::string text = lower_case(placed.value);
    const std::size_t blank = text.find(' ');
    const auto outlet = outlet_of(std::string_view(text).substr(0, blank));
    if (cylinder.size() != 1 || !outlet || blank == std::string::npos) {
      options.refuse("--outlet", "is \"" + (placed.place.empty() ? "" : placed.place + "=") + placed.value + "\"", kAllowed);
      continue;
    }
    CylinderOutlet found{cylinder.front(), {*outlet, std::nullopt, heard_of(trimmed(std::string_view(text).substr(blank)))}};
    if (!found.reading.heard) {
      const auto flow = parse<VolumeFlow>(trimmed(std::string_view(placed.value).substr(blank)));
      if (flow) found.reading.flow = *flow;
      if (!flow) options.refuse("--outlet", "is \"" + placed.value + "\"", kAllowed);
    }
    outlets.push_back(found);
  }
  return outlets;
}

/// --jet "1.0 mm=52 psi": what the tester read with a drilled jet in place of the cylinder. Empty when none was given.
std::optional<Area> area_by_jets(const Request& request, const jobs::Reading& reading, const leakage::Ambient& ambient,
                                 OptionReader& options) {
  constexpr const char* kAllowed = "a drilled hole and the gauge with it, below the supply: --jet \"1.0 mm\"=\"52 psi\"";
  std::vector<leakage::JetReading> jets;
  const auto given = request.options.equal_range("jet");
  for (auto option = given.first; option != given.second; ++option) {
    const std::size_t sign = option->second.find('=');
    const auto hole = parse<Length>(trimmed(std::string_view(option->second).substr(0, sign)));
    const std::string read(sign == std::string::npos ? "" : trimmed(std::string_view(option->second).substr(sign + 1)));
    const bool bare = reading.supply && !read.empty() && split_number_and_unit(read).unit.empty();
    const auto gauge = parse<GaugePressure>(bare ? read + " " + split_number_and_unit(reading.supply->text).unit : read);
    if (!hole || !(hole->si() > 0) || !gauge || !(gauge->pascal() > 0) || (reading.supply && !(*gauge < reading.supply->value))) {
      options.refuse("--jet", "is \"" + option->second + "\"", kAllowed);
      continue;
    }
    if (reading.supply) jets.push_back({leakage::TesterOrifice::drilled(*hole).effective_area, reading.supply->value, *gauge});
  }
  if (jets.empty() || has_errors(options.problems())) return std::nullopt;
  return leakage::calibrate_orifice(jets, ambient).orifice.effective_area;
}

struct Asked {
  jobs::Reading reading;
  leakage::Ambient ambient;
  TesterDetails details;
  Problems warnings;  ///< from reading the job
};

/// The same ranges as in a job file, and one way of stating the orifice.
void check_tester(const Asked& asked, const Request& request, OptionReader& options) {
  const Length mm = unit_of<Length>("mm");
  if (const auto& orifice = asked.reading.orifice; orifice && !(orifice->value >= 0.1 * mm && orifice->value <= 10 * mm))
    options.refuse("--orifice", "is \"" + orifice->text + "\"", "0.1 mm to 10 mm");
  const double ambient = asked.ambient.pressure.pascal();
  if (!(ambient >= 500e2 && ambient <= 1100e2))
    options.refuse("--ambient", "is \"" + request.option("ambient") + "\"", "500 mbar to 1100 mbar, absolute");
  if (asked.details.effective_area && request.options.contains("jet"))
    options.refuse("--jet", "the calibrated area is already given by --area", "--area, or --jet");
  if ((asked.details.effective_area || request.options.contains("jet")) &&
      (request.options.contains("orifice") || request.options.contains("discharge")))
    options.refuse("--area", "the calibrated area stands for the orifice and its discharge coefficient",
                   "--area, or --jet, or --orifice with --discharge");
}

Result<Asked> asked_by_options(const Request& request) {
  OptionReader options(request);
  Asked asked;
  asked.reading.test = jobs::ReadingTest::kLeakDown;
  asked.reading.place.pointer = "--supply";
  asked.reading.supply = figure_of(options.quantity<GaugePressure>("supply"));
  asked.reading.orifice = figure_of(options.quantity<Length>("orifice"));
  asked.reading.resolution = figure_of(options.quantity<GaugePressure>("resolution"));
  if (const auto ambient = options.quantity<AbsolutePressure>("ambient")) asked.ambient.pressure = ambient->value;
  asked.details.effective_area = options.positive<Area>("area");
  check_tester(asked, request, options);
  if (const std::string text = request.option("discharge"); !text.empty()) {
    asked.details.discharge = parse_number(text);
    if (!asked.details.discharge || !(*asked.details.discharge >= 0.5 && *asked.details.discharge <= 1))
      options.refuse("--discharge", "is \"" + text + "\"", "a number from 0.5 to 1");
  }
  if (!asked.reading.supply) options.refuse("--supply", "the supply pressure is missing", "--supply \"80 psi\"");
  if (request.option("reading").empty()) options.refuse("--reading", "the readings are missing", "--reading 60,75,74,73");
  if (request.options.contains("jet") && !asked.details.effective_area)
    asked.details.effective_area = area_by_jets(request, asked.reading, asked.ambient, options);
  const std::string unit = asked.reading.supply ? split_number_and_unit(asked.reading.supply->text).unit : "psi";
  asked.reading.values = values_of(request.option("reading"), unit, options);
  asked.details.outlets = outlets_of(request, asked.reading.values.size(), options);
  if (has_errors(options.problems())) return options.problems();
  return asked;
}

Result<Asked> asked_by_job(const Request& request) {
  if (!request.options.empty())
    return Problem{{{}, 0, 0, "--" + request.options.begin()->first},
                   "the job says how its leak-down was taken",
                   {},
                   "give a job or options, not both"};
  const auto job = jobs::read_job(request.input, request.read_beside);
  if (!job) return job.problems();
  const jobs::Reading* last = jobs::last_reading(*job, jobs::ReadingTest::kLeakDown);
  if (last == nullptr)
    return Problem{{request.source, 0, 0, {}},
                   "the job has no leak-down that counts",
                   {},
                   "add [[reading]] with test = \"leak_down\", or give --supply and --reading"};
  return Asked{*last, ambient_of(job->history), details_of(*job), job.problems()};
}

Result<Reply> run_leak_down(const Request& request) {
  const auto asked = request.input.is_null() ? asked_by_options(request) : asked_by_job(request);
  if (!asked) return asked.problems();
  const auto read = [&]() -> Result<ReadTest<LeakDown>> {
    try {
      return judge_leak_down(asked->reading, asked->ambient, asked->details);
    } catch (const InputError& error) {
      return Problem{{{}, 0, 0, "--" + error.argument()}, error.what(), {}, {}};
    }
  }();
  if (!read) return read.problems();
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(read->shown));
  reply.warnings = asked->warnings;
  reply.content = LeakDownReply{read->shown};
  return reply;
}

}  // namespace

Operation leak_down_operation() {
  return {
      .name = "leak-down",
      .summary = "leak-down readings as leak areas with their bands",
      .argument = "JOB",
      .input = InputKind::kDocumentOrOptions,
      .options = {{"supply", "PRESSURE", "regulator pressure, gauge: \"80 psi\""},
                  {"reading", "LIST",
                   "cylinder side, gauge, one per cylinder: 60,75,74 in the supply's unit, or \"60 psi\" ...; - = not taken",
                   OptionKind::kList},
                  {"orifice", "LENGTH", "bore of the tester's orifice: \"0.040 in\""},
                  {"discharge", "NUMBER", "discharge coefficient of that orifice, 0.5 to 1; 0.8 when not given"},
                  {"area", "AREA", "calibrated effective area of the orifice instead of its bore: \"0.65 mm2\""},
                  {"jet", "HOLE=PRESSURE",
                   "calibrates the tester: the gauge with a drilled jet in place of the cylinder: \"1.0 mm\"=\"52 psi\"",
                   OptionKind::kList},
                  {"resolution", "PRESSURE", "smallest step read off the gauge; 1 psi when not given"},
                  {"ambient", "PRESSURE", "air pressure of the day, absolute: \"1013 mbar\""},
                  {"outlet", "AIR", "where air of one cylinder comes out, by ear or flow meter: 2=\"coolant strong\", 2=\"oil 12 L/min\"",
                   OptionKind::kList}},
      .keys =
          "cylinders[]{cylinder, ratio, leak_area_mm2, low_mm2, high_mm2, flow_L_per_min}, outlets[]{cylinder, outlet, share, "
          "leak_area_mm2, low_mm2, high_mm2}, "
          "piston_force_kN, crank_torque_Nm",
      .run = run_leak_down,
  };
}

}  // namespace headjoint::assess
