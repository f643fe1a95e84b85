#include "headjoint/cli/command_line.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <iostream>
#include <map>
#include <memory>
#include <optional>

#include "headjoint/assess/operation.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/base/byte_source.h"
#include "headjoint/base/error.h"
#include "headjoint/base/file.h"
#include "headjoint/base/text.h"
#include "headjoint/cli/internal/shop_commands.h"
#include "headjoint/cli/job_list.h"
#include "headjoint/cli/long_run.h"
#include "headjoint/cli/paper_files.h"
#include "headjoint/cli/practice_loop.h"
#include "headjoint/cli/serve.h"
#include "headjoint/cli/wall_clock.h"
#include "headjoint/report/terminal_text.h"

namespace headjoint::cli {
namespace {

using assess::InputKind;
using assess::Operation;

constexpr const char* kAbout =
    "headjoint finds out what is wrong with the joint between an engine's cylinder head and block.\n"
    "The engine maker's procedure, local law and licensed practice come first.";
constexpr const char* kExamples =
    "Examples:\n"
    "  headjoint assess job.toml\n"
    "  headjoint flatness face.csv --limit \"0.05 mm\"\n"
    "  headjoint leak-down --supply \"80 psi\" --reading 75,60,74,73 --orifice \"0.040 in\"\n"
    "Exit codes: 0 done, 1 done and the answer is no, 64 usage, 65 bad input, 66 no such file, 69 unavailable,\n"
    "  70 internal, 74 input/output, 75 busy, 78 configuration.";

/// One sub-command while it is being parsed.
struct Command {
  const Operation* operation = nullptr;
  CLI::App* app = nullptr;
  std::vector<std::string> arguments;
  std::map<std::string, std::vector<std::string>> values;  ///< an option may be given several times
  std::string pictures;                                    ///< folder for the drawings; empty: none are wanted
  bool json = false;
};

struct PapersCommand {
  CLI::App* app = nullptr;
  std::string job;
  std::string folder = ".";
  bool json = false;
};

int exit_code(const EnvironmentError& error) {
  switch (error.kind()) {
    case EnvironmentError::Kind::kNoSuchFile:
      return kNoSuchFile;
    case EnvironmentError::Kind::kInputOutput:
      return kInputOutput;
    case EnvironmentError::Kind::kBusy:
      return kBusy;
    case EnvironmentError::Kind::kUnavailable:
      return kUnavailable;
    case EnvironmentError::Kind::kConfiguration:
      return kConfiguration;
  }
  return kInternal;
}

Document problems_document(const Problems& problems) {
  Array list;
  for (const Problem& problem : problems) list.push_back(assess::to_document(problem));
  Document document;
  document.set("schema_version", 1).set("problems", std::move(list));
  return document;
}

int refuse(const Problems& problems, bool json, std::ostream& err) {
  err << (json ? write_json(problems_document(problems)) + "\n" : to_string(problems));
  return kBadInput;
}

/// A file as a tree: JSON when the name or the first letter says so, else TOML.
Result<Document> read_document(const std::string& path) {
  const std::string text = read_file(path);
  const bool is_json = path.ends_with(".json") || trimmed(text).starts_with('{');
  return is_json ? read_json(text, path) : read_toml(text, path);
}

assess::OptionFile read_option_file(const std::string& path) { return {read_file(path), path, joint::beside_file(path)}; }

Result<assess::Request> make_request(const Command& command) {
  assess::Request request;
  for (const assess::OptionSpec& option : command.operation->options) {
    const std::string name(option.name);
    for (const std::string& value : command.values.at(name)) {
      if (option.kind == assess::OptionKind::kFile)
        request.files.insert_or_assign(name, read_option_file(value));
      else
        request.options.emplace(name, value);
    }
  }
  if (command.arguments.empty()) return request;
  const std::string second(command.operation->second_argument);
  if (!second.empty() && command.arguments.size() > 1) request.files.insert_or_assign(second, read_option_file(command.arguments[1]));
  const std::string& path = command.arguments.front();
  request.source = path;
  request.read_beside = joint::beside_file(path);
  switch (command.operation->input) {
    case InputKind::kText:
      request.input = Document(read_file(path));
      break;
    case InputKind::kStream:
      request.stream = open_byte_source(path);
      break;
    case InputKind::kWord:
      request.input = Document(path);
      if (command.arguments.size() > 1) request.options.emplace("name", command.arguments[1]);
      break;
    case InputKind::kNone:
      break;
    case InputKind::kDocuments: {
      auto list = read_job_list(command.arguments);
      if (!list) return list.problems();
      request.input = *list;
      return Result<assess::Request>(std::move(request), list.problems());
    }
    case InputKind::kDocument:
    case InputKind::kDocumentOrOptions: {
      auto document = read_document(path);
      if (!document) return document.problems();
      request.input = *document;
    }
  }
  return request;
}

int run_operation(const Command& command, std::ostream& out, std::ostream& err) {
  auto read = make_request(command);
  if (!read) return refuse(read.problems(), command.json, err);
  if (!command.json) err << to_string(read.problems());
  assess::Request request = std::move(read).value();
  if (command.operation->name == "practice" && !command.json && !request.options.contains("moves") && command.pictures.empty())
    return play_practice(*command.operation, std::move(request), std::cin, out, err);
  std::optional<LongRun> watched;
  if (command.operation->takes_long) {
    watched.emplace(err);
    request.progress = [&watched](double share) { return watched->show(share); };
  }
  const auto reply = command.operation->run(request);
  watched.reset();
  if (!reply) return refuse(reply.problems(), command.json, err);
  if (command.json)
    out << write_json(reply->document) << "\n";
  else
    out << report::terminal_text(*reply);
  if (!command.json) err << to_string(reply->warnings);
  if (!command.pictures.empty()) {
    const std::vector<std::string> written = write_pictures(*reply, command.pictures);
    for (const std::string& file : written) err << "written: " << file << "\n";
    if (written.empty()) err << "No drawing goes with this answer.\n";
  }
  return reply->answer_is_no ? kAnswerIsNo : kDone;
}

int run_papers(const PapersCommand& command, std::ostream& out, std::ostream& err) {
  const auto document = read_document(command.job);
  if (!document) return refuse(document.problems(), command.json, err);
  assess::Request request;
  request.input = *document;
  request.source = command.job;
  request.read_beside = joint::beside_file(command.job);
  const auto reply = assess::find_operation("assess")->run(request);
  if (!reply) return refuse(reply.problems(), command.json, err);
  const std::vector<std::string> written = write_papers(assess::content_of<assess::Assessment>(*reply), command.folder, local_time_text());
  if (command.json) {
    Array files(written.begin(), written.end());
    Document answer;
    answer.set("schema_version", 1).set("files", std::move(files));
    out << write_json(answer) << "\n";
  } else {
    for (const std::string& file : written) out << "written: " << file << "\n";
  }
  return kDone;
}

/// The whole command line while it is parsed.
/// Usage lines without the library's count of arguments.
class UsageLine final : public CLI::Formatter {
 public:
  std::string make_option_usage(const CLI::Option* option) const override {
    const std::string name = make_option_name(option, true);
    const std::string second = option->get_expected_max() > 1 ? " [" + name + "]" : "";
    return option->get_required() ? name + second : "[" + name + "]" + second;
  }
};

class Parser {
 public:
  Parser() : app_(kAbout, "headjoint") {
    app_.require_subcommand(1);
    app_.footer(kExamples);
    app_.set_version_flag("--version", std::string("headjoint ") + std::string(assess::program_version()));
    for (const Operation& operation : assess::operations()) add(operation);
    add_papers();
    add_serve();
    shop_.add_to(app_);
  }

