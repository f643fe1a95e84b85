#include "headjoint/joint/engine_file.h"

#include <filesystem>
#include <utility>

#include "headjoint/base/file.h"
#include "headjoint/base/text.h"
#include "headjoint/joint/internal/engine_description.h"
#include "headjoint/joint/internal/special_values.h"

namespace headjoint::joint {
namespace {

/// A list that names a CSV, replaced by the pairs in it.
void bring_inside(Document& list, const PairColumns& columns, const ReadBeside& read_beside) {
  if (!list.is_text()) return;
  Problems problems;
  Document holder;
  holder.set("list", list);
  TableReader reader(holder, {}, problems);
  NumberPairs values;
  pairs(reader, "list", values, columns, read_beside);
  if (has_errors(problems)) return;
  TableWriter writer;
  pairs(writer, "list", values);
  const Document written = writer.take();
  if (const Document* found = written.find("list")) list = *found;
}

const PairColumns* columns_of(std::string_view key) {
  if (key == "at" || key == "outline") return &coordinate_columns();
  if (key == "curve" || key == "unloading") return &curve_columns();
  if (key == "lift") return &lift_columns();
  return nullptr;
}

void bring_lists_inside(Document& node, const ReadBeside& read_beside) {
  if (node.is_array())
    for (Document& item : node.array()) bring_lists_inside(item, read_beside);
  if (!node.is_table()) return;
  for (auto& [key, member] : node.table()) {
    if (const PairColumns* columns = columns_of(key)) bring_inside(member, *columns, read_beside);
    bring_lists_inside(member, read_beside);
  }
}

}  // namespace

ReadBeside nothing_beside() {
  return [](const std::string& path) -> std::string {
    throw EnvironmentError(EnvironmentError::Kind::kNoSuchFile, "\"" + path + "\" cannot be read here: put its content inside");
  };
}

ReadBeside beside_file(const std::string& path) {
  const std::string folder = path == "-" ? std::string() : std::filesystem::path(path).parent_path().string();
  return
      [folder](const std::string& relative) { return read_file((std::filesystem::path(folder) / relative).lexically_normal().string()); };
}

ReadBeside beside(const ReadBeside& outer, const std::string& relative_path) {
  const std::string folder = std::filesystem::path(relative_path).parent_path().string();
  return [outer, folder](const std::string& relative) { return outer((std::filesystem::path(folder) / relative).generic_string()); };
}

Result<Engine> read_engine(const Document& document, const ReadBeside& read_beside) {
  Problems problems;
  Engine engine;
  TableReader reader(document, {}, problems);
  EngineDescription{read_beside}.engine(reader, engine);
  reader.finish();
  settle_and_check(document, engine, problems);
  if (has_errors(problems)) return problems;
  return Result<Engine>(std::move(engine), std::move(problems));
}

Result<Engine> read_engine_text(std::string_view text, const std::string& source, const ReadBeside& read_beside) {
  const auto document = trimmed(text).starts_with('{') ? read_json(text, source) : read_toml(text, source);
  if (!document) return document.problems();
  return read_engine(*document, read_beside);
}

Document write_engine(const Engine& engine) {
  TableWriter writer;
  const ReadBeside read_beside = nothing_beside();
  EngineDescription{read_beside}.engine(writer, engine);
  return writer.take();
}

Document with_lists_inside(Document engine, const ReadBeside& read_beside) {
  bring_lists_inside(engine, read_beside);
  return engine;
}

}  // namespace headjoint::joint
