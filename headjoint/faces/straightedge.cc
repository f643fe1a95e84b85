#include "headjoint/faces/straightedge.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>

#include "headjoint/base/text.h"
#include "headjoint/faces/internal/table_text.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::faces {
namespace {

using internal::Heading;
using internal::heading_of;
using internal::ProblemList;

constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr double kFarthest_mm = 10'000;
constexpr double kWidestGap_mm = 20;
constexpr double kSteepest = 0.1;         // rise over run of a foot; a face does not lean more
constexpr double kStraight_share = 0.02;  // of the length: spots farther from the line do not line up
constexpr double kLeastSlip = 20;         // around the 25.4 between thou and um
constexpr double kMostSlip = 30;
constexpr std::size_t kMostRows = 100'000;

enum Column : std::size_t { kLine, kX, kY, kAt, kEnters, kStops, kTilt, kStep, kColumns };
constexpr std::array<const char*, kColumns> kNames{"line", "x", "y", "at", "enters", "stops", "tilt", "step"};

struct FoundColumn {
  std::optional<std::size_t> at;
  double unit = 1;  ///< of one of its units in mm, or in rad
};

/// Half of the last digit written: "16.4" is 16.35 to 16.45.
double half_digit(std::string_view number) {
  const std::size_t point = number.find_first_of(".,");
  if (point == std::string_view::npos) return 0.5;
  return 0.5 * std::pow(10.0, -static_cast<double>(number.size() - point - 1));
}

class LineReader {
 public:
  LineReader(std::string_view text, const std::string& source) : table_(text, source) {}

  Result<MeasuredLines> read() {
    if (table_.open(problems_)) {
      for (std::size_t column = 0; column < table_.header().size(); ++column) read_heading(column);
      check_header();
      std::size_t rows = 0;
      if (!problems_.has_error())
        while (rows++ < kMostRows && table_.next(problems_)) read_row();
      if (!problems_.has_error()) check_lines();
    }
    if (problems_.has_error()) return problems_.taken();
    add_warnings();
    return {std::move(found_), problems_.taken()};
  }

 private:
  void read_heading(std::size_t column) {
    const std::string& cell = table_.header()[column];
    const Heading heading = heading_of(cell);
    const auto known = std::find(kNames.begin(), kNames.end(), heading.axis);
    if (known == kNames.end()) {
      if (heading.axis == "note" || heading.axis == "remark" || heading.axis == "point" || heading.axis == "number") return;
      static const std::vector<std::string> kAllowed{"line",        "x_mm",      "y_mm",     "at_mm",      "enters_mm",
                                                     "stops_mm",    "enters_in", "stops_in", "stops_thou", "enters_thou",
                                                     "tilt_arcsec", "step_mm",   "note"};
      const auto nearest = nearest_name(lower_case(cell), kAllowed);
      problems_.add({table_.header_place(column), "column \"" + cell + "\" is not known",
                     "line; x and y, or at; enters and stops, or tilt; step; note, remark",
                     nearest ? "did you mean \"" + *nearest + "\"?" : "call it note to have it passed over"});
      return;
    }
    const auto which = static_cast<std::size_t>(known - kNames.begin());
    FoundColumn& into = columns_[which];
    if (into.at) {
      problems_.add({table_.header_place(column), "two columns hold " + heading.axis, {}, "keep one of them"});
      return;
    }
    into.at = column;
    if (which == kLine) return;
    if (which == kTilt) return read_angle_unit(heading, column, into);
    if (const auto unit = internal::length_unit_mm(heading, cell, table_.header_place(column), problems_)) into.unit = *unit;
  }

  void read_angle_unit(const Heading& heading, std::size_t column, FoundColumn& into) {
    const Result<Angle> unit = parse<Angle>("1 " + heading.unit);
    if (unit)
      into.unit = unit->radians();
    else
      problems_.add({table_.header_place(column), "column \"" + table_.header()[column] + "\" has no unit of angle", units_allowed<Angle>(),
                     "write tilt_arcsec"});
  }

  [[nodiscard]] bool has(Column column) const { return columns_[column].at.has_value(); }

  void check_header() {
    const auto miss = [&](const std::string& what, const std::string& mend) { problems_.add({table_.header_place(0), what, {}, mend}); };
    if (problems_.has_error()) return;
    if (!has(kLine)) miss("there is no column \"line\": which spots belong together", "add a column line with a name for each placement");
    if (has(kX) != has(kY)) miss(std::string("there is no column for ") + (has(kX) ? "y" : "x"), "x and y go together");
    if (!has(kX) && !has(kAt)) miss("there is no column that says where the spots are", "add x_mm and y_mm, or at_mm along the line");
    if (has(kTilt) && (has(kEnters) || has(kStops))) miss("gaps and tilts stand in one table", "write one table for each");
    if (!has(kTilt) && (!has(kEnters) || !has(kStops)))
      miss("there is no column for the blade that enters and the blade that stops", "add enters_mm and stops_mm");
    if (has(kStep) && !has(kTilt)) miss("a step belongs to tilts", "drop the column step");
    found_.method = has(kTilt) ? LineMethod::kTilt : LineMethod::kFeelers;
  }

