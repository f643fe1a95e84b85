#include <fmt/format.h>

#include <algorithm>

#include "headjoint/assess/clamp_input.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_clamp.h"
#include "headjoint/base/text.h"
#include "headjoint/clamp/bolt_stiffness.h"
#include "headjoint/clamp/torque_angle.h"

namespace headjoint::assess {
namespace {

/// The bolts of the engine file with what the options say instead. Options use the keys of [bolts], so they are read as an engine file is.
Result<joint::Bolts> bolts_asked(const Request& request) {
  joint::Bolts bolts;
  Document written(Table{});
  if (request.input.is_table()) {
    const auto engine = engine_input(request);
    if (!engine) return engine.problems();
    if (!engine->engine.bolts)
      return Problem{{request.source, 0, 0, "/bolts"}, "the engine file has no [bolts]", "size, class, grip, friction and so on", {}};
    const Document engine_document = joint::write_engine(engine->engine);
    if (const Document* table = engine_document.find("bolts")) written = *table;
  }
  constexpr std::pair<const char*, const char*> kKeys[] = {
      {"size", "size"},          {"class", "class"},          {"grip", "grip"},           {"washer", "washer_diameter"},
      {"hole", "hole_diameter"}, {"shank", "shank_diameter"}, {"stiffness", "stiffness"}, {"preload", "preload"}};
  Document table(Table{});
  for (const auto& [option, key] : kKeys)
    if (const std::string text = request.option(option); !text.empty()) table.set(key, text);
  merge_members(table, written);
  Document engine(Table{});
  Document general(Table{});
  general.set("cylinders", 1).set("layout", "single");
  engine.set("format", 1).set("name", "bolt").set("engine", std::move(general)).set("bolts", std::move(table));
  const auto read = joint::read_engine(engine, request.read_beside);
  if (!read) return read.problems();
  return *read->bolts;
}

/// One bolt ready to be reckoned with.
struct BoltCase {
  clamp::Thread thread;
  clamp::StrengthClass strength;
  clamp::Friction friction;
  double friction_least = 0, friction_most = 0;
  Length bearing;
  std::optional<Length> waist;
  std::optional<LineLoad> stiffness;
};

class CaseReader {
 public:
  CaseReader(const Request& request, const joint::Bolts& bolts, OptionReader& options, BoltAnswer& answer)
      : request_(request), bolts_(bolts), options_(options), answer_(answer) {}

  std::optional<BoltCase> read() {
    BoltCase bolt;
    if (!bolts_.size) options_.refuse("--size", "the thread is not known", "--size M11x1.5");
    if (bolts_.strength_class.empty()) options_.refuse("--class", "the strength class is not known", "--class 10.9");
    read_friction(bolt);
    if (has_errors(options_.problems())) return std::nullopt;
    bolt.thread = clamp::thread(bolts_.size->diameter, bolts_.size->pitch);
    const auto strength = clamp::strength_class(bolts_.strength_class, bolts_.size->diameter);
    if (!strength) {
      options_.refuse("--class", "\"" + bolts_.strength_class + "\" is not known", "8.8, 9.8, 10.9 or 12.9");
      return std::nullopt;
    }
    bolt.strength = *strength;
    read_shank(bolt);
    read_bearing(bolt);
    read_stiffness(bolt);
    return bolt;
  }

