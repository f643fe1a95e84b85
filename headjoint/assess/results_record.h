#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/diagnosis/calibration.h"
#include "headjoint/diagnosis/learning.h"

/// The shop's own record: closed jobs, how well the verdicts agreed with what was found, and what was learnt from them.
namespace headjoint::assess {

/// A figure with the range it may lie in.
struct Estimate {
  double value = 0;
  double low = 0;  ///< 95 %; not a number when there are too few cases to say
  double high = 0;
};

/// Mean with Student's 95 % range; the range is not known for fewer than two values.
[[nodiscard]] Estimate mean_of(const std::vector<double>& values);

/// One job of the record.
struct RecordedJob {
  std::string source;  ///< file or id
  std::string number;
  std::string title;
  std::string verified;     ///< in words; empty while the job is open
  bool counts = false;      ///< verified: it counts
  std::string why_not;      ///< not counted, and why
  double joint_failed = 0;  ///< by the evidence before the strip-down; not a number when it could not be assessed
  std::string leading;      ///< likeliest path or rival by that evidence
  double leading_chance = 0;
  bool is_joint = false;           ///< the joint was found failed
  std::vector<std::string> found;  ///< in words
  int rank = 0;                    ///< place of the likeliest of what was found, among paths and rivals; 0 when nothing was found
  double check_minutes = 0;        ///< of the checks taken, set-ups shared
  double saved_minutes = 0;  ///< cost of deciding by the complaint alone, less that of deciding by the checks and the checks themselves
};

/// How well chances agreed with outcomes.
struct RecordScores {
  Estimate brier;
  Estimate log_score;
  Estimate brier_before;  ///< by the shipped chance alone, before any evidence
  Estimate log_before;
};

/// So many out of so many.
struct Frequency {
  std::size_t hits = 0;
  std::size_t cases = 0;
  diagnosis::Interval interval;  ///< Wilson, 95 %
};

struct ShopRecord {
  std::vector<RecordedJob> jobs;
  std::size_t open = 0;
  std::size_t not_verified = 0;
  std::size_t counted = 0;
  RecordScores scores;
  std::vector<diagnosis::ReliabilityBin> reliability;
  Frequency first;         ///< what was found stood first
  Frequency among_three;   ///< or among the first three
  Frequency joint_called;  ///< joint failed, and the verdict said so (chance above one half)
  Frequency sound_called;  ///< joint sound, and the verdict said so
  Estimate saved_minutes;  ///< a job
  double saved_total_minutes = 0;
  std::optional<Estimate> saved_money;  ///< a job; where every counted job has the same currency and an hour price
  std::string currency;
  Estimate log_learnt;          ///< log score of each job by what was learnt from the other jobs
  bool has_log_learnt = false;  ///< left out with very many jobs
  diagnosis::Learnt learnt;
  std::string learnt_toml;
  std::vector<std::string> notes;
  std::string version;
};

}  // namespace headjoint::assess
