#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/joint/engine.h"

/// Practice on an invented engine with a hidden fault: what the learner sees, and the reckoning at the end.
namespace headjoint::assess {

/// A check on offer.
struct PracticeCheck {
  int number = 0;  ///< in the list, from 1
  std::string check;
  std::string text;
  std::string question;
  std::string kind;                 ///< "symptom" | "test" | "reading"
  std::vector<std::string> places;  ///< empty: the whole engine
  std::string set_up;               ///< what it needs first, in words; empty: nothing
  bool set_up_done = false;
  double minutes = 0;         ///< hands on, at one place
  double price = 0;           ///< fluid and laboratory, in workshop minutes
  double set_up_minutes = 0;  ///< still to be spent
  double cost = 0;            ///< of all places not yet looked at, with the set-up
  bool with_head_off = false;
  std::string status;  ///< "open" | "partly done" | "done" | "too late" (the head is off)
  std::string cannot_see;
  std::vector<Caution> cautions;
};

/// One look and what it showed.
struct PracticeLook {
  std::string check;
  std::string where;
  std::string text;       ///< "compression of cylinder 2"
  std::string answer;     ///< "9.4 bar", "seen", "partial"
  bool is_found = false;  ///< not the lowest state: worth a mark; false for figures
};

/// What one move brought and cost.
struct PracticeMove {
  std::string move;  ///< as typed
  std::string text;  ///< "compression of every cylinder"
  std::vector<PracticeLook> looks;
  double minutes = 0;
  std::string note;  ///< "the set-up was there already", "done before: nothing new"
};

/// Something that can be named as the fault.
struct PracticeName {
  std::string name;
  std::string text;                 ///< with "{place}" left out
  std::string group;                ///< "seal" | "elsewhere" | "why"
  std::vector<std::string> places;  ///< empty: no place to name
};

/// One thing that was named, or that was there.
struct PracticeJudgement {
  std::string name;
  std::string where;
  std::string text;
  std::string words;  ///< "right" | "right seal, other place" | "right repair, other seal" | "not there" | "missed"
  double put_right_minutes = 0;
  double left_minutes = 0;  ///< lost, because it was left in
};

/// A walk of checks with what it cost.
struct PracticeWalk {
  std::vector<PracticeMove> moves;
  std::vector<PracticeJudgement> judged;
  double check_minutes = 0;
  double repair_minutes = 0;
  double left_minutes = 0;
  [[nodiscard]] double total() const { return check_minutes + repair_minutes + left_minutes; }
};

/// Where the reasoning could have been better.
struct PracticeLesson {
  std::string kind;  ///< "check" | "evidence" | "decision" | "place" | "good"
  std::string text;
  double minutes = 0;  ///< what it was worth, where that is known
};

struct PracticeScore {
  std::string sentence;
  std::vector<Suspect> truth;   ///< faults that matter: paths and rivals, chance 1
  std::vector<Suspect> causes;  ///< why: roots that were there
  PracticeWalk learner;
  PracticeWalk policy;
  double expected_at_once = 0;   ///< workshop minutes expected when deciding on the complaint alone
  double expected_decision = 0;  ///< of what the learner named, by the learner's own evidence
  double best_decision = 0;      ///< of the best decision on the same evidence
  Finding finding;               ///< what the evidence bought says
  std::vector<PracticeLesson> lessons;
  Finding plan;  ///< truth as a finding, for the joint plan
};

struct PracticeAnswer {
  std::uint64_t seed = 0;
  std::string level;
  std::string level_text;
  joint::Engine engine;
  std::vector<std::string> facts;   ///< of the engine's past, in words
  std::vector<std::string> told;    ///< what the owner noticed
  std::vector<std::string> denied;  ///< what the owner was asked and did not notice
  std::vector<PracticeCheck> checks;
  std::vector<PracticeName> names;
  std::vector<PracticeMove> moves;
  double minutes = 0;  ///< spent so far
  bool head_off = false;
  std::optional<PracticeScore> score;  ///< once a fault was named
  std::string version;
};

}  // namespace headjoint::assess