 private:
  void read_friction(BoltCase& bolt) {
    bolt.friction_least = bolts_.friction ? bolts_.friction->least : 0.10;
    bolt.friction_most = bolts_.friction ? bolts_.friction->most : 0.14;
    if (const std::string text = request_.option("friction"); !text.empty()) {
      const std::size_t cut = text.find_first_of("-;", 1);
      const auto least = parse_number(trimmed(std::string_view(text).substr(0, cut)));
      const auto most = cut == std::string::npos ? least : parse_number(trimmed(std::string_view(text).substr(cut + 1)));
      if (!least || !most || !(*least >= 0.02 && *most >= *least && *most <= 0.6)) {
        options_.refuse("--friction", "\"" + text + "\" is no friction", "0.02 to 0.6: 0.12, or a range 0.10-0.14");
        return;
      }
      bolt.friction_least = *least, bolt.friction_most = *most;
    } else if (!bolts_.friction) {
      answer_.notes.emplace_back("Friction taken as 0.10 to 0.14: oiled steel.");
    }
    const double middle = (bolt.friction_least + bolt.friction_most) / 2;
    bolt.friction = {middle, middle};
  }
  void read_shank(BoltCase& bolt) {
    if (!bolts_.shank_diameter) return;
    constexpr double kThickest = 1.2;  // of the thread's diameter
    bolt.waist = bolts_.shank_diameter->value;
    if (*bolt.waist > kThickest * bolt.thread.diameter)
      options_.refuse("--shank", bolts_.shank_diameter->text + " is too thick for a bolt of " + bolts_.size->text,
                      "at most " + number_text(kThickest * bolt.thread.diameter.si() * 1e3, 3) + " mm, 1.2 times the thread");
  }
  void read_bearing(BoltCase& bolt) {
    const Length d = bolt.thread.diameter;
    const Length hole = bolts_.hole_diameter ? bolts_.hole_diameter->value : 1.1 * d;
    const Length outer = bolts_.washer_diameter ? bolts_.washer_diameter->value : 1.5 * d;
    if (!bolts_.washer_diameter)
      answer_.notes.emplace_back("Bearing face of the head taken as 1.5 diameters wide: give --washer for its own.");
    bolt.bearing = clamp::mean_bearing_diameter(outer, hole);
  }
  void read_stiffness(BoltCase& bolt) {
    if (bolts_.stiffness) {
      bolt.stiffness = bolts_.stiffness->value;
    } else if (bolts_.grip) {
      clamp::BoltBody body{.thread = bolt.thread, .grip = bolts_.grip->value, .shank = bolt.waist, .shank_length = {}};
      bolt.stiffness = clamp::bolt_compliance(body).stiffness();
      answer_.notes.emplace_back("Stiffness by segments, three diameters of free thread, thread in cast iron (110 GPa).");
    }
  }

