#include "headjoint/server/internal/body.h"

#include <algorithm>
#include <vector>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"

namespace headjoint::server::internal {
namespace {

using assess::InputKind;

std::string suggestion(std::string_view wrong, const std::vector<std::string>& known) {
  const std::optional<std::string> nearest = nearest_name(wrong, known);
  return nearest ? "did you mean \"" + *nearest + "\"?" : std::string();
}

std::string listed(const std::vector<std::string>& names) {
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
  return text;
}

Problems unknown_keys(const Document& table, const std::vector<std::string>& known, const std::string& noun) {
  Problems problems;
  for (const auto& [key, value] : table.table()) {
    if (std::find(known.begin(), known.end(), key) != known.end()) continue;
    problems.push_back({value.place(), noun + " \"" + key + "\" is not known", listed(known), suggestion(key, known)});
  }
  return problems;
}

[[noreturn]] void refuse(Problems problems) { throw Refusal(422, "the request cannot be used as it is", std::move(problems)); }

std::optional<std::string> option_text(const Document& value) {
  if (value.is_text()) return value.text();
  if (value.is_integer()) return std::to_string(value.integer());
  if (value.is_number()) return number_text(value.number());
  return std::nullopt;
}

/// Text, a number, a switch (true is given, false is not), or a list of texts for an option that may be repeated.
void add_option(const std::string& name, const Document& value, assess::Request& request, Problems& problems) {
  if (value.is_null()) return;
  if (value.is_bool()) {
    if (value.truth()) request.options.emplace(name, "");
  } else if (value.is_array()) {
    for (const Document& item : value.array()) {
      if (const std::optional<std::string> text = option_text(item))
        request.options.emplace(name, *text);
      else
        problems.push_back({item.place(), "option \"" + name + "\" holds " + item.kind_text(), "text or a number", {}});
    }
  } else if (const std::optional<std::string> text = option_text(value)) {
    request.options.emplace(name, *text);
  } else {
    problems.push_back({value.place(), "option \"" + name + "\" is " + value.kind_text(), "text, a number or a list of them", {}});
  }
}

/// Over HTTP a file comes as its text, an engine also as a table.
void add_file(const std::string& name, const Document& value, assess::Request& request, Problems& problems) {
  if (value.is_null()) return;
  if (value.is_text() || value.is_table())
    request.files[name] = {value.is_text() ? value.text() : write_json(value), name, joint::nothing_beside()};
  else
    problems.push_back({value.place(), "option \"" + name + "\" is " + value.kind_text(), "the text of a file", {}});
}

void read_options(const assess::Operation& operation, const Document& options, assess::Request& request, Problems& problems) {
  if (options.is_null()) return;
  if (!options.is_table()) {
    problems.push_back({options.place(), "options are " + options.kind_text(), "a table of names and values", {}});
    return;
  }
  std::vector<std::string> known;
  for (const assess::OptionSpec& option : operation.options) known.emplace_back(option.name);
  const Problems unknown = unknown_keys(options, known, "option");
  problems.insert(problems.end(), unknown.begin(), unknown.end());
  for (const auto& [name, value] : options.table()) {
    const auto spec =
        std::find_if(operation.options.begin(), operation.options.end(), [&](const assess::OptionSpec& one) { return one.name == name; });
    if (spec != operation.options.end() && spec->kind == assess::OptionKind::kFile)
      add_file(name, value, request, problems);
    else
      add_option(name, value, request, problems);
  }
}

/// A file dropped on the page comes as text: TOML, or JSON when it begins with a brace.
Document parsed(const std::string& text, const std::string& source) {
  Result<Document> document = trimmed(text).starts_with('{') ? read_json(text, source) : read_toml(text, source);
  if (!document) refuse(document.problems());
  return std::move(document).value();
}

Document operation_input(const assess::Operation& operation, const Document& input, const std::string& source) {
  const bool may_be_absent = operation.input == InputKind::kNone || operation.input == InputKind::kDocumentOrOptions;
  if (input.is_null()) {
    if (may_be_absent) return {};
    refuse({{{source, 0, 0, {}}, "the input is missing", std::string(operation.argument), "put it into \"input\""}});
  }
  if (operation.input == InputKind::kText) return input.is_table() ? Document(write_json(input)) : input;
  if (operation.input == InputKind::kWord || operation.input == InputKind::kStream) return input;
  if (input.is_text()) return parsed(input.text(), source);
  return standing_alone(input, "/input", source);
}

}  // namespace

Document read_body(const std::string& body, std::initializer_list<std::string_view> keys) {
  Result<Document> document = read_json(body, "");
  if (!document) throw Refusal(400, "the body cannot be read", document.problems());
  if (!document->is_table()) refuse({{document->place(), "the body is " + document->kind_text(), "a table", {}}});
  Problems problems = unknown_keys(*document, {keys.begin(), keys.end()}, "key");
  if (!problems.empty()) refuse(std::move(problems));
  return std::move(document).value();
}

Document document_in(const Document& body, const char* key) {
  const Document* member = body.find(key);
  if (member == nullptr || !member->is_table()) {
    refuse({{{{}, 0, 0, std::string("/") + key},
             std::string("\"") + key + "\" is " + (member ? member->kind_text() : "missing"),
             "a table",
             {}}});
  }
  return *member;
}

Document standing_alone(Document document, const std::string& pointer, const std::string& source) {
  Place place = document.place();
  place.source = source;
  if (place.pointer.starts_with(pointer)) place.pointer.erase(0, pointer.size());
  document.set_place(std::move(place));
  if (document.is_table()) {
    for (auto& [key, member] : document.table()) member = standing_alone(std::move(member), pointer, source);
  } else if (document.is_array()) {
    for (Document& item : document.array()) item = standing_alone(std::move(item), pointer, source);
  }
  return document;
}

assess::Request operation_request(const assess::Operation& operation, const Document& body, std::shared_ptr<ByteSource> stream) {
  static const Document kNothing;
  const auto member = [&](const char* key) -> const Document& {
    const Document* found = body.find(key);
    return found == nullptr ? kNothing : *found;
  };
  assess::Request request;
  request.source = member("source").is_text() ? member("source").text() : "input";
  Problems problems;
  read_options(operation, member("options"), request, problems);
  if (!problems.empty()) refuse(std::move(problems));
  if (stream) {
    request.stream = std::move(stream);
    return request;
  }
  request.input = operation_input(operation, member("input"), request.source);
  if (operation.input == InputKind::kStream) {
    if (!request.input.is_text()) refuse({{request.input.place(), "the input is " + request.input.kind_text(), "the text of a table", {}}});
    request.stream = byte_source_of(request.input.text());
  }
  return request;
}

Document body_of_query(const std::multimap<std::string, std::string>& query) {
  Document body, options;
  for (auto first = query.begin(); first != query.end(); first = query.upper_bound(first->first)) {
    const auto& [name, value] = *first;
    const auto count = query.count(name);
    Document given = value;
    if (count > 1) {
      Array list;
      for (auto one = first; one != query.upper_bound(name); ++one) list.emplace_back(one->second);
      given = std::move(list);
    }
    if (name == "pictures")
      body.set(name, value == "true");
    else if (name == "source" || name == "run")
      body.set(name, value);
    else
      options.set(name, std::move(given));
  }
  if (!options.is_null()) body.set("options", std::move(options));
  return body;
}

}  // namespace headjoint::server::internal