  int run(const std::vector<std::string>& words, std::span<const EmbeddedFile> page, std::ostream& out, std::ostream& err) {
    if (!words.empty() && !words.front().starts_with('-') && !knows(words.front())) return refuse_operation(words.front(), err);
    std::vector<std::string> reversed(words.rbegin(), words.rend());
    try {
      app_.parse(reversed);
    } catch (const CLI::ParseError& error) {
      if (error.get_exit_code() == 0) {
        app_.exit(error, out, err);
        return kDone;
      }
      app_.exit(error, err, err);
      return kUsage;
    }
    if (papers_.app->parsed()) return run_papers(papers_, out, err);
    if (serve_app_->parsed()) return serve(serve_, page, out, err);
    if (shop_.is_asked()) {
      const Result<int> code = shop_.run(page, out);
      return code ? *code : refuse(code.problems(), shop_.json(), err);
    }
    const auto chosen = std::find_if(commands_.begin(), commands_.end(), [](const auto& c) { return c->app->parsed(); });
    return run_operation(**chosen, out, err);
  }

 private:
  [[nodiscard]] std::vector<std::string> names() const {
    std::vector<std::string> names;
    for (const CLI::App* known : app_.get_subcommands({})) names.push_back(known->get_name());
    return names;
  }

  [[nodiscard]] bool knows(const std::string& word) const {
    const std::vector<std::string> known = names();
    return std::find(known.begin(), known.end(), word) != known.end();
  }

