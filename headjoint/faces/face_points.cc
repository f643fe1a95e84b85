#include "headjoint/faces/face_points.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/faces/internal/cloud.h"
#include "headjoint/faces/internal/suspicious_heights.h"
#include "headjoint/faces/internal/table_text.h"

namespace headjoint::faces {
namespace {

using internal::Heading;
using internal::heading_of;
using internal::ProblemList;

constexpr double kFarthest_mm = 10'000;
constexpr int kNoColumn = -1;

const std::array<std::string, 4> kOtherColumns{"point", "number", "remark", "note"};

/// Column of one axis and what one of its units is in mm.
struct Axis {
  int column = kNoColumn;
  double unit_mm = 0;
};

/// The reader of one table.
class PointReader {
 public:
  PointReader(std::string_view text, const std::string& source, PointUse use) : table_(text, source), use_(use) {}

  Result<FacePoints> read() {
    if (table_.open(problems_)) {
      read_header();
      if (!problems_.has_error()) {
        while (table_.next(problems_)) read_row();
        if (!problems_.has_error()) check_set();
      }
    }
    if (problems_.has_error()) return problems_.taken();
    for (Problem& warning : internal::suspicious_heights(points_, table_.source(), axes_[2].column + 1)) problems_.add(std::move(warning));
    return {std::move(points_), problems_.taken()};
  }

 private:
  void read_header() {
    for (std::size_t column = 0; column < table_.header().size(); ++column) read_heading(column);
    const std::array<const char*, 3> names{"x", "y", "z"};
    for (std::size_t a = 0; a < 3; ++a)
      if (axes_[a].column == kNoColumn)
        problems_.add({table_.header_place(0), std::string("there is no column for ") + names[a],
                       "x, y and z, each with its unit: x_mm,y_mm,z_mm", std::string("add a column such as ") + names[a] + "_mm"});
  }

  void read_heading(std::size_t column) {
    const std::string& cell = table_.header()[column];
    const Heading heading = heading_of(cell);
    if (const auto axis = axis_named(heading.axis)) {
      read_axis(column, *axis, heading);
    } else if (lower_case(cell) == "point" || lower_case(cell) == "number") {
      name_column_ = static_cast<int>(column);
    } else if (std::find(kOtherColumns.begin(), kOtherColumns.end(), lower_case(cell)) == kOtherColumns.end()) {
      problems_.add(unknown_column(cell, column));
    }
  }

  /// z also goes by what was measured: the depth under a bar, or the thickness over a second face.
  static std::optional<std::size_t> axis_named(const std::string& name) {
    if (name == "x") return 0;
    if (name == "y") return 1;
    if (name == "z" || name == "depth" || name == "thickness") return 2;
    return std::nullopt;
  }

  void read_axis(std::size_t column, std::size_t axis, const Heading& heading) {
    if (axes_[axis].column != kNoColumn) {
      problems_.add({table_.header_place(column), std::string("two columns hold ") + "xyz" [axis], {}, "keep one of them"});
      return;
    }
    axes_[axis].column = static_cast<int>(column);
    if (const auto unit = internal::length_unit_mm(heading, table_.header()[column], table_.header_place(column), problems_))
      axes_[axis].unit_mm = heading.axis == "depth" ? -*unit : *unit;
    points_.is_over_second_face = points_.is_over_second_face || heading.axis == "thickness";
  }

  [[nodiscard]] Problem unknown_column(const std::string& cell, std::size_t column) const {
    static const std::vector<std::string> kKnown{"x_mm",     "y_mm",         "z_mm",  "x_um",   "y_um",   "z_um",
                                                 "x_in",     "y_in",         "z_in",  "x_thou", "y_thou", "z_thou",
                                                 "depth_mm", "thickness_mm", "point", "number", "remark", "note"};
    const auto nearest = nearest_name(lower_case(cell), kKnown);
    return {table_.header_place(column), "column \"" + cell + "\" is not known",
            "x, y, z (or depth, thickness) with a unit; point, number, remark, note",
            nearest ? "did you mean \"" + *nearest + "\"?" : "call it note to have it passed over"};
  }

