#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/practice_engine.h"
#include "headjoint/assess/results_practice.h"

namespace headjoint::assess {

/// What looking at a practice engine shows: gauge figures from leak areas through the forward models where a gauge is read, else the
/// words of the finding. Every answer belongs to its place and seed, so that the order of looking changes nothing.
class PracticeLooks {
 public:
  /// @param engine  must outlive this
  explicit PracticeLooks(const PracticeEngine& engine) : engine_(engine) {}

  /// The owner's story and what was asked, as a job.
  [[nodiscard]] jobs::Job complaint() const;

  /// Looks at the finding at these places and writes what it shows into the job.
  /// @param row     in Pattern::findings; not hidden
  /// @param places  of its scope on this engine; one empty name for the whole engine
  std::vector<PracticeLook> look(jobs::Job& job, std::size_t row, const std::vector<std::string>& places) const;

 private:
  [[nodiscard]] PracticeLook sign(jobs::Job& job, std::size_t instance) const;
  [[nodiscard]] std::vector<PracticeLook> cylinder_readings(jobs::Job& job, std::size_t row, const std::vector<std::string>& places) const;
  [[nodiscard]] PracticeLook engine_reading(jobs::Job& job, std::size_t instance) const;

  /// What a cylinder leaks beyond a sound one.
  [[nodiscard]] Area leak_of(const std::string& cylinder) const;
  [[nodiscard]] std::vector<jobs::ReadingValue> compressions() const;
  [[nodiscard]] std::vector<jobs::ReadingValue> leak_downs() const;
  [[nodiscard]] std::vector<jobs::ReadingValue> starter_pulls() const;

  const PracticeEngine& engine_;
};

/// Places of a finding on this engine; one empty name for the whole engine, none when it does not apply.
[[nodiscard]] std::vector<std::string> places_of_finding(const diagnosis::InstanceNetwork& network, std::size_t row);

}  // namespace headjoint::assess
