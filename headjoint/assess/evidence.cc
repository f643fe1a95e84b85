#include "headjoint/assess/evidence.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "headjoint/assess/class_readings.h"
#include "headjoint/assess/cooling_reading.h"
#include "headjoint/assess/face_reading.h"
#include "headjoint/assess/internal/reading_words.h"
#include "headjoint/assess/readings.h"
#include "headjoint/base/table_reader.h"
#include "headjoint/base/text.h"
#include "headjoint/jobs/job_file.h"
#include "headjoint/joint/places.h"

namespace headjoint::assess {
namespace {

/// Places of that scope in this engine; engine-wide: one empty name.
std::vector<std::string> places_of(const diagnosis::InstanceNetwork& network, const std::string& scope) {
  std::vector<std::string> names;
  if (scope == network.layout.whole) return {""};
  for (const diagnosis::Location& location : network.layout.locations)
    if (location.scope == scope) names.push_back(location.name);
  return names;
}

class Gathering {
 public:
  Gathering(const jobs::Job& job, const diagnosis::InstanceNetwork& network) : job_(job), network_(network) {}

  Result<Evidence> run() {
    for (const jobs::Sign& sign : job_.signs) add_sign(sign);
    add_readings();
    for (const jobs::Face& face : job_.faces) add_face(face);
    if (has_errors(problems_)) return problems_;
    evidence_.warnings = std::move(problems_);
    return std::move(evidence_);
  }

 private:
  void add_sign(const jobs::Sign& sign) {
    const int row = network_.pattern.finding(sign.name);
    if (row < 0) return refuse_name(sign);
    const diagnosis::Finding& finding = network_.pattern.findings[static_cast<std::size_t>(row)];
    if (finding.kind == diagnosis::FindingKind::kHidden) return refuse_name(sign);
    if (finding.kind == diagnosis::FindingKind::kReading) {
      return refuse(sign, "\"" + sign.name + "\" is a reading, not a sign", {}, "give it as [[reading]] or [[face]]");
    }
    const std::vector<std::string> places = places_of(network_, finding.scope);
    if (std::find(places.begin(), places.end(), sign.where) == places.end()) {
      return refuse(sign,
                    fmt::format("\"{}\" belongs to each {}, not to \"{}\"", sign.name, finding.scope,
                                sign.where.empty() ? "the whole engine" : sign.where),
                    finding.scope == network_.layout.whole ? "no place" : "one of " + word_list(places), {});
    }
    const auto state = std::find(finding.states.begin(), finding.states.end(), sign.state);
    if (state == finding.states.end() && !sign.is_void()) {
      return refuse(sign, fmt::format("\"{}\" cannot be \"{}\"", sign.name, sign.state), word_list(finding.states) + ", void",
                    "leave out what was not looked for");
    }
    observe_sign(sign, finding, static_cast<std::size_t>(state - finding.states.begin()));
  }

  void observe_sign(const jobs::Sign& sign, const diagnosis::Finding& finding, std::size_t state) {
    const int instance = network_.find(sign.name, sign.where);
    const std::string label = sign_label(sign, finding, instance);
    if (sign.is_void()) {
      evidence_.not_counted.push_back(label + (sign.note.empty() ? "" : " (" + sign.note + ")"));
    } else if (instance < 0) {
      evidence_.not_counted.push_back(label + ": does not apply to this engine");
    } else if (finding.needs == "head_off" && !job_.head_off) {
      evidence_.not_counted.push_back(label + ": only with the head off (head_off = true)");
    } else {
      evidence_.observations.push_back({sign.name, sign.where, diagnosis::seen_state(finding.states.size(), state), label});
    }
  }

  std::string sign_label(const jobs::Sign& sign, const diagnosis::Finding& finding, int instance) const {
    const std::string text =
        instance >= 0 ? network_.text(static_cast<std::size_t>(instance)) : diagnosis::text_at(finding.text, sign.where);
    return sign.state == "seen" ? text : text + ": " + sign.state;
  }

