#pragma once

#include <any>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/base/byte_source.h"
#include "headjoint/base/document.h"
#include "headjoint/base/result.h"
#include "headjoint/joint/engine_file.h"

namespace headjoint::diagnosis {
struct Learnt;
}

namespace headjoint::assess {

/// A file that an option names, read by the door.
struct OptionFile {
  std::string text;
  std::string source;  ///< name for places in messages
  joint::ReadBeside read_beside = joint::nothing_beside();
};

/// What an operation is given, whoever asks.
struct Request {
  Document input;                                   ///< a job, an engine, a network; a text node for CSV and for `check`
  std::string source;                               ///< name for places in messages
  std::multimap<std::string, std::string> options;  ///< long names without dashes
  std::map<std::string, OptionFile> files;          ///< options of kind kFile, by the same names
  joint::ReadBeside read_beside = joint::nothing_beside();
  std::shared_ptr<ByteSource> stream;  ///< for operations of kind kStream, instead of `input`; read once
  /// Told the share done (0 to 1) by operations that take long; answers false when they are to stop with what they have.
  std::function<bool(double share)> progress = [](double) { return true; };

  /// The option's value, or `otherwise` when it was not given. Given several times, the values make one list.
  [[nodiscard]] std::string option(const std::string& name, const std::string& otherwise = {}) const;
};

struct LeakDownReply {
  LeakDown leak_down;
};
struct NetworkReply {
  double log_evidence = 0;  ///< natural logarithm; NaN unless the status is "done"
  std::string status;
  std::vector<std::string> contradicting;  ///< evidence whose removal would make the rest possible
  struct Node {
    std::string name;
    std::vector<std::pair<std::string, double>> states;
  };
  std::vector<Node> posteriors;
};
struct CheckReply {
  std::string kind;  ///< "engine" | "job" | "points" | "network" | "shim file"
  Problems problems;
};
struct NewReply {
  std::string text;  ///< commented template
};
struct QuestionsReply {
  std::vector<Question> questions;
};
/// A face alone, with the engine that it belongs to when it was named.
struct FlatnessReply {
  Flatness flatness;
  joint::Engine engine;
};
/// Which parts of an Assessment an operation shows.
struct FindingReply {
  Assessment assessment;
};
struct NextCheckReply {
  Assessment assessment;
};
struct OptionsReply {
  Assessment assessment;
};

/// What an operation answers, as one of the types of results_*.h; content_types.h lists them. Type-erased, so that a file that
/// passes answers along need not know every type there is.
using Content = std::any;

/// What an operation answers.
struct Reply {
  Document document;  ///< the fixed output keys of the operation, with schema_version
  Content content;
  bool answer_is_no = false;  ///< out of limit, does not seal, fault remains: exit code 1
  Problems warnings;
  /// Least and greatest of any part of a recording, without reading it again: a table of from_s, to_s, least[], most[]. Empty where
  /// nothing was recorded. Holds the recording's drawing while it lives; safe from any thread.
  std::function<Document(double from_s, double to_s, int columns)> window = {};
};

/// The content as a T, or null pointer when it is something else.
template <class T>
[[nodiscard]] const T* content_if(const Reply& reply) {
  return std::any_cast<T>(&reply.content);
}

/// The same where it is known to be a T. @throws std::bad_any_cast when it is not
template <class T>
[[nodiscard]] const T& content_of(const Reply& reply) {
  return std::any_cast<const T&>(reply.content);
}

enum class OptionKind {
  kText,
  kList,  ///< may be given several times
  kFile,  ///< the door reads the file; over HTTP the value is its text
};

struct OptionSpec {
  std::string_view name;
  std::string_view value;  ///< hint: "PRESSURE"
  std::string_view help;
  OptionKind kind = OptionKind::kText;
};

/// How the door turns what the user gave into Request::input.
enum class InputKind {
  kNone,
  kDocument,           ///< a file read as TOML or JSON
  kText,               ///< a file as it is
  kStream,             ///< a file of any length, read piece by piece and never held whole
  kWord,               ///< the argument itself
  kDocumentOrOptions,  ///< a file, or options alone
  kDocuments,          ///< files and folders: {"jobs": [{"source", "document"}]}, each standing alone
};

struct Operation {
  std::string_view name;
  std::string_view summary;
  std::string_view argument;  ///< "JOB", "FILE", "NETWORK" or ""
  InputKind input = InputKind::kNone;
  std::vector<OptionSpec> options = {};
  std::string_view keys;  ///< fixed output keys, for the reference page
  Result<Reply> (*run)(const Request&) = nullptr;
  std::string_view second_argument = {};  ///< the option of kind kFile that a second file may be given for: "engine"
  bool takes_long = false;                ///< may run for more than a second: tells its progress and can be stopped
};

/// "0.1.0"
[[nodiscard]] std::string_view program_version();

/// Every operation, in the order of the reference page. The command line, HTTP, the documentation and the tests walk this table.
[[nodiscard]] std::span<const Operation> operations();

/// The operation of that name, or null pointer.
[[nodiscard]] const Operation* find_operation(std::string_view name);

/// What the choice of a repair is made with.
struct RepairTerms {
  std::optional<OptionFile> prices;      ///< the shop's table; empty: the shipped example
  double distance_km = 200;              ///< to be driven on
  std::optional<double> sealing_chance;  ///< of the joint as it would be clamped without machining
};

/// Assesses a job that was read already.
/// @param warnings  from reading it; they travel along
/// @param learnt    the shop's own strengths in place of the shipped ones, or null pointer
/// @returns problems for signs and states that the network does not know, and of the shop's table, with their places
[[nodiscard]] Result<Assessment> assess(const jobs::Job& job, Problems warnings = {}, const diagnosis::Learnt* learnt = nullptr,
                                        const RepairTerms& terms = {});

/// Questions the network asks about this engine, in the order of the page.
[[nodiscard]] std::vector<Question> questions(const joint::Engine& engine);

}  // namespace headjoint::assess
