#include <fmt/format.h>

#include <cmath>

#include "headjoint/base/csv.h"
#include "headjoint/base/text.h"
#include "headjoint/jobs/internal/job_parts.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::jobs {
namespace {

const std::vector<std::string> kPartWords = {"head", "block"};
constexpr std::size_t kMostProblems = 200;
constexpr double kLargestCoordinate_mm = 20000;
constexpr double kLargestHeight_mm = 50;

/// A column such as x_mm or z_um: its index and what one of its units is in millimetres.
struct Column {
  std::size_t index = 0;
  double to_mm = 1;
};

std::optional<Column> find_column(const Csv& table, char axis) {
  for (std::size_t i = 0; i < table.header.size(); ++i) {
    const std::string& name = table.header[i];
    if (name.size() < 3 || name[0] != axis || name[1] != '_') continue;
    const auto unit = parse<Length>("1 " + name.substr(2));
    if (unit) return Column{i, unit->si() * 1e3};
  }
  return std::nullopt;
}

Result<std::vector<FacePoint>> read_points(const std::string& text, const std::string& source) {
  const auto table = read_csv(text, source);
  if (!table) return table.problems();
  const auto x = find_column(*table, 'x');
  const auto y = find_column(*table, 'y');
  const auto z = find_column(*table, 'z');
  if (!x || !y || !z)
    return Problem{{source, 0, 0, {}},
                   "the table of points lacks a column " + std::string(!x   ? "x"
                                                                       : !y ? "y"
                                                                            : "z"),
                   "columns x, y, z with their unit, such as x_mm, y_mm, z_mm or z_um",
                   "name them in the first line"};
  std::vector<FacePoint> points;
  Problems problems;
  for (std::size_t row = 0; row < table->rows.size() && problems.size() < kMostProblems; ++row) {
    const auto cell = [&](const Column& column) { return parse_number(table->rows[row][column.index]); };
    const auto px = cell(*x);
    const auto py = cell(*y);
    const auto pz = cell(*z);
    if (!px || !py || !pz) {
      const Column& wrong = !px ? *x : !py ? *y : *z;
      const bool blank = table->rows[row][wrong.index].empty();
      problems.push_back({table->place(row, wrong.index),
                          blank ? "a cell is blank" : "\"" + table->rows[row][wrong.index].substr(0, 40) + "\" is not a number",
                          "a number in every cell", "leave out a point that was not measured: blank is not zero"});
      continue;
    }
    const FacePoint point{*px * x->to_mm, *py * y->to_mm, *pz * z->to_mm};
    const bool fits = std::abs(point.x_mm) <= kLargestCoordinate_mm && std::abs(point.y_mm) <= kLargestCoordinate_mm &&
                      std::abs(point.z_mm) <= kLargestHeight_mm;
    if (fits)
      points.push_back(point);
    else
      problems.push_back({table->place(row, 0), "this point lies far outside any face", "x and y within 20 m, z within 50 mm",
                          "check the units in the header"});
  }
  if (problems.empty() && points.empty()) problems.push_back({{source, 0, 0, {}}, "there are no points in the table", {}, {}});
  if (has_errors(problems)) return problems;
  return points;
}

/// The CSV of a face: `points` names a file, or `table` carries it.
void read_table(TableReader& reader, Face& face, const joint::ReadBeside& read_beside) {
  reader.text("points", face.file);
  reader.text("table", face.table);
  const Document* file = reader.find("points");
  const Document* inside = reader.find("table");
  if ((file == nullptr) == (inside == nullptr)) {
    reader.refuse(reader.document(), "a face needs `points` (a CSV file beside this one) or `table` (the same inside), one of them");
    return;
  }
  if (file != nullptr && file->is_text()) {
    const auto text = joint::text_beside(reader, *file, "points", read_beside);
    if (!text) return;
    face.table = *text;
  }
  if (face.table.empty() && (inside == nullptr || !inside->is_text())) return;
  auto points = read_points(face.table, file != nullptr ? face.file : std::string("table"));
  if (points) {
    face.points = std::move(points).value();
    return;
  }
  if (file != nullptr)
    reader.problems().insert(reader.problems().end(), points.problems().begin(), points.problems().end());
  else
    for (const Problem& problem : points.problems())
      reader.refuse(*inside,
                    problem.place.line > 0 ? fmt::format("table line {}: {}", problem.place.line, problem.what) : "table: " + problem.what,
                    problem.allowed, problem.mend);
}

template <class Io, class F>
void describe_face(Io& io, F& face) {
  io.choice("part", face.part, kPartWords);
  io.integer("head", face.head, 1, 16);
  joint::figure(io, "uncertainty", face.uncertainty, "0.0001 mm", "1 mm");
  io.text("tool", face.tool);
  io.text("taken", face.taken);
  io.text("note", face.note);
  io.text("void", face.void_reason);
}

}  // namespace

void read_face(TableReader& reader, Face& face, const EngineInHand& in_hand, const joint::ReadBeside& read_beside) {
  face.place = reader.document().place();
  (void)reader.required("part");
  describe_face(reader, face);
  if (in_hand.known && static_cast<std::size_t>(face.head) > in_hand.names.heads.size())
    reader.refuse(*reader.find("head"), fmt::format("this engine has no head {}", face.head), "heads " + word_list(in_hand.names.heads));
  read_table(reader, face, read_beside);
}

Document write_face(const Face& face) {
  TableWriter writer;
  describe_face(writer, face);
  if (face.file.empty())
    writer.put("table", face.table);
  else
    writer.put("points", face.file);
  return writer.take();
}

}  // namespace headjoint::jobs