  int refuse_operation(const std::string& word, std::ostream& err) const {
    const auto nearest = nearest_name(word, names());
    err << "headjoint: no operation is called \"" << word << "\"" << (nearest ? "; did you mean \"" + *nearest + "\"?" : "")
        << "\nRun headjoint --help for the list.\n";
    return kUsage;
  }

  void add(const Operation& operation) {
    auto command = std::make_unique<Command>();
    command->operation = &operation;
    command->app = app_.add_subcommand(std::string(operation.name), std::string(operation.summary));
    if (!operation.argument.empty()) {
      auto* argument = command->app->add_option(std::string(operation.argument), command->arguments, "file, or - for standard input");
      const bool optional = operation.input == InputKind::kDocumentOrOptions;
      if (operation.input == InputKind::kWord)
        argument->description("one or more words")->expected(1, 2);
      else if (operation.input == InputKind::kDocuments)
        argument->description("job files, or a folder of them")->expected(1, -1);
      else
        argument->expected(optional ? 0 : 1, operation.second_argument.empty() ? 1 : 2);
      if (!optional) argument->required();
    }
    for (const assess::OptionSpec& option : operation.options) {
      CLI::Option* added =
          command->app->add_option("--" + std::string(option.name), command->values[std::string(option.name)], std::string(option.help));
      added->type_name(std::string(option.value));
      if (option.kind == assess::OptionKind::kList)
        added->allow_extra_args(false);
      else
        added->expected(1);
    }
    command->app->add_option("--pictures", command->pictures, "write the drawings of the answer into this folder")->type_name("FOLDER");
    command->app->add_flag("--json", command->json, "one JSON object with schema_version");
    command->app->formatter(usage_);
    commands_.push_back(std::move(command));
  }

  void add_papers() {
    papers_.app =
        app_.add_subcommand("papers", "write the record, the owner's sheet and the machine-shop order of a job as printable pages");
    papers_.app->add_option("JOB", papers_.job, "job file, or - for standard input")->required();
    papers_.app->add_option("-o,--output", papers_.folder, "folder for the pages, made when missing")->capture_default_str();
    papers_.app->add_flag("--json", papers_.json, "one JSON object with schema_version");
  }

  void add_serve() {
    serve_app_ = app_.add_subcommand("serve", "the workbench in the browser, on this computer only");
    serve_app_->add_option("--port", serve_.port, "0 takes a free one")->check(CLI::Range(0, 65535))->capture_default_str();
    serve_app_->add_option("--data", serve_.data_folder, "folder of the jobs; default: headjoint in the user's data folder");
    serve_app_->add_option("--web-dir", serve_.web_folder, "serve the page from this folder while working on it");
  }

  CLI::App app_;
  std::shared_ptr<UsageLine> usage_ = std::make_shared<UsageLine>();
  std::vector<std::unique_ptr<Command>> commands_;
  PapersCommand papers_;
  CLI::App* serve_app_ = nullptr;
  ServeOptions serve_;
  internal::ShopCommands shop_;
};

}  // namespace

int run(const std::vector<std::string>& words, std::span<const EmbeddedFile> page, std::ostream& out, std::ostream& err) {
  try {
    const int code = Parser().run(words, page, out, err);
    out.flush();
    if (!out) throw EnvironmentError(EnvironmentError::Kind::kInputOutput, "the output could not be written");
    return code;
  } catch (const EnvironmentError& error) {
    err << "headjoint: " << error.what() << "\n";
    return exit_code(error);
  } catch (const InputError& error) {
    err << "headjoint: " << error.what() << "\n";
    return kBadInput;
  } catch (const std::exception& error) {
    err << "headjoint: internal fault, please report it: " << error.what() << "\n";
    return kInternal;
  }
}

}  // namespace headjoint::cli