  [[nodiscard]] std::string_view cell(Column column) const { return table_.cell(*columns_[column].at); }

  std::optional<double> number(Column column, double most) {
    const std::string_view text = cell(column);
    const auto value = internal::number_in(text);
    if (!value) {
      problems_.add({table_.place(*columns_[column].at),
                     text.empty() ? "there is no number" : "\"" + std::string(text) + "\" is not a number", "a number such as 12.5 or 12,5",
                     "write \"-\" where nothing was measured"});
      return std::nullopt;
    }
    const double in_unit = *value * columns_[column].unit;
    if (std::abs(in_unit) <= most) return in_unit;
    problems_.add({table_.place(*columns_[column].at), "\"" + std::string(text) + "\" is too large for a " + kNames[column],
                   "up to " + number_text(most, 4) + (column == kTilt ? " rad" : " mm"), "check the number and the unit in the header"});
    return std::nullopt;
  }

  static bool is_not_measured(std::string_view text) { return text.empty() || text == "-"; }

  void read_row() {
    const std::string name(cell(kLine));
    if (name.empty()) {
      problems_.add({table_.place(*columns_[kLine].at), "this spot belongs to no line", {}, "write the line's name in every row"});
      return;
    }
    MeasuredLine& line = line_named(name);
    LineSpot spot;
    spot.line = table_.line();
    if (!read_place(line, spot)) return;
    const bool is_read = found_.method == LineMethod::kTilt ? read_tilt(line, spot) : read_gap(spot);
    if (!is_read) return;
    line.spots.push_back(spot);
  }

  MeasuredLine& line_named(const std::string& name) {
    const auto [at, is_new] = index_.try_emplace(name, found_.lines.size());
    if (is_new) found_.lines.push_back({name, {}, has(kX)});
    return found_.lines[at->second];
  }

  bool read_place(const MeasuredLine& line, LineSpot& spot) {
    if (has(kX)) {
      const auto x = number(kX, kFarthest_mm);
      const auto y = number(kY, kFarthest_mm);
      if (!x || !y) return false;
      spot.x_mm = *x;
      spot.y_mm = *y;
      if (!line.spots.empty()) spot.along_mm = std::hypot(*x - line.spots[0].x_mm, *y - line.spots[0].y_mm);
    }
    if (has(kAt)) {
      const auto at = number(kAt, kFarthest_mm);
      if (!at) return false;
      spot.along_mm = *at;
    }
    if (line.spots.empty() || spot.along_mm > line.spots.back().along_mm) return true;
    problems_.add({table_.place(*columns_[has(kAt) ? kAt : kX].at),
                   "line \"" + line.name + "\" does not go on: this spot lies no farther than the one before",
                   "spots in order along the line", "sort the rows, or give another placement another name"});
    return false;
  }

  bool read_gap(LineSpot& spot) {
    const std::string_view enters = cell(kEnters);
    const std::string_view stops = cell(kStops);
    if (lower_case(enters) == "inaccessible" || lower_case(stops) == "inaccessible") {
      spot.state = LineSpot::State::kInaccessible;
      return true;
    }
    if (is_not_measured(enters)) {
      if (is_not_measured(stops)) {
        spot.state = LineSpot::State::kNotMeasured;
        return true;
      }
      problems_.add(
          {table_.place(*columns_[kEnters].at), "which blade entered is not said", {}, "write 0 when none did, or leave both cells blank"});
      return false;
    }
    const auto low = number(kEnters, kWidestGap_mm);
    if (!low) return false;
    if (*low < 0) {
      problems_.add({table_.place(*columns_[kEnters].at), "a gap cannot be negative", "0 or more", "write 0 when no blade enters"});
      return false;
    }
    spot.low_mm = *low;
    spot.high_mm = kInfinity;
    if (is_not_measured(stops)) return true;
    const auto high = number(kStops, kWidestGap_mm);
    if (!high) return false;
    spot.high_mm = *high;
    if (*high > *low) return true;
    problems_.add({table_.place(*columns_[kStops].at), "the blade that stops is not thicker than the one that enters",
                   "more than " + number_text(*low, 4) + " mm", "are the two cells swapped?"});
    return false;
  }

  bool read_tilt(const MeasuredLine& line, LineSpot& spot) {
    const std::string_view tilt = cell(kTilt);
    if (line.spots.empty()) {
      if (is_not_measured(tilt)) return true;
      problems_.add({table_.place(*columns_[kTilt].at), "line \"" + line.name + "\" starts with a tilt",
                     "the first row is where the foot starts", "add a row with the starting place and a blank tilt"});
      return false;
    }
    if (is_not_measured(tilt) || lower_case(tilt) == "inaccessible") {
      spot.state = is_not_measured(tilt) ? LineSpot::State::kNotMeasured : LineSpot::State::kInaccessible;
      return true;
    }
    const auto angle = number(kTilt, kSteepest);
    if (!angle) return false;
    double step = spot.along_mm - line.spots.back().along_mm;
    if (has(kStep)) {
      const auto given = number(kStep, kFarthest_mm);
      if (!given) return false;
      step = *given;
    }
    const double half = half_digit(tilt) * columns_[kTilt].unit * step;
    spot.low_mm = *angle * step - half;
    spot.high_mm = *angle * step + half;
    return true;
  }

