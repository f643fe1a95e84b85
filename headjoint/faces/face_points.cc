#include "headjoint/faces/face_points.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "headjoint/base/csv.h"
#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/faces/internal/cloud.h"
#include "headjoint/faces/internal/suspicious_heights.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::faces {
namespace {

constexpr double kFarthest_mm = 10'000;
constexpr std::size_t kMostProblems = 20;
constexpr int kNoColumn = -1;

const std::array<std::string, 4> kOtherColumns{"point", "number", "remark", "note"};

/// A header cell taken apart: "z_um", "z (um)", "z [um]", "z um".
struct Heading {
  std::string axis;
  std::string unit;
};

Heading heading_of(std::string_view cell) {
  const std::size_t cut = cell.find_first_of("_ ([");
  if (cut == std::string_view::npos) return {lower_case(cell), {}};
  std::string_view unit = cell.substr(cut);
  while (!unit.empty() && std::string_view("_ ([").find(unit.front()) != std::string_view::npos) unit.remove_prefix(1);
  while (!unit.empty() && std::string_view(")] ").find(unit.back()) != std::string_view::npos) unit.remove_suffix(1);
  return {lower_case(cell.substr(0, cut)), std::string(unit)};
}

/// Line of the column names: the first that is neither empty nor a remark.
int header_line_of(std::string_view text) {
  int line = 1;
  for (std::size_t start = 0; start < text.size(); ++line) {
    const std::size_t end = std::min(text.find('\n', start), text.size());
    const std::string_view content = trimmed(text.substr(start, end - start));
    if (!content.empty() && content.front() != '#') return line;
    start = end + 1;
  }
  return 0;
}

/// Column of one axis and what one of its units is in mm.
struct Axis {
  int column = kNoColumn;
  double unit_mm = 0;
};

/// Collects problems until there are enough; counts the rest.
class ProblemList {
 public:
  void add(Problem problem) {
    has_error_ = has_error_ || problem.severity == Problem::Severity::kError;
    if (problems_.size() < kMostProblems)
      problems_.push_back(std::move(problem));
    else
      ++unlisted_;
  }

  [[nodiscard]] bool has_error() const { return has_error_; }

  [[nodiscard]] Problems taken() {
    if (unlisted_ > 0) {
      const auto severity = has_error_ ? Problem::Severity::kError : Problem::Severity::kWarning;
      problems_.push_back(
          {{problems_.front().place.source, 0, 0, {}}, "and " + std::to_string(unlisted_) + " more like these", {}, {}, severity});
    }
    return std::move(problems_);
  }

 private:
  Problems problems_;
  std::size_t unlisted_ = 0;
  bool has_error_ = false;
};

/// The reader of one table.
class PointReader {
 public:
  PointReader(const Csv& table, int header_line) : table_(table), header_line_(header_line) {}

  Result<FacePoints> read() {
    read_header();
    if (!problems_.has_error()) {
      for (std::size_t row = 0; row < table_.rows.size(); ++row) read_row(row);
      if (!problems_.has_error()) check_set();
    }
    if (problems_.has_error()) return problems_.taken();
    for (Problem& warning : internal::suspicious_heights(points_, table_.source, axes_[2].column + 1)) problems_.add(std::move(warning));
    return {std::move(points_), problems_.taken()};
  }

 private:
  void read_header() {
    for (std::size_t column = 0; column < table_.header.size(); ++column) read_heading(column);
    const std::array<const char*, 3> names{"x", "y", "z"};
    for (std::size_t a = 0; a < 3; ++a)
      if (axes_[a].column == kNoColumn)
        problems_.add({header_place(0), std::string("there is no column for ") + names[a], "x, y and z, each with its unit: x_mm,y_mm,z_mm",
                       std::string("add a column such as ") + names[a] + "_mm"});
  }

  void read_heading(std::size_t column) {
    const std::string& cell = table_.header[column];
    const Heading heading = heading_of(cell);
    constexpr std::string_view kAxes = "xyz";
    const std::size_t axis = heading.axis.size() == 1 ? kAxes.find(heading.axis) : std::string_view::npos;
    if (axis != std::string_view::npos) {
      read_axis(column, axis, heading);
    } else if (lower_case(cell) == "point" || lower_case(cell) == "number") {
      name_column_ = static_cast<int>(column);
    } else if (std::find(kOtherColumns.begin(), kOtherColumns.end(), lower_case(cell)) == kOtherColumns.end()) {
      problems_.add(unknown_column(cell, column));
    }
  }

  void read_axis(std::size_t column, std::size_t axis, const Heading& heading) {
    const std::string& cell = table_.header[column];
    if (axes_[axis].column != kNoColumn) {
      problems_.add({header_place(column), "two columns hold " + heading.axis, {}, "keep one of them"});
      return;
    }
    axes_[axis].column = static_cast<int>(column);
    if (heading.unit.empty()) {
      problems_.add(
          {header_place(column), "column \"" + cell + "\" has no unit", units_allowed<Length>(), "write " + heading.axis + "_mm"});
      return;
    }
    const Result<Length> unit = parse<Length>("1 " + heading.unit);
    if (!unit) {
      problems_.add({header_place(column), "\"" + heading.unit + "\" in column \"" + cell + "\" is not a unit of length",
                     units_allowed<Length>(), "write " + heading.axis + "_mm"});
      return;
    }
    axes_[axis].unit_mm = unit->in(unit_of<Length>("mm"));
  }