  void add_readings() {
    const leakage::Ambient ambient = ambient_of(job_.history);
    for (const jobs::ReadingTest test : jobs::reading_tests()) {
      const jobs::Reading* last = jobs::last_reading(job_, test);
      for (const jobs::Reading& reading : job_.readings) {
        if (reading.test != test || &reading == last || is_of_another_head(reading, last)) continue;
        evidence_.not_counted.push_back(spoken_name(test) + ": " +
                                        (reading.counts() ? "an earlier reading; the last one counts" : reading.void_reason));
      }
      if (last == nullptr) continue;
      if (test == jobs::ReadingTest::kCompression)
        add(judge_compression(*last, job_, ambient), evidence_.compression, last->engine);
      else if (test == jobs::ReadingTest::kLeakDown)
        add(judge_leak_down(*last, ambient, details_of(job_)), evidence_.leak_down, last->engine);
      else if (test == jobs::ReadingTest::kStarterCurrent)
        add_starter(*last);
      else if (test == jobs::ReadingTest::kReleaseTorque)
        add_release_torques();
      else
        add_class_reading(*last);
    }
  }

  static std::string spoken_name(jobs::ReadingTest test) {
    std::string name(jobs::name_of(test));
    std::replace(name.begin(), name.end(), '_', test == jobs::ReadingTest::kLeakDown ? '-' : ' ');
    return name;
  }

  static bool is_of_another_head(const jobs::Reading& reading, const jobs::Reading* last) {
    return last != nullptr && reading.test == jobs::ReadingTest::kReleaseTorque && reading.counts() &&
           reading.head.value_or(1) != last->head.value_or(1);
  }

  /// The last of each head.
  void add_release_torques() {
    if (!job_.head_off) {
      evidence_.not_counted.push_back("loosening torques: only with the head off (head_off = true)");
      return;
    }
    std::set<int> done;
    for (auto reading = job_.readings.rbegin(); reading != job_.readings.rend(); ++reading)
      if (reading->test == jobs::ReadingTest::kReleaseTorque && reading->counts() && done.insert(reading->head.value_or(1)).second)
        add_class_reading(*reading);
  }

  /// A reading and a sign of the same finding are one look: the reading says more.
  void add_class_reading(const jobs::Reading& reading) {
    CoolingReading physical = judge_cooling_reading(reading, job_);
    if (!physical.not_counted.empty()) {
      evidence_.not_counted.push_back(std::move(physical.not_counted));
      return;
    }
    for (diagnosis::Observation& observation : class_observations(reading, network_)) {
      if (!physical.likelihood.empty()) observation.likelihood = physical.likelihood;
      if (reading.test == jobs::ReadingTest::kPressureHold)
        observation.likelihood = with_shut_leaks(std::move(observation.likelihood), reading.engine);
      if (!physical.remark.empty()) observation.label += " (" + physical.remark + ")";
      std::erase_if(evidence_.observations, [&](const diagnosis::Observation& sign) {
        if (sign.finding != observation.finding || sign.place != observation.place) return false;
        evidence_.not_counted.push_back(sign.label + ": the reading of the same test counts");
        return true;
      });
      evidence_.observations.push_back(std::move(observation));
    }
  }

  void add_starter(const jobs::Reading& reading) {
    std::optional<StarterPull> nothing_shown;
    add(judge_starter(reading, job_), nothing_shown, reading.engine);
  }

  template <class Shown>
  void add(const Result<ReadTest<Shown>>& read, std::optional<Shown>& shown, const std::string& engine) {
    problems_.insert(problems_.end(), read.problems().begin(), read.problems().end());
    if (!read) return;
    shown = read->shown;
    for (std::size_t i = 0; i < read->observations.size(); ++i) {
      diagnosis::Observation observation = read->observations[i];
      if (network_.find(observation.finding, observation.place) < 0) continue;
      const auto areas = std::find_if(read->areas.begin(), read->areas.end(), [i](const AreaReading& a) { return a.observation == i; });
      if (areas != read->areas.end()) observation.likelihood = on_top_of_earlier(observation.place, areas->areas);
      if (observation.over_measured) observation.likelihood = with_shut_leaks(std::move(observation.likelihood), engine);
      evidence_.observations.push_back(std::move(observation));
    }
    evidence_.not_counted.insert(evidence_.not_counted.end(), read->not_counted.begin(), read->not_counted.end());
  }

  /// Compression, leak-down and the starter's pull see one area of a cylinder: what a later one says is what it adds to those before.
  std::vector<double> on_top_of_earlier(const std::string& cylinder, const leakage::LeakAreaLikelihood& reading) {
    leakage::LeakAreaLikelihood& known = areas_seen_[cylinder];
    const leakage::LeakAreaLikelihood before = known;
    known.multiply(reading);
    return states_of(known.classes_after(before));
  }

