#include "headjoint/assess/closing.h"

#include <fmt/format.h>

#include <algorithm>

#include "headjoint/base/table_reader.h"
#include "headjoint/base/text.h"

namespace headjoint::assess {
namespace {

using diagnosis::Layer;

std::string instance_name(const jobs::FoundCause& found) { return found.where.empty() ? found.cause : found.cause + "@" + found.where; }

Problem problem_of(const jobs::FoundCause& found, const diagnosis::InstanceNetwork& network) {
  const int row = network.pattern.cause(found.cause);
  if (row < 0 || !can_be_named(network.pattern.causes[static_cast<std::size_t>(row)])) {
    std::vector<std::string> names;
    for (const diagnosis::Cause& cause : network.pattern.causes)
      if (can_be_named(cause)) names.push_back(cause.name);
    const auto nearest = nearest_name(found.cause, names);
    return {found.place,
            fmt::format("closure: no cause is called \"{}\"", found.cause.substr(0, 60)),
            {},
            nearest ? "did you mean \"" + *nearest + "\"?" : "`headjoint finding JOB --json` lists them"};
  }
  const std::vector<std::string> places = places_of_cause(network, network.pattern.causes[static_cast<std::size_t>(row)]);
  if (places.empty() && network.find(found.cause) < 0)
    return {found.place, fmt::format("closure: {} cannot be on this engine", found.cause), {}, "see `fitted` of the engine"};
  return {found.place,
          fmt::format("closure: {} {}", found.cause, found.where.empty() ? "has no place" : "cannot be at \"" + found.where + "\""),
          places.empty() ? "no place" : "one of " + word_list(places),
          {}};
}

}  // namespace

bool can_be_named(const diagnosis::Cause& cause) {
  return cause.layer == Layer::kRoot || cause.layer == Layer::kPath || cause.layer == Layer::kRival;
}

std::vector<std::string> places_of_cause(const diagnosis::InstanceNetwork& network, const diagnosis::Cause& cause) {
  std::vector<std::string> places;
  for (const diagnosis::Location& location : network.layout.locations)
    if (location.scope == cause.scope && network.find(cause.name, location.name) >= 0) places.push_back(location.name);
  return places;
}

Problems closure_problems(const jobs::Job& job, const diagnosis::InstanceNetwork& network) {
  Problems problems;
  if (!job.closure) return problems;
  for (const jobs::FoundCause& found : job.closure->found) {
    const int instance = network.find(found.cause, found.where);
    const bool is_known = instance >= 0 && network.instances[static_cast<std::size_t>(instance)].is_cause &&
                          can_be_named(network.cause(static_cast<std::size_t>(instance)));
    if (!is_known) problems.push_back(problem_of(found, network));
  }
  return problems;
}

std::vector<std::string> found_instances(const jobs::Closure& closure) {
  std::vector<std::string> names;
  for (const jobs::FoundCause& found : closure.found) names.push_back(instance_name(found));
  return names;
}

jobs::Job before_opening(jobs::Job job, const diagnosis::Pattern& pattern) {
  std::erase_if(job.signs, [&](const jobs::Sign& sign) {
    const int row = pattern.finding(sign.name);
    return row >= 0 && pattern.findings[static_cast<std::size_t>(row)].needs == "head_off";
  });
  std::erase_if(job.readings, [](const jobs::Reading& reading) { return reading.test == jobs::ReadingTest::kReleaseTorque; });
  job.faces.clear();
  job.cut = {};
  job.head_off = false;
  job.closure.reset();
  return job;
}

jobs::Job complaint_alone(jobs::Job job, const diagnosis::Pattern& pattern) {
  job = before_opening(std::move(job), pattern);
  std::erase_if(job.signs, [&](const jobs::Sign& sign) {
    const int row = pattern.finding(sign.name);
    if (row < 0) return true;
    const diagnosis::Finding& finding = pattern.findings[static_cast<std::size_t>(row)];
    return finding.minutes > 0 || finding.price_minutes > 0;
  });
  job.readings.clear();
  return job;
}

}  // namespace headjoint::assess
