#include "headjoint/assess/clamp_input.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "headjoint/assess/placed_option.h"
#include "headjoint/base/text.h"

namespace headjoint::assess {
namespace {

/// Reads everything and collects every problem.
class Reader {
 public:
  Reader(const Request& request, bool with_loads) : request_(request), options_(request), with_loads_(with_loads) {}

  Result<ClampInput> read() {
    const auto engine = engine_input(request_);
    if (!engine) return engine.problems();
    input_.engine = engine->engine;
    input_.warnings = engine->warnings;
    const int head = head_number();
    auto model = clamp::from_engine(engine->engine, head);
    if (!model) {
      options_.add(model.problems());
      return options_.problems();
    }
    input_.model = *model;
    input_.notes = model->assumptions;
    for (const Problem& warning : model.problems()) input_.warnings.push_back(warning);
    read_faces(*engine);
    read_grid();
    if (const auto preload = options_.positive<Force>("preload")) {
      input_.loads.preload = *preload;
      input_.model.preload = *preload;
    }
    if (with_loads_) {
      read_gas();
      read_heat();
    }
    if (!input_.model.preload && (with_loads_ || input_.model.stages.empty()))
      options_.refuse("--preload", "neither the engine file nor an option gives the preload of the bolts", "--preload \"45 kN\"");
    if (has_errors(options_.problems())) return options_.problems();
    if (input_.model.preload)
      input_.said.insert(input_.said.begin(), fmt::format("{} bolts at {} kN each.", input_.model.bolts.at.size(),
                                                          number_text(input_.model.preload->si() * 1e-3, 4)));
    return std::move(input_);
  }

 private:
  int head_number() {
    const std::string text = request_.option("head");
    if (text.empty()) return 1;
    const auto number = parse_number(text);
    if (number && *number >= 1 && *number <= 16 && *number == std::floor(*number)) return static_cast<int>(*number);
    options_.refuse("--head", "\"" + text + "\" is no head", "1, 2 and so on");
    return 1;
  }
  void read_faces(const EngineInput& engine);
  void take_face(std::string_view table, const std::string& source, bool is_block);
  void read_grid();
  void read_gas();
  void read_heat();

