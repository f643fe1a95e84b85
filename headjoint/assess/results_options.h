#pragma once

#include <string>
#include <vector>

#include "headjoint/base/problem.h"

/// What may be done now and what each is expected to cost, with the words that go with it.
namespace headjoint::assess {

struct CostPart {
  std::string what;
  double cost = 0;
};

struct FailureDriver {
  std::string what;
  double share = 0;  ///< by which the chance of a second failure falls without it
};

/// One way to go on. Costs in the unit of the answer.
struct OptionLine {
  std::string option;     ///< "gasket_only"
  std::string text;       ///< "gasket only"
  std::string state;      ///< "chosen" | "possible" | "way home" | "forbidden"
  std::string forbidden;  ///< why, or empty
  double expected_cost = 0;
  double low = 0;
  double high = 0;
  double second_failure = 0;
  double engine_lost = 0;
  std::vector<CostPart> items;
  std::vector<FailureDriver> drivers;
  std::string note;  ///< what a mechanic should know before taking it
};

/// The check that would be made before deciding.
struct CheckFirst {
  std::string check;  ///< empty: there is none
  std::string where;
  std::string text;
  double cost = 0;
  double value = 0;
  double net_value = 0;
  std::vector<std::string> outcomes;  ///< "absent (0.67): gasket with head service"
};

struct ChoiceTurn {
  std::string figure;
  std::string unit;  ///< empty for a chance
  double now = 0;
  double at = 0;
  std::string then;  ///< option's name
  std::string then_text;
};

struct ChoiceWeight {
  std::string figure;
  std::string unit;
  double now = 0;
  double low = 0;
  double high = 0;
  double swing = 0;
};

struct OptionsAnswer {
  std::string status = "not run";  ///< "done" | why there is nothing
  std::string sentence;
  std::string unit;  ///< of every cost: "crowns", "workshop hours"
  double hour_price = 0;
  std::string prices;  ///< where hours and prices come from
  double distance_km = 0;
  double joint_failed = 0;
  std::vector<OptionLine> options;
  std::string chosen;       ///< option's name; "check_more" when a check comes first
  std::string after_check;  ///< what would be done without that check
  double lead = 0;          ///< of the best repair over the next best
  std::string second;
  CheckFirst check;
  std::vector<ChoiceTurn> turns;
  std::vector<ChoiceWeight> weights;
  std::vector<std::string> examples;  ///< figures that are the shipped example's
  std::vector<std::string> notes;
  Problems warnings;

  [[nodiscard]] const OptionLine* line(const std::string& option) const {
    for (const OptionLine& one : options)
      if (one.option == option) return &one;
    return nullptr;
  }
};

/// What low and high mean.
inline constexpr const char* kSpread = "Nine in ten engines with these signs would cost between low and high.";

}  // namespace headjoint::assess