  void read_row() {
    const auto x = coordinate(0);
    const auto y = coordinate(1);
    if (const auto reason = why_unmeasured(cell(2))) {
      if (x && y) points_.unmeasured.push_back({*x, *y, *reason, table_.line()});
      return;
    }
    const auto z = coordinate(2);
    if (!x || !y || !z) return;
    points_.x_mm.push_back(*x);
    points_.y_mm.push_back(*y);
    points_.z_mm.push_back(*z);
    points_.lines.push_back(table_.line());
    if (name_column_ != kNoColumn) points_.names.emplace_back(table_.cell(static_cast<std::size_t>(name_column_)));
  }

  [[nodiscard]] std::string_view cell(std::size_t axis) const { return table_.cell(static_cast<std::size_t>(axes_[axis].column)); }

  static std::optional<FacePoints::Unmeasured::Reason> why_unmeasured(std::string_view z) {
    if (z.empty() || z == "-") return FacePoints::Unmeasured::Reason::kNotMeasured;
    if (z.front() > '9' && lower_case(z) == "inaccessible") return FacePoints::Unmeasured::Reason::kInaccessible;
    return std::nullopt;
  }

  /// One coordinate in mm; its problem is listed when there is none.
  std::optional<double> coordinate(std::size_t axis) {
    const std::string_view text = cell(axis);
    const auto number = internal::number_in(text);
    const Axis& column = axes_[axis];
    if (number && std::abs(*number * column.unit_mm) <= kFarthest_mm) return *number * column.unit_mm;
    const Place place = table_.place(static_cast<std::size_t>(column.column));
    if (!number)
      problems_.add(not_a_number(std::string(text), place, axis));
    else
      problems_.add({place, "\"" + std::string(text) + "\" is beyond any engine: " + number_text(*number * column.unit_mm / 1000, 4) + " m",
                     "-10 m to 10 m", "check the number and the unit in the header"});
    return std::nullopt;
  }

  static Problem not_a_number(const std::string& text, const Place& place, std::size_t axis) {
    const char* const mend = axis == 2 ? "leave the cell empty when the point was not measured" : "every point needs its place on the face";
    if (text.empty()) return {place, "there is no number", {}, mend};
    return {place, "\"" + text + "\" is not a number", "a number such as 12.5 or 12,5", mend};
  }

  /// What only the whole set shows.
  void check_set() {
    if (use_ == PointUse::kDatum) return check_datum();
    if (points_.size() < kFewestPoints) {
      problems_.add({{table_.source(), 0, 0, {}},
                     std::to_string(points_.size()) + " measured points" + unmeasured_text() + ": a plane through 3 points fits anything",
                     "at least 4 points, better 12 or more",
                     "measure more points"});
      return;
    }
    if (const auto why = why_unusable())
      problems_.add({{table_.source(), 0, 0, {}},
                     *why,
                     "points spread over the length and the width of the face",
                     "measure points spread over the face"});
  }

  void check_datum() {
    if (points_.size() >= 2 && internal::has_places(points_, 2)) return;
    problems_.add({{table_.source(), 0, 0, {}},
                   "a datum needs points at two different places for a line, three for a face",
                   {},
                   "measure both ends of the line, or three corners of the face"});
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

  internal::TableText table_;
  PointUse use_;
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

Result<FacePoints> read_face_points(std::string_view text, const std::string& source, PointUse use) {
  constexpr std::size_t kRemarkLines = 1000;
  const auto rows = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
  if (rows > kMostPoints + kRemarkLines)
    return Problem{{source, 0, 0, {}},
                   "the file has " + std::to_string(rows) + " lines",
                   "up to 5 million points",
                   "keep every second point, or one part of the face"};
  return PointReader(text, source, use).read();
}

}  // namespace headjoint::faces