  const Request& request_;
  OptionReader options_;
  bool with_loads_;
  ClampInput input_;
};

void Reader::take_face(std::string_view table, const std::string& source, bool is_block) {
  const auto points = faces::read_face_points(table, source);
  options_.add(points.problems());
  if (!points) return;
  try {
    auto shape = clamp::FaceShape::through(*points, input_.model.outline);
    for (Problem problem : shape.problems()) {
      problem.place.source = source;
      options_.add({problem});
    }
    if (!shape) return;
    (is_block ? input_.loads.block_face : input_.loads.head_face) = std::move(shape).value();
    input_.said.push_back(fmt::format("The {} as measured, {} points.", is_block ? "deck" : "head's face", points->size()));
  } catch (const InputError& error) {
    options_.refuse(source, error.what(), "points spread over the face");
  }
}

void Reader::read_faces(const EngineInput& engine) {
  for (const bool is_block : {false, true}) {
    const char* option = is_block ? "block" : "face";
    if (const auto file = request_.files.find(option); file != request_.files.end()) {
      take_face(file->second.text, file->second.source, is_block);
      continue;
    }
    if (!engine.job) continue;
    const jobs::Face* last = nullptr;
    for (const jobs::Face& face : engine.job->faces)
      if (face.counts() && (face.part == jobs::FacePart::kBlock) == is_block && face.head == input_.model.head) last = &face;
    if (last != nullptr && !last->table.empty()) take_face(last->table, last->file.empty() ? "face of the job" : last->file, is_block);
  }
}

/// 5 mm where that is quick; on long heads so that about 3500 nodes carry the answer.
void Reader::read_grid() {
  double x0 = 1e9, x1 = -1e9, y0 = 1e9, y1 = -1e9;
  for (const joint::PlanPoint& p : input_.model.outline)
    x0 = std::min(x0, p.x_mm), x1 = std::max(x1, p.x_mm), y0 = std::min(y0, p.y_mm), y1 = std::max(y1, p.y_mm);
  constexpr double kNodes = 3500;
  const double usual = std::max(5.0, std::ceil(2 * std::sqrt((x1 - x0) * (y1 - y0) / kNodes)) / 2);
  const auto asked = options_.positive<Length>("grid");
  input_.options.grid = asked.value_or(Length::from_si(usual * 1e-3));
  const double mm = input_.options.grid.si() * 1e3;
  constexpr double kFinest = 2, kCoarsest = 40, kMostNodes = 40000;
  if (!(mm >= kFinest && mm <= kCoarsest))
    options_.refuse("--grid", fmt::format("is {} mm", number_text(mm, 3)), "2 mm to 40 mm");
  else if ((x1 - x0) * (y1 - y0) / mm / mm > kMostNodes)
    options_.refuse(
        "--grid",
        fmt::format("{} mm is too fine for a head of {} x {} mm", number_text(mm, 3), number_text(x1 - x0, 4), number_text(y1 - y0, 4)),
        "a wider grid: 5 mm is usual");
}

void Reader::read_gas() {
  for (const PlacedValue& value : placed_values(request_, "gas")) {
    const auto pressure = parse<GaugePressure>(value.value);
    if (!pressure || !(pressure->bar() >= 0 && pressure->bar() <= 1000)) {
      options_.refuse("--gas", "\"" + value.value + "\" is no gas pressure", "0 bar to 1000 bar, such as --gas 2=\"80 bar\"");
      continue;
    }
    std::vector<int> bores;
    const auto number = parse_number(value.place);
    for (const clamp::BoreSeal& bore : input_.model.bores)
      if (value.place.empty() || (number && *number == bore.number)) bores.push_back(bore.number);
    if (bores.empty())
      options_.refuse("--gas", "there is no bore \"" + value.place + "\" under this head",
                      "a cylinder's number, such as --gas 2=\"80 bar\"");
    for (const int bore : bores) input_.loads.gas[bore] = *pressure;
    if (!bores.empty())
      input_.said.push_back(fmt::format("Gas of {} bar in bore {}.", number_text(pressure->bar(), 4), numbers_text(bores)));
  }
}

void Reader::read_heat() {
  const auto [first, last] = request_.options.equal_range("heat");
  if (first == last) return;
  clamp::HeatLoad heat;
  for (auto option = first; option != last; ++option)
    for (const std::string_view part : split(option->second, option->second.find(';') == std::string::npos ? ',' : ';')) {
      const std::size_t equals = part.find('=');
      const std::string name = equals == std::string_view::npos ? "all" : lower_case(trimmed(part.substr(0, equals)));
      const auto rise = parse<TemperatureDifference>(trimmed(equals == std::string_view::npos ? part : part.substr(equals + 1)));
      const bool known = name == "all" || name == "head" || name == "bolts" || name == "block" || name == "face";
      if (!rise || !(std::abs(rise->si()) <= 500) || !known) {
        options_.refuse(
            "--heat", "\"" + std::string(trimmed(part)) + "\" is not understood",
            "a rise since tightening, -500 K to 500 K: \"80 K\" for all, or head=\"75 K\",bolts=\"65 K\",block=\"70 K\",face=\"30 K\" "
            "(fire side over top)");
        continue;
      }
      if (name == "head" || name == "all") heat.head_rise = *rise;
      if (name == "bolts" || name == "all") heat.bolt_rise = *rise;
      if (name == "block" || name == "all") heat.block_rise = *rise;
      if (name == "face") heat.face_over_top = *rise;
    }
  input_.loads.heat = heat;
  input_.said.push_back(fmt::format("Warmer than when tightened: head {} K, bolts {} K, block {} K, fire side over top {} K.",
                                    number_text(heat.head_rise.si(), 3), number_text(heat.bolt_rise.si(), 3),
                                    number_text(heat.block_rise.si(), 3), number_text(heat.face_over_top.si(), 3)));
  if (!(input_.model.bolts.grip.si() > 0))
    input_.notes.emplace_back("The grip of the bolts is not known: heat does not change their force here.");
}

}  // namespace

std::vector<OptionSpec> clamp_options(bool with_loads) {
  std::vector<OptionSpec> options = {
      {"face", "FILE", "points of the head's face, CSV; a job brings its own", OptionKind::kFile},
      {"block", "FILE", "points of the deck, CSV", OptionKind::kFile},
      {"preload", "FORCE", "of every bolt: \"45 kN\"; the engine file's when not given"},
      {"grid", "LENGTH", "cells of the plate: 5 mm, wider on long heads, when not given"},
      {"head", "NUMBER", "which head of an engine with several; 1 when not given"},
  };
  if (!with_loads) return options;
  options.push_back({"gas", "BORE=PRESSURE", "gas in a bore, 2=\"80 bar\"; a pressure alone stands for all bores", OptionKind::kList});
  options.push_back({"heat", "RISE", "warmer than when tightened: \"80 K\", or head=\"75 K\",bolts=\"65 K\",block=\"70 K\",face=\"30 K\"",
                     OptionKind::kList});
  return options;
}

Result<ClampInput> clamp_input(const Request& request, bool with_loads) { return Reader(request, with_loads).read(); }

ClampedState clamped_state(const clamp::ClampResult& result, const clamp::ClampModel& model) {
  const clamp::ClampSummary& s = result.summary;
  ClampedState state{.status = to_string(s.status),
                     .status_text = s.message,
                     .steps = s.steps,
                     .residual = s.residual,
                     .rings = {},
                     .passages = {},
                     .bolts = {},
                     .map = {}};
  state.reaction_N = s.reaction_N, state.applied_N = s.applied_N;
  state.contact_area_mm2 = s.contact_area_mm2, state.exact_area_mm2 = s.exact_area_mm2;
  state.open_area_fraction = s.open_area_fraction;
  state.deflection_max_mm = result.deflection_max.si() * 1e3;
  state.slide_mm = result.slide.si() * 1e3;
  state.plate_validity = result.plate_validity;
  for (const clamp::RingResult& r : result.rings)
    state.rings.push_back({r.bore, r.line_load_min.si() * 1e-3, r.line_load_mean.si() * 1e-3, r.line_load_max.si() * 1e-3,
                           r.angle_of_min.degrees(), r.force.si(), r.margin, r.weakest});
  for (std::size_t i = 0; i < result.passages.size(); ++i) {
    const clamp::PassageResult& p = result.passages[i];
    state.passages.push_back({p.number, model.passages[i].kind, p.pressure_min.si() * 1e-6, p.margin, p.weakest});
  }
  for (const clamp::BoltResult& b : result.bolts) state.bolts.push_back({b.number, b.force.si(), b.movement.si() * 1e3, b.utilisation});
  const clamp::PressureField& f = result.field;
  state.map = {f.columns, f.rows, f.x0_mm, f.y0_mm, f.dx_mm, f.dy_mm, f.pressure_MPa, f.greatest_MPa};
  return state;
}

const RingLoad* ClampedState::weakest_ring() const {
  constexpr double kTie = 1e-6;  // of two alike the first
  const auto weakness = [](const RingLoad& ring) { return ring.margin.value_or(ring.least_N_per_mm); };
  const auto weakest = std::min_element(rings.begin(), rings.end(),
                                        [&](const RingLoad& a, const RingLoad& b) { return weakness(a) < (1 - kTie) * weakness(b); });
  return weakest == rings.end() ? nullptr : &*weakest;
}

bool ClampedState::seals() const {
  const auto short_of = [](const auto& seal) { return seal.margin && *seal.margin < 1; };
  return stands() && std::none_of(rings.begin(), rings.end(), short_of) && std::none_of(passages.begin(), passages.end(), short_of);
}

Problem option_problem(const InputError& error) {
  std::string option = error.argument();
  std::replace(option.begin(), option.end(), '_', '-');
  return {{{}, 0, 0, "--" + option}, error.what(), {}, {}};
}

std::string numbers_text(const std::vector<int>& numbers) {
  std::string text;
  for (std::size_t i = 0; i < numbers.size(); ++i)
    text += (i == 0 ? "" : i + 1 == numbers.size() ? " and " : ", ") + std::to_string(numbers[i]);
  return text;
}

}  // namespace headjoint::assess