  FaceQuestion question_of(const jobs::Face& face) const {
    const bool is_head = face.part == jobs::FacePart::kHead;
    FaceQuestion question;
    question.table = face.table;
    question.source = face.file.empty() ? "the face table of the job" : face.file;
    question.part = is_head ? "head" : "block";
    question.head = std::to_string(face.head);
    if (face.uncertainty) question.uncertainty = face.uncertainty->value;
    const joint::Engine& engine = job_.engine;
    joint::OptionalFigure<Length> limit;
    if (is_head && engine.head) limit = engine.head->flatness_limit;
    if (!is_head && engine.block) limit = engine.block->flatness_limit;
    if (limit) {
      question.limit = limit->value;
      question.limit_source = limit->source.empty() ? "engine file" : limit->source;
    }
    if (engine.head) question.outline = engine.head->outline;
    return question;
  }

  /// A problem of a table inside the job stands where the table stands; one of a file beside it stands in that file.
  static Problem at_face(Problem problem, const jobs::Face& face) {
    if (!face.file.empty()) return problem;
    if (problem.place.line > 0) problem.what = fmt::format("table line {}: {}", problem.place.line, problem.what);
    problem.place = face.place;
    problem.place.pointer += "/table";
    return problem;
  }

  bool is_measured_again(const jobs::Face& face) const {
    return std::any_of(job_.faces.begin(), job_.faces.end(), [&](const jobs::Face& other) {
      return &other > &face && other.part == face.part && other.head == face.head && other.counts();
    });
  }

  void add_face(const jobs::Face& face) {
    const std::string name = face.part == jobs::FacePart::kHead ? "head face" : "block face";
    if (!face.counts()) {
      evidence_.not_counted.push_back(name + ": " + face.void_reason);
      return;
    }
    if (is_measured_again(face)) {
      evidence_.not_counted.push_back(name + ": an earlier measurement; the last one counts");
      return;
    }
    const auto read = judge_face(question_of(face));
    for (const Problem& problem : read.problems()) problems_.push_back(at_face(problem, face));
    if (!read) return;
    evidence_.faces.push_back(*read);
    const std::string finding = face.part == jobs::FacePart::kHead ? "head_face" : "block_face";
    observe_face(*read, finding, network_.find(finding, std::to_string(face.head)) >= 0 ? std::to_string(face.head) : std::string());
  }

  void observe_face(const Flatness& flatness, const std::string& finding, const std::string& place) {
    const std::vector<double> likelihood = face_likelihood(flatness);
    const std::string label = fmt::format("{} face {:.3f} mm out of flat", flatness.part, flatness.minimum_zone_FLTt_mm);
    const int instance = network_.find(finding, place);
    if (likelihood.empty())
      evidence_.not_counted.push_back(label + ": no limit in the engine file to judge it by");
    else if (instance >= 0)
      evidence_.observations.push_back(
          {finding, place, likelihood, label, network_.finding(static_cast<std::size_t>(instance)).measures.size() > 0});
  }

  void refuse_name(const jobs::Sign& sign) {
    std::vector<std::string> names;
    for (const diagnosis::Finding& finding : network_.pattern.findings)
      if (finding.kind != diagnosis::FindingKind::kHidden && finding.kind != diagnosis::FindingKind::kReading)
        names.push_back(finding.name);
    const auto nearest = nearest_name(sign.name, names);
    refuse(sign, "no sign is called \"" + sign.name + "\"", {},
           nearest ? "did you mean \"" + *nearest + "\"?" : "`headjoint questions JOB` lists them");
  }

  void refuse(const jobs::Sign& sign, std::string what, std::string allowed, std::string mend) {
    problems_.push_back({sign.place, std::move(what), std::move(allowed), std::move(mend)});
  }

  const jobs::Job& job_;
  const diagnosis::InstanceNetwork& network_;
  Evidence evidence_;
  std::map<std::string, leakage::LeakAreaLikelihood> areas_seen_;  ///< [cylinder]
  Problems problems_;
};

}  // namespace

Result<Evidence> gather_evidence(const jobs::Job& job, const diagnosis::InstanceNetwork& network) { return Gathering(job, network).run(); }

}  // namespace headjoint::assess