  void check_lines() {
    std::size_t most = 0;
    for (const MeasuredLine& line : found_.lines) {
      const auto measured = static_cast<std::size_t>(
          std::count_if(line.spots.begin(), line.spots.end(), [](const LineSpot& s) { return s.state == LineSpot::State::kMeasured; }));
      most = std::max(most, measured);
    }
    if (most >= 3) return;
    problems_.add({{table_.source(), 0, 0, {}},
                   found_.lines.empty() ? "there are no spots" : "no line has three measured spots: two always lie straight",
                   "both ends and the middle at least",
                   "measure the gaps under both ends and in the middle; 0 where the edge touches"});
  }

  void warn(const LineSpot& spot, std::size_t column, std::string what, std::string mend) {
    problems_.add({{table_.source(), spot.line, static_cast<int>(column) + 1, {}},
                   std::move(what),
                   {},
                   std::move(mend),
                   Problem::Severity::kWarning});
  }

  void add_warnings() {
    for (const MeasuredLine& line : found_.lines) {
      if (line.has_places) warn_of_bend(line);
      if (found_.method == LineMethod::kFeelers) warn_of_gaps(line);
    }
  }

  void warn_of_bend(const MeasuredLine& line) {
    if (line.spots.size() < 3) return;
    const LineSpot& a = line.spots.front();
    const LineSpot& b = line.spots.back();
    const double length = std::hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
    for (const LineSpot& spot : line.spots) {
      const double aside = std::abs((b.x_mm - a.x_mm) * (spot.y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (spot.x_mm - a.x_mm)) / length;
      if (!(aside > kStraight_share * length)) continue;
      return warn(spot, *columns_[kX].at,
                  "line \"" + line.name + "\": this spot lies " + number_text(aside, 2) + " mm beside the straightedge",
                  "check its x and y");
    }
  }

  void warn_of_gaps(const MeasuredLine& line) {
    bool touches = false;
    bool any = false;
    for (const LineSpot& spot : line.spots) {
      if (spot.state != LineSpot::State::kMeasured) continue;
      any = true;
      touches = touches || spot.low_mm == 0;
      if (!std::isfinite(spot.high_mm))
        warn(spot, *columns_[kStops].at, "line \"" + line.name + "\": no blade that stops; this gap has no upper limit",
             "try thicker blades until one does not enter");
      warn_of_slip(line, spot);
    }
    if (any && !touches)
      warn(line.spots.front(), *columns_[kEnters].at, "line \"" + line.name + "\": the edge touches at none of the spots",
           "it rests on something between them: add that spot, or look for a burr");
  }

  void warn_of_slip(const MeasuredLine& line, const LineSpot& spot) {
    std::vector<double> others;
    for (const MeasuredLine& other : found_.lines)
      for (const LineSpot& s : other.spots)
        if (&s != &spot && s.state == LineSpot::State::kMeasured && s.low_mm > 0 && (&other == &line || found_.lines.size() > 1))
          others.push_back(s.low_mm);
    if (others.size() < 3 || !(spot.low_mm > 0)) return;
    std::nth_element(others.begin(), others.begin() + static_cast<std::ptrdiff_t>(others.size() / 2), others.end());
    const double times = spot.low_mm / others[others.size() / 2];
    if (!(times >= kLeastSlip && times <= kMostSlip)) return;
    warn(spot, *columns_[kEnters].at, "this gap is " + number_text(times, 2) + " times the usual one",
         "thousandths typed as hundredths, or in another unit? 1 thousandth of an inch is 25.4 micrometres");
  }

  internal::TableText table_;
  std::array<FoundColumn, kColumns> columns_;
  MeasuredLines found_;
  std::map<std::string, std::size_t> index_;
  ProblemList problems_;
};

}  // namespace

Result<MeasuredLines> read_measured_lines(std::string_view text, const std::string& source) { return LineReader(text, source).read(); }

bool looks_like_lines(std::string_view text) {
  ProblemList ignored;
  constexpr std::size_t kStart = 1U << 16U;
  internal::TableText table(text.size() > kStart ? text.substr(0, text.rfind('\n', kStart)) : text, "");
  if (!table.open(ignored)) return false;
  bool has_line = false;
  bool has_reading = false;
  for (const std::string& cell : table.header()) {
    const std::string axis = heading_of(cell).axis;
    has_line = has_line || axis == "line";
    has_reading = has_reading || axis == "enters" || axis == "stops" || axis == "tilt";
  }
  return has_line && has_reading;
}

}  // namespace headjoint::faces