  const Request& request_;
  const joint::Bolts& bolts_;
  OptionReader& options_;
  BoltAnswer& answer_;
};

LineLoad parts_of(const BoltCase& bolt, std::optional<LineLoad> members) { return members.value_or(4 * *bolt.stiffness); }

/// Preload that the torque and then the angle leave at one friction, at most the one at which the bolt yields.
Force preload_at_friction(const BoltCase& bolt, double mu, Torque torque, std::optional<Angle> angle, std::optional<LineLoad> members) {
  const Force yield = clamp::preload_at_yield(bolt.thread, {mu, mu}, bolt.strength.yield, 1, bolt.waist);
  const Force snug = std::min(clamp::preload_from_torque(bolt.thread, {mu, mu}, bolt.bearing, torque), yield);
  if (!angle || !bolt.stiffness) return snug;
  return clamp::torque_angle(bolt.thread, snug, *angle, *bolt.stiffness, parts_of(bolt, members), yield).preload;
}

/// Preload from the option asked: a torque, or the preload itself, or a torque and then an angle.
void fill(BoltAnswer& answer, const BoltCase& bolt, std::optional<Torque> torque, std::optional<Force> preload, std::optional<Angle> angle,
          std::optional<LineLoad> members) {
  const Force yield = clamp::preload_at_yield(bolt.thread, bolt.friction, bolt.strength.yield, 1, bolt.waist);
  Force force = torque ? clamp::preload_from_torque(bolt.thread, bolt.friction, bolt.bearing, *torque) : *preload;
  if (angle && bolt.stiffness) {
    const LineLoad parts = parts_of(bolt, members);
    const clamp::TorqueAngle turned = clamp::torque_angle(bolt.thread, std::min(force, yield), *angle, *bolt.stiffness, parts, yield);
    answer.angle_to_yield_deg = turned.angle_to_yield.degrees();
    answer.preload_per_degree_N = turned.preload_per_degree_N;
    answer.permanent_set_mm = turned.permanent_set.si() * 1e3;
    force = turned.preload;
    if (!members) answer.notes.emplace_back("Clamped parts taken as four times as stiff as the bolt: give --members for their own.");
  }
  answer.preload_N = force.si();
  answer.torque_Nm = (torque && !angle ? *torque : clamp::tightening_torque(bolt.thread, bolt.friction, bolt.bearing, force)).si();
  answer.loosening_torque_Nm = clamp::loosening_torque(bolt.thread, bolt.friction, bolt.bearing, force).si();
  answer.yield_preload_N = yield.si();
  answer.utilisation = force / yield;
  answer.nut_factor = clamp::nut_factor(bolt.thread, bolt.friction, bolt.bearing);
  const clamp::TorqueShares shares = clamp::torque_shares(bolt.thread, bolt.friction, bolt.bearing);
  answer.torque_to_stretch = shares.stretch, answer.torque_to_thread = shares.thread_friction, answer.torque_to_head = shares.head_friction;
  const Torque applied = torque.value_or(Torque::from_si(answer.torque_Nm));
  answer.preload_low_N = preload_at_friction(bolt, bolt.friction_most, applied, angle, members).si();
  answer.preload_high_N = preload_at_friction(bolt, bolt.friction_least, applied, angle, members).si();
  if (bolt.stiffness) answer.stiffness_kN_per_mm = bolt.stiffness->si() * 1e-6;
}

/// The word after --necked; any but yes and no is refused.
std::optional<bool> necked(const Request& request, OptionReader& options) {
  const std::string word = lower_case(trimmed(request.option("necked")));
  if (word == "yes") return true;
  if (word == "no") return false;
  if (!request.option("necked").empty()) options.refuse("--necked", "\"" + request.option("necked") + "\" is not understood", "yes or no");
  return std::nullopt;
}

void take(BoltAnswer& answer, const clamp::ReuseDecision& decision) {
  constexpr const char* kWords[] = {"reusable", "undecided", "scrap"};
  answer.reuse = kWords[static_cast<std::size_t>(decision.verdict)];
  answer.reuse_why = decision.why;
}

void judge_reuse(BoltAnswer& answer, const Request& request, const joint::Bolts& bolts, OptionReader& options) {
  const auto measured = options.positive<Length>("length"), as_new = options.positive<Length>("new-length");
  const auto uncertainty = options.positive<Length>("uncertainty"), limit = options.positive<Length>("longest");
  const auto is_necked = necked(request, options);
  const bool single_use = bolts.single_use.value_or(false);
  if (single_use) answer.notes.emplace_back("The engine file says these bolts are used once: fit new ones.");
  if (is_necked.value_or(false)) {
    answer.reuse = "scrap";
    answer.reuse_why = "The bolt is necked: it has been stretched. Fit new bolts.";
  } else if (measured && as_new && bolts.grip) {
    take(answer, clamp::reuse_decision(*measured, *as_new, uncertainty.value_or(Length::from_si(0.05e-3)), bolts.grip->value, limit,
                                       single_use, false));
  } else if (measured || as_new) {
    options.refuse("--length", "a measured length needs the length of a new bolt and the grip beside it",
                   "--length \"150.3 mm\" --new-length \"150.0 mm\" --grip \"120 mm\"");
  } else if (is_necked) {
    answer.notes.emplace_back("Not necked is not enough to use a bolt again: measure it and give --length and --new-length.");
  }
}

/// Torque, angle and preload that do not go together.
void check_load(const Request& request, OptionReader& options) {
  const bool torque = !request.option("torque").empty();
  if (torque && !request.option("preload").empty())
    options.refuse("--preload", "a torque and a preload were both given: each follows from the other", "--torque or --preload");
  if (!torque && !request.option("angle").empty())
    options.refuse("--angle", "an angle is turned on after a torque, and none was given", "--torque \"40 N.m\" --angle \"90 deg\"");
}

std::string sentence_of(const BoltAnswer& answer, std::optional<Torque> torque, std::optional<Angle> angle) {
  const std::string share = number_text(100 * answer.utilisation, 3), preload = number_text(answer.preload_N * 1e-3, 3);
  const std::string yield = number_text(answer.yield_preload_N * 1e-3, 3);
  if (!torque)
    return fmt::format("{} kN needs {} N m at middle friction; that is {} % of the {} kN at which this bolt yields.", preload,
                       number_text(answer.torque_Nm, 4), share, yield);
  const std::string applied = number_text(torque->si(), 4) + " N m";
  const std::string turned = angle ? applied + " and then " + number_text(angle->degrees(), 4) + " deg give " : applied + " gives ";
  return fmt::format("{}{} kN ({} to {} kN over the range of friction), {} % of the {} kN at which this bolt yields.", turned, preload,
                     number_text(answer.preload_low_N * 1e-3, 3), number_text(answer.preload_high_N * 1e-3, 3), share, yield);
}

Result<Reply> run_bolt(const Request& request) {
  const auto bolts = bolts_asked(request);
  if (!bolts) return bolts.problems();
  OptionReader options(request);
  BoltAnswer answer;
  try {
    const auto torque = options.positive<Torque>("torque");
    const auto members = options.positive<LineLoad>("members");
    const auto angle = options.quantity<Angle>("angle");
    if (angle && !(angle->value.degrees() >= 0 && angle->value.degrees() <= 720))
      options.refuse("--angle", "is " + angle->text, "0 deg to 720 deg");
    check_load(request, options);
    const auto bolt = CaseReader(request, *bolts, options, answer).read();
    const bool has_load = torque || bolts->preload;
    if (bolt && !has_load) answer.notes.emplace_back("Neither torque nor preload was given: shown at 90 % of yield.");
    if (angle && bolt && !bolt->stiffness)
      options.refuse("--angle", "an angle needs the stiffness of the bolt", "--grip \"120 mm\" or --stiffness");
    judge_reuse(answer, request, *bolts, options);
    if (has_errors(options.problems())) return options.problems();
    const std::optional<Force> preload =
        torque           ? std::nullopt
        : bolts->preload ? std::optional(bolts->preload->value)
                         : std::optional(clamp::preload_at_yield(bolt->thread, bolt->friction, bolt->strength.yield, 0.9, bolt->waist));
    const std::optional<Angle> turned = angle ? std::optional(angle->value) : std::nullopt;
    fill(answer, *bolt, torque, preload, turned, members);
    answer.bolt = bolts->size->text + " " + bolts->strength_class;
    answer.sentence = sentence_of(answer, torque, turned);
    if (answer.utilisation > 1) answer.notes.emplace_back("More than the bolt bears: it yields or breaks before.");
    if (answer.permanent_set_mm.value_or(0) > 0)
      answer.notes.push_back(fmt::format("Stretched for good by {} mm: use it once.", number_text(*answer.permanent_set_mm, 2)));
  } catch (const InputError& error) {
    return option_problem(error);
  }
  answer.cautions = cautions_of({"stretched_bolts"});
  Reply reply;
  reply.document = assess::answer();
  merge_members(reply.document, to_document(answer));
  reply.answer_is_no = answer.reuse == "scrap" || answer.utilisation > 1;
  reply.content = std::move(answer);
  return reply;
}

}  // namespace

Operation bolt_operation() {
  return {
      .name = "bolt",
      .summary = "one bolt: torque against preload, where it yields, stiffness, torque and angle, and whether it may serve again",
      .argument = "ENGINE",
      .input = InputKind::kDocumentOrOptions,
      .options = {{"size", "THREAD", "M11x1.5, M10, 7/16-14"},
                  {"class", "CLASS", "8.8, 9.8, 10.9 or 12.9"},
                  {"friction", "NUMBER", "in thread and under the head: 0.12, or a range 0.10-0.14"},
                  {"torque", "TORQUE", "at the wrench: \"40 N.m\""},
                  {"preload", "FORCE", "instead of a torque: \"45 kN\""},
                  {"angle", "ANGLE", "turned on after the torque: \"90 deg\""},
                  {"washer", "LENGTH", "bearing diameter under the head"},
                  {"hole", "LENGTH", "diameter of the hole"},
                  {"grip", "LENGTH", "clamped length"},
                  {"shank", "LENGTH", "diameter of a waisted shank"},
                  {"stiffness", "STIFFNESS", "\"125 kN/mm\" instead of the one from the geometry"},
                  {"members", "STIFFNESS", "of the clamped parts, gasket included"},
                  {"length", "LENGTH", "measured under head to tip: may it serve again?"},
                  {"new-length", "LENGTH", "of a new bolt"},
                  {"longest", "LENGTH", "greatest length the maker allows"},
                  {"uncertainty", "LENGTH", "of the difference; 0.05 mm when not given"},
                  {"necked", "WORD", "yes: a straightedge shows a gap along the thread"}},
      .keys =
          "preload_kN, torque_Nm, yield_preload_kN, utilisation, stiffness_kN_per_mm, preload_low_kN, preload_high_kN, "
          "loosening_torque_Nm, "
          "nut_factor, torque_shares{stretch, thread, head}, angle_to_yield_deg, permanent_set_mm, reuse, notes[], cautions[]",
      .run = run_bolt,
  };
}

}  // namespace headjoint::assess
