#include "headjoint/assess/knowledge.h"

#include <algorithm>
#include <map>
#include <span>

#include "headjoint/base/csv.h"
#include "headjoint/base/document.h"
#include "headjoint/base/embedded.h"
#include "headjoint/base/error.h"

extern const headjoint::EmbeddedFile headjoint_embedded_data[];
extern const std::size_t headjoint_embedded_data_count;

namespace headjoint::assess {
namespace {

std::span<const EmbeddedFile> shipped() { return {headjoint_embedded_data, headjoint_embedded_data_count}; }

diagnosis::TableText table_text(const std::string& name) {
  const std::string path = "networks/head_joint/" + name + ".csv";
  return {std::string(shipped_file(path)), "data/" + path};
}

diagnosis::Pattern read_shipped_pattern() {
  auto pattern = diagnosis::read_pattern(
      {table_text("causes"), table_text("findings"), table_text("setups"), table_text("links"), table_text("contexts")});
  require(pattern.has_value(), to_string(pattern.problems()).c_str());
  return std::move(pattern).value();
}

struct CautionFile {
  std::string defer;
  std::vector<Caution> cautions;
};

CautionFile read_shipped_cautions() {
  const auto document = read_toml(shipped_file("cautions/cautions.toml"), "data/cautions/cautions.toml");
  require(document.has_value(), to_string(document.problems()).c_str());
  CautionFile file;
  const auto text = [](const Document& table, const char* key) {
    const Document* member = table.find(key);
    require(member != nullptr && member->is_text(), key);
    return member->text();
  };
  file.defer = text(*document, "defer");
  const Document* list = document->find("caution");
  require(list != nullptr, "no cautions");
  for (const Document& entry : list->array()) {
    file.cautions.push_back({text(entry, "id"), text(entry, "level"), text(entry, "hazard"), text(entry, "consequence"),
                             text(entry, "avoid"), text(entry, "source")});
  }
  return file;
}

struct DecisionRow {
  std::string text;
  std::string goes_with;
};

std::map<std::string, DecisionRow> read_shipped_decisions() {
  const std::string path = "networks/head_joint/decisions.csv";
  const auto table = read_csv(shipped_file(path), "data/" + path);
  require(table.has_value(), to_string(table.problems()).c_str());
  const auto column = [&](const char* name) {
    require(table->column(name) >= 0, "decisions.csv needs the columns name, text and goes_with");
    return static_cast<std::size_t>(table->column(name));
  };
  std::map<std::string, DecisionRow> rows;
  for (const auto& row : table->rows) rows[row[column("name")]] = {row[column("text")], row[column("goes_with")]};
  return rows;
}

const std::map<std::string, DecisionRow>& decision_rows() {
  static const std::map<std::string, DecisionRow> rows = read_shipped_decisions();
  return rows;
}

const CautionFile& caution_file() {
  static const CautionFile file = read_shipped_cautions();
  return file;
}

}  // namespace

std::string_view shipped_file(std::string_view path) {
  const auto found = std::find_if(shipped().begin(), shipped().end(), [&](const EmbeddedFile& file) { return file.path == path; });
  require(found != shipped().end(), "a shipped file is missing");
  return found->content();
}

std::vector<std::string> shipped_files(std::string_view folder) {
  std::vector<std::string> names;
  for (const EmbeddedFile& file : shipped())
    if (file.path.starts_with(folder)) names.emplace_back(file.path);
  return names;
}

const diagnosis::Pattern& head_joint_pattern() {
  static const diagnosis::Pattern pattern = read_shipped_pattern();
  return pattern;
}

const std::vector<Caution>& cautions() { return caution_file().cautions; }

std::vector<Caution> cautions_of(const std::vector<std::string>& ids) {
  std::vector<Caution> chosen;
  for (const std::string& id : ids) {
    const auto found = std::find_if(cautions().begin(), cautions().end(), [&](const Caution& caution) { return caution.id == id; });
    require(found != cautions().end(), ("no caution is called " + id).c_str());
    chosen.push_back(*found);
  }
  return chosen;
}

bool has_decision_text(const std::string& decision) { return decision_rows().contains(decision); }

std::string decision_text(const std::string& decision) {
  if (has_decision_text(decision)) return decision_rows().at(decision).text;
  std::string words = decision;
  std::replace(words.begin(), words.end(), '_', ' ');
  return words;
}

std::string exchanged_with(const std::string& decision) {
  return has_decision_text(decision) ? decision_rows().at(decision).goes_with : std::string();
}

std::vector<std::string> decision_names() {
  std::vector<std::string> names;
  for (const auto& [name, row] : decision_rows()) names.push_back(name);
  return names;
}

const std::string& defer_line() { return caution_file().defer; }

}  // namespace headjoint::assess
