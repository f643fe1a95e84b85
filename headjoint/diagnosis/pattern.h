#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/result.h"

namespace headjoint::diagnosis {

/// The part a cause plays. The arithmetic is the same for all; the words order the report.
enum class Layer { kRoot, kWeakness, kPath, kAny, kRival };

/// "root", "weakness", "path", "any", "rival".
[[nodiscard]] std::string_view to_text(Layer layer);

/// One row of causes.csv: a thing that may be wrong, once per place of its scope.
struct Cause {
  std::string name;
  std::string text;  ///< may hold "{place}"
  Layer layer = Layer::kRoot;
  std::string scope;
  double chance = 0;             ///< probability with no parent active; 0 to 0.5
  double put_right_minutes = 0;  ///< workshop minutes when its decision is taken; >= 0
  double left_minutes = 0;       ///< workshop minutes lost on average when it is left in; >= 0
  std::string decision;          ///< empty: not a decision
  std::string basis;
  std::string why;
};

enum class FindingKind { kSymptom, kHistory, kTest, kReading, kHidden };

/// "symptom", "history", "test", "reading", "hidden".
[[nodiscard]] std::string_view to_text(FindingKind kind);

/// One row of findings.csv: something that can be noticed, asked, tried or measured, once per place of its scope.
struct Finding {
  std::string name;
  std::string text;
  std::string question;
  FindingKind kind = FindingKind::kSymptom;
  std::string scope;
  std::vector<std::string> states;     ///< lowest first; at least two
  std::vector<double> false_positive;  ///< P(at least state k with no cause), k = 1 ...; falling
  double minutes = 0;
  double price_minutes = 0;
  std::string set_up;  ///< name in SetUp, or empty
  std::string needs;   ///< condition under which alone it can be done ("head_off"), or empty
  std::vector<std::string> cautions;
  std::string measures;                        ///< name of the node it reads, or empty
  std::vector<std::vector<double>> confusion;  ///< [true state of the measured node][own state], rows sum to 1
  std::string cannot_see;
  std::string basis;
};

/// One row of setups.csv: work done once and shared by several checks.
struct SetUp {
  std::string name;
  std::string text;
  double minutes = 0;
  std::vector<std::string> cautions;
  std::string basis;
};

/// One row of links.csv. A link exists between instances at the same place, at related places, or when one is engine-wide.
struct Link {
  std::string cause;
  std::string effect;
  std::vector<double> strength;  ///< net P(at least state k of the effect | only this cause), k = 1 ...; falling
  std::string basis;
  std::string why;
};

/// One row of contexts.csv: a fact that multiplies the chance (or the false-positive rate) of a node; 0 takes the node away.
struct Context {
  std::string fact;
  bool when_absent = false;  ///< written "!fact"
  std::string node;
  double factor = 1;
  std::string basis;
  std::string why;
};

/// The whole pattern as written in the five tables; checked.
struct Pattern {
  std::vector<Cause> causes;
  std::vector<Finding> findings;
  std::vector<SetUp> set_ups;
  std::vector<Link> links;
  std::vector<Context> contexts;

  /// Index of that name, or -1.
  [[nodiscard]] int cause(std::string_view name) const;
  [[nodiscard]] int finding(std::string_view name) const;
  [[nodiscard]] int set_up(std::string_view name) const;
};

/// The text of one table and the name to show in problems.
struct TableText {
  std::string text;
  std::string source;
};

struct PatternTexts {
  TableText causes;
  TableText findings;
  TableText set_ups;
  TableText links;
  TableText contexts;
  std::vector<std::string> scopes = {};  ///< scopes that exist; empty: any word is taken
};

/// Net strength of a link that was asked as "how often is it seen when only this cause is there?", which contains the leak already.
/// @param asked  0 to 1, not below the leak
/// @param leak   0 to 1 (less than 1)
/// @returns (asked - leak) / (1 - leak)
/// @throws ContractError when asked < leak or a value is out of range
/// @par Source  Diez 1993; Henrion 1989
[[nodiscard]] double net_strength(double asked, double leak);

/// Reads and checks the five tables.
/// @returns the pattern, or every problem with file and line: names used twice or unknown (with the nearest), cycles, values out of
/// range, nodes without any link, rows without a basis, confusion rows that do not sum to 1, unknown set-ups, places in texts
[[nodiscard]] Result<Pattern> read_pattern(const PatternTexts& texts);

}  // namespace headjoint::diagnosis
