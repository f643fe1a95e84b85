#include "headjoint/assess/internal/reading_words.h"

#include <limits>

#include "headjoint/assess/knowledge.h"

namespace headjoint::assess {

using leakage::LeakArea;

double mm2(Area area) { return area.si() * 1e6; }

double high_mm2(const LeakArea& leak) { return leak.high ? mm2(*leak.high) : std::numeric_limits<double>::quiet_NaN(); }

std::string status_text(LeakArea::Status status) {
  switch (status) {
    case LeakArea::Status::kNotRun:
      return "not judged";
    case LeakArea::Status::kMeasured:
      return "measured";
    case LeakArea::Status::kBelowLimit:
      return "no leak shown";
    case LeakArea::Status::kTooLargeToMeasure:
      return "too large to measure";
  }
  return {};
}

std::vector<double> states_of(const leakage::LeakSizeLikelihood& likelihood) {
  return {likelihood.none, likelihood.small, likelihood.large};
}

Problem problem_at(const Place& place, const std::string& what) {
  return {place, what, {}, "correct the reading, or mark it void with the reason"};
}

std::vector<Caution> cautions_of_check(std::string_view finding) {
  const int row = head_joint_pattern().finding(finding);
  return row < 0 ? std::vector<Caution>{} : cautions_of(head_joint_pattern().findings[static_cast<std::size_t>(row)].cautions);
}

std::string cylinder_name(std::size_t index) { return std::to_string(index + 1); }

}  // namespace headjoint::assess