  [[nodiscard]] Problem unknown_column(const std::string& cell, std::size_t column) const {
    static const std::vector<std::string> kKnown{"x_mm", "y_mm",   "z_mm",   "x_um",   "y_um",  "z_um",   "x_in",   "y_in",
                                                 "z_in", "x_thou", "y_thou", "z_thou", "point", "number", "remark", "note"};
    const auto nearest = nearest_name(lower_case(cell), kKnown);
    return {header_place(column), "column \"" + cell + "\" is not known", "x, y, z with a unit; point, number, remark, note",
            nearest ? "did you mean \"" + *nearest + "\"?" : "call it note to have it passed over"};
  }

  void read_row(std::size_t row) {
    const auto x = coordinate(row, 0);
    const auto y = coordinate(row, 1);
    const std::string_view z_cell = cell(row, 2);
    if (const auto reason = why_unmeasured(z_cell)) {
      if (x && y) points_.unmeasured.push_back({*x, *y, *reason, table_.lines[row]});
      return;
    }
    const auto z = coordinate(row, 2);
    if (!x || !y || !z) return;
    points_.x_mm.push_back(*x);
    points_.y_mm.push_back(*y);
    points_.z_mm.push_back(*z);
    points_.lines.push_back(table_.lines[row]);
    if (name_column_ != kNoColumn) points_.names.push_back(table_.rows[row][static_cast<std::size_t>(name_column_)]);
  }

  [[nodiscard]] const std::string& cell(std::size_t row, std::size_t axis) const {
    return table_.rows[row][static_cast<std::size_t>(axes_[axis].column)];
  }

  static std::optional<FacePoints::Unmeasured::Reason> why_unmeasured(std::string_view z) {
    if (z.empty() || z == "-") return FacePoints::Unmeasured::Reason::kNotMeasured;
    if (lower_case(z) == "inaccessible") return FacePoints::Unmeasured::Reason::kInaccessible;
    return std::nullopt;
  }

  /// One coordinate in mm; its problem is listed when there is none.
  std::optional<double> coordinate(std::size_t row, std::size_t axis) {
    const std::string& text = cell(row, axis);
    const Place place = table_.place(row, static_cast<std::size_t>(axes_[axis].column));
    const auto number = parse_number(text);
    if (!number) {
      problems_.add(not_a_number(text, place, axis));
      return std::nullopt;
    }
    const double value = *number * axes_[axis].unit_mm;
    if (std::abs(value) <= kFarthest_mm) return value;
    problems_.add({place, "\"" + text + "\" is beyond any engine: " + number_text(value / 1000, 4) + " m", "-10 m to 10 m",
                   "check the number and the unit in the header"});
    return std::nullopt;
  }

  static Problem not_a_number(const std::string& text, const Place& place, std::size_t axis) {
    const char* const mend = axis == 2 ? "leave the cell empty when the point was not measured" : "every point needs its place on the face";
    if (text.empty()) return {place, "there is no number", {}, mend};
    return {place, "\"" + text + "\" is not a number", "a number such as 12.5 or 12,5", mend};
  }

  /// What only the whole set shows.
  void check_set() {
    if (points_.size() < kFewestPoints) {
      problems_.add({{table_.source, 0, 0, {}},
                     std::to_string(points_.size()) + " measured points" + unmeasured_text() + ": a plane through 3 points fits anything",
                     "at least 4 points, better 12 or more",
                     "measure more points"});
      return;
    }
    if (const auto why = why_unusable())
      problems_.add({{table_.source, 0, 0, {}},
                     *why,
                     "points spread over the length and the width of the face",
                     "measure points spread over the face"});
  }

  [[nodiscard]] std::string unmeasured_text() const {
    return points_.unmeasured.empty() ? "" : " (" + std::to_string(points_.unmeasured.size()) + " places not measured)";
  }

  [[nodiscard]] std::optional<std::string> why_unusable() const {
    if (!internal::has_places(points_, 2)) return "all points lie at one place";
    const internal::Cloud cloud{points_.x_mm, points_.y_mm, points_.z_mm};
    if (const auto why = internal::why_no_plane(cloud, internal::moments(cloud))) return why;
    if (!internal::has_places(points_, kFewestPoints)) return "the points lie at fewer than 4 different places";
    return std::nullopt;
  }

  [[nodiscard]] Place header_place(std::size_t column) const { return {table_.source, header_line_, static_cast<int>(column) + 1, {}}; }

  const Csv& table_;
  int header_line_;
  FacePoints points_;
  std::array<Axis, 3> axes_;
  int name_column_ = kNoColumn;
  ProblemList problems_;
};

}  // namespace

std::string FacePoints::name_of(std::size_t index) const {
  require(index < size(), "a point of this set");
  return index < names.size() && !names[index].empty() ? names[index] : std::to_string(index + 1);
}

Result<FacePoints> read_face_points(std::string_view text, const std::string& source) {
  constexpr std::size_t kRemarkLines = 1000;
  const auto rows = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
  if (rows > kMostPoints + kRemarkLines)
    return Problem{{source, 0, 0, {}},
                   "the file has " + std::to_string(rows) + " lines",
                   "up to 5 million points",
                   "keep every second point, or one part of the face"};
  const Result<Csv> table = read_csv(text, source);
  if (!table) return table.problems();
  return PointReader(*table, header_line_of(text)).read();
}

}  // namespace headjoint::faces
