#include "headjoint/clamp/wrench_log.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "headjoint/base/csv.h"
#include "headjoint/base/text.h"
#include "headjoint/clamp/internal/workshop_units.h"
#include "headjoint/numerics/root.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::clamp {
namespace {

/// "torque (lbf ft)" -> torque, lbf ft
struct Heading {
  std::string name;
  std::string unit;
};
Heading split_heading(std::string_view cell) {
  const std::size_t cut = cell.find_first_of(" _([");
  std::string_view unit = cut == std::string_view::npos ? std::string_view{} : cell.substr(cut);
  while (!unit.empty() && std::string_view("_ ([").find(unit.front()) != std::string_view::npos) unit.remove_prefix(1);
  while (!unit.empty() && std::string_view(")] ").find(unit.back()) != std::string_view::npos) unit.remove_suffix(1);
  return {lower_case(cell.substr(0, cut)), std::string(unit)};
}

/// Takes a log apart and lists everything wrong with it.
class LogReader {
 public:
  explicit LogReader(const Csv& csv) : csv_(csv) {}

  Result<std::vector<BoltTrace>> read() {
    find_columns();
    if (has_errors(problems_)) return problems_;
    for (std::size_t row = 0; row < csv_.rows.size(); ++row) read_row(row);
    std::vector<BoltTrace> traces;
    for (auto& [bolt, trace] : traces_) traces.push_back(std::move(trace));
    if (traces.empty() && !has_errors(problems_))
      refuse({csv_.source, 1, 1, {}}, "the log holds no readings", "rows of bolt, angle, torque");
    if (has_errors(problems_)) return problems_;
    return {std::move(traces), std::move(problems_)};
  }

 private:
  void refuse(Place place, std::string what, std::string allowed) {
    constexpr std::size_t kMost = 50;
    if (problems_.size() < kMost)
      problems_.push_back({std::move(place), std::move(what), std::move(allowed), {}, Problem::Severity::kError});
  }
  template <class T>
  double unit_of_heading(std::size_t column, const std::string& unit, const char* example) {
    const Place place{csv_.source, 1, static_cast<int>(column) + 1, {}};
    if (unit.empty()) {
      refuse(place, "column \"" + csv_.header[column] + "\" has no unit", std::string("such as ") + example);
      return 1;
    }
    const Result<T> one = parse<T>("1 " + unit);
    if (!one) refuse(place, "\"" + unit + "\" is not understood as a unit", units_allowed<T>());
    if constexpr (std::is_same_v<T, Angle>)
      return one ? one->degrees() : 1;
    else
      return one ? one->si() : 1;
  }
  void find_columns();
  void read_row(std::size_t row);
  std::optional<double> number(std::size_t row, int column, double least, double most, const char* name) {
    const std::string& cell = csv_.rows[row][static_cast<std::size_t>(column)];
    const auto value = parse_number(cell);
    if (value && *value >= least && *value <= most) return *value;
    refuse(csv_.place(row, static_cast<std::size_t>(column)), fmt::format("{} \"{}\" is no number in range", name, cell.substr(0, 40)),
           fmt::format("{} to {}", number_text(least, 4), number_text(most, 5)));
    return std::nullopt;
  }

  const Csv& csv_;
  Problems problems_;
  int bolt_ = -1, angle_ = -1, torque_ = -1;
  double degrees_ = 1, newton_metres_ = 1;
  std::map<int, BoltTrace> traces_;
};

void LogReader::find_columns() {
  for (std::size_t c = 0; c < csv_.header.size(); ++c) {
    const Heading heading = split_heading(csv_.header[c]);
    if (heading.name == "bolt") bolt_ = static_cast<int>(c);
    if (heading.name == "angle") angle_ = static_cast<int>(c), degrees_ = unit_of_heading<Angle>(c, heading.unit, "angle_deg");
    if (heading.name == "torque") torque_ = static_cast<int>(c), newton_metres_ = unit_of_heading<Torque>(c, heading.unit, "torque_Nm");
  }
  for (const auto& [column, name] : {std::pair{bolt_, "bolt"}, std::pair{angle_, "angle"}, std::pair{torque_, "torque"}})
    if (column < 0) refuse({csv_.source, 1, 1, {}}, std::string("there is no column for ") + name, "bolt,angle_deg,torque_Nm");
}

void LogReader::read_row(std::size_t row) {
  constexpr double kMostBolts = 500, kMostAngle = 1e5, kMostTorque = 1e5;
  const auto bolt = number(row, bolt_, 1, kMostBolts, "bolt");
  const auto angle = number(row, angle_, -kMostAngle, kMostAngle, "angle");
  const auto torque = number(row, torque_, -kMostTorque, kMostTorque, "torque");
  if (!bolt || !angle || !torque) return;
  if (*bolt != std::floor(*bolt)) {
    refuse(csv_.place(row, static_cast<std::size_t>(bolt_)), "a bolt's number is whole", "1, 2, 3");
    return;
  }
  BoltTrace& trace = traces_[static_cast<int>(*bolt)];
  trace.bolt = static_cast<int>(*bolt);
  const double degrees = *angle * degrees_;
  if (!trace.angle_deg.empty() && !(degrees >= trace.angle_deg.back())) {
    refuse(csv_.place(row, static_cast<std::size_t>(angle_)), fmt::format("the angle of bolt {} goes back", trace.bolt),
           "rows of one bolt in the order they were turned, angle rising");
    return;
  }
  trace.angle_deg.push_back(degrees);
  trace.torque_Nm.push_back(*torque * newton_metres_);
}

double fitted_slope(const BoltTrace& t, std::size_t begin, std::size_t end) {
  double n = 0, sx = 0, sy = 0;
  for (std::size_t i = begin; i < end; ++i) n += 1, sx += t.angle_deg[i], sy += t.torque_Nm[i];
  double sxx = 0, sxy = 0;
  for (std::size_t i = begin; i < end; ++i) {
    sxx += (t.angle_deg[i] - sx / n) * (t.angle_deg[i] - sx / n);
    sxy += (t.angle_deg[i] - sx / n) * (t.torque_Nm[i] - sy / n);
  }
  return sxx > 0 ? sxy / sxx : 0;
}

/// Slope over the window that ends at every point; not-a-number before the first full window.
std::vector<double> trailing_slopes(const BoltTrace& t, double window) {
  std::vector<double> slopes(t.angle_deg.size(), std::nan(""));
  std::size_t begin = 0;
  for (std::size_t i = 0; i < slopes.size(); ++i) {
    while (t.angle_deg[i] - t.angle_deg[begin] > window && t.angle_deg[i] - t.angle_deg[begin + 1] >= window) ++begin;
    if (t.angle_deg[i] - t.angle_deg[begin] >= window * (1 - 1e-9)) slopes[i] = fitted_slope(t, begin, i + 1);
  }
  return slopes;
}

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

/// The straight part's slope: reached or passed by one tenth of all windows.
std::optional<double> straight_slope(const std::vector<double>& slopes) {
  std::vector<double> valid;
  std::copy_if(slopes.begin(), slopes.end(), std::back_inserter(valid), [](double s) { return std::isfinite(s); });
  if (valid.empty()) return std::nullopt;
  const auto at = valid.begin() + static_cast<std::ptrdiff_t>(0.9 * static_cast<double>(valid.size() - 1));
  std::nth_element(valid.begin(), at, valid.end());
  return *at > 0 ? std::optional(*at) : std::nullopt;
}

/// First point behind which a whole window is about as steep as the straight part.
std::optional<std::size_t> snug_point(const BoltTrace& t, const std::vector<double>& slopes, double straight, double window) {
  constexpr double kAboutAsSteep = 0.75;
  for (std::size_t i = 0; i < slopes.size(); ++i) {
    if (!(slopes[i] >= kAboutAsSteep * straight)) continue;
    const auto begin = std::find_if(t.angle_deg.begin(), t.angle_deg.end(), [&](double a) { return a >= t.angle_deg[i] - window; });
    return static_cast<std::size_t>(begin - t.angle_deg.begin());
  }
  return std::nullopt;
}

/// First point from which the slope stays below its share of the greatest slope before, for a window or to the end of the trace;
/// `greatest` is the slope known from earlier strokes.
std::optional<std::size_t> yield_point(const BoltTrace& t, const std::vector<double>& slopes, std::size_t snug, double window, double share,
                                       double greatest) {
  for (std::size_t i = snug; i < slopes.size(); ++i) {
    if (!std::isfinite(slopes[i]) || t.angle_deg[i] - t.angle_deg[snug] < window) continue;
    greatest = std::max(greatest, slopes[i]);
    if (!(slopes[i] < share * greatest)) continue;
    std::size_t j = i;
    while (j < slopes.size() && slopes[j] < share * greatest && t.angle_deg[j] - t.angle_deg[i] < window) ++j;
    const bool lasted = j < slopes.size() ? t.angle_deg[j] - t.angle_deg[i] >= window : t.angle_deg.back() - t.angle_deg[i] >= window / 4;
    if (lasted) return i;
  }
  return std::nullopt;
}

/// Friction, thread and head alike, that makes the lever; empty when none between 0.02 and 0.6 does.
std::optional<double> friction_of_lever(const Thread& thread, Length bearing, double lever_mm) {
  const auto excess = [&](double mu) { return newton_mm(tightening_torque(thread, {mu, mu}, bearing, from_newton(1))) - lever_mm; };
  constexpr double kLeast = 0.02, kMost = 0.6;
  if (!(excess(kLeast) <= 0) || !(excess(kMost) >= 0)) return std::nullopt;
  return numerics::bracketed_root(excess, kLeast, kMost, 1e-6).x;
}

/// Readings [begin, end) of a trace.
struct Span {
  std::size_t begin = 0;
  std::size_t end = 0;
};

/// First reading from `from` on whose torque reaches `torque`; the trace's size when none does.
std::size_t first_reaching(const BoltTrace& t, std::size_t from, double torque) {
  while (from < t.torque_Nm.size() && !(t.torque_Nm[from] >= torque)) ++from;
  return from;
}

/// Pulls of the wrench: one ends where the torque falls below half of the greatest so far, the next begins at 0.9 of that greatest, or at
/// all of it when that is reached within a window: the wrench winds up before the bolt turns. A fall that takes a window of turning and
/// several readings is no released wrench: the bolt gives way.
std::vector<Span> pulls_of(const BoltTrace& t, double window) {
  constexpr double kReleased = 0.5, kBack = 0.9, kNoise = 0.1;
  constexpr std::size_t kSlowFall = 3;
  const std::size_t size = t.torque_Nm.size();
  const double least = kNoise * *std::max_element(t.torque_Nm.begin(), t.torque_Nm.end());
  std::vector<Span> pulls;
  Span pull{0, size};
  double greatest = t.torque_Nm.front();
  std::size_t held = 0;  // last reading near the greatest
  for (std::size_t i = 1; i < size; ++i) {
    greatest = std::max(greatest, t.torque_Nm[i]);
    if (t.torque_Nm[i] >= kBack * greatest) held = i;
    if (greatest < least || !(t.torque_Nm[i] < kReleased * greatest)) continue;
    if (i - held >= kSlowFall && t.angle_deg[i] - t.angle_deg[held] >= window) continue;
    pulls.push_back({pull.begin, held + 1});
    pull.begin = first_reaching(t, i, kBack * greatest);
    if (pull.begin == size) return pulls;
    const std::size_t wound = first_reaching(t, pull.begin, greatest);
    if (wound < size && t.angle_deg[wound] - t.angle_deg[pull.begin] <= window) pull.begin = wound;
    i = held = pull.begin;
    greatest = std::max(greatest, t.torque_Nm[i]);
  }
  pulls.push_back(pull);
  return pulls;
}

/// The readings of one pull; where the angle stands still only the greatest torque, the one that turned the bolt.
BoltTrace stroke_of(const BoltTrace& t, Span pull) {
  BoltTrace stroke;
  stroke.bolt = t.bolt;
  for (std::size_t i = pull.begin; i < pull.end; ++i) {
    if (!stroke.angle_deg.empty() && t.angle_deg[i] <= stroke.angle_deg.back()) {
      stroke.torque_Nm.back() = std::max(stroke.torque_Nm.back(), t.torque_Nm[i]);
      continue;
    }
    stroke.angle_deg.push_back(t.angle_deg[i]);
    stroke.torque_Nm.push_back(t.torque_Nm[i]);
  }
  return stroke;
}

/// One pull of the wrench with the slope at each of its readings.
struct Stroke {
  BoltTrace trace;
  std::vector<double> slopes;
  [[nodiscard]] double turned() const { return trace.angle_deg.back() - trace.angle_deg.front(); }
};
std::vector<Stroke> strokes_of(const BoltTrace& t, double window) {
  std::vector<Stroke> strokes;
  for (const Span pull : pulls_of(t, window)) {
    BoltTrace stroke = stroke_of(t, pull);
    std::vector<double> slopes = trailing_slopes(stroke, window);
    strokes.push_back({std::move(stroke), std::move(slopes)});
  }
  return strokes;
}

/// The straight slope of all strokes' windows together.
std::optional<double> straight_slope_of(const std::vector<Stroke>& strokes) {
  std::vector<double> all;
  for (const Stroke& stroke : strokes) all.insert(all.end(), stroke.slopes.begin(), stroke.slopes.end());
  return straight_slope(all);
}

/// Slope to hold the last stroke against: the steepest of the earlier strokes that turned at least half as far, 0 without one. Shorter
/// ones, up to the first torque, say little of the straight part.
double slope_before(const std::vector<Stroke>& strokes) {
  double steepest = 0;
  for (std::size_t i = 0; i + 1 < strokes.size(); ++i)
    if (2 * strokes[i].turned() >= strokes.back().turned()) steepest = std::max(steepest, straight_slope(strokes[i].slopes).value_or(0));
  return steepest;
}

void read_snug(BoltReading& reading, const std::vector<Stroke>& strokes, double straight, double window) {
  for (const Stroke& stroke : strokes) {
    const auto snug = snug_point(stroke.trace, stroke.slopes, straight, window);
    if (!snug) continue;
    reading.snug_Nm = stroke.trace.torque_Nm[*snug];
    reading.snug_deg = stroke.trace.angle_deg[*snug];
    return;
  }
}

/// Slope of the straight part and yield, both of the last stroke; a last stroke without a straight part of its own borrows the slope.
void read_last_stroke(BoltReading& reading, const std::vector<Stroke>& strokes, const WrenchLogOptions& options, double straight) {
  const double window = options.window.degrees(), before = slope_before(strokes);
  const auto& [trace, slopes] = strokes.back();
  const auto own = straight_slope(slopes);
  const std::size_t snug = own ? snug_point(trace, slopes, *own, window).value_or(0) : 0;
  const auto yield = yield_point(trace, slopes, snug, window, options.yield_share, before);
  if (!own || *own < options.yield_share * before) {
    reading.slope_Nm_per_deg = before > 0 ? before : straight;
  } else {
    // The window that showed the yield reaches back into the straight part by its own length.
    std::size_t end = yield.value_or(trace.angle_deg.size());
    while (yield && end > snug + 3 && trace.angle_deg[end - 1] > trace.angle_deg[*yield] - window) --end;
    reading.slope_Nm_per_deg = fitted_slope(trace, snug, end);
  }
  if (!yield) return;
  reading.yield = true;
  reading.yield_deg = trace.angle_deg[*yield];
  reading.yield_Nm = trace.torque_Nm[*yield];
  reading.flag = BoltFlag::kYield;
  reading.why = fmt::format("From {} deg on the torque rises less than {} of its steepest.", number_text(*reading.yield_deg, 4),
                            number_text(options.yield_share, 2));
}

BoltReading read_one(const BoltTrace& trace, const WrenchLogOptions& options) {
  require(trace.angle_deg.size() == trace.torque_Nm.size(), "one torque for each angle");
  BoltReading reading;
  reading.bolt = trace.bolt;
  const double window = options.window.degrees();
  std::vector<Stroke> strokes;
  if (!trace.angle_deg.empty()) {
    strokes = strokes_of(trace, window);
    const BoltTrace& last = strokes.back().trace;
    reading.final_deg = last.angle_deg.back() - trace.angle_deg.front();
    reading.final_Nm = *std::max_element(last.torque_Nm.begin(), last.torque_Nm.end());
  }
  const std::optional<double> straight = straight_slope_of(strokes);
  if (!straight || trace.angle_deg.size() < 4) {
    reading.flag = BoltFlag::kShortTrace;
    reading.why = fmt::format("Too few readings, or no rise over {} deg of turning.", number_text(window, 3));
    return reading;
  }
  read_snug(reading, strokes, *straight, window);
  read_last_stroke(reading, strokes, options, *straight);
  if (options.thread && options.mean_bearing && options.preload_per_degree_N && *options.preload_per_degree_N > 0) {
    const double lever = *reading.slope_Nm_per_deg * 1e3 / *options.preload_per_degree_N;
    reading.friction = friction_of_lever(*options.thread, *options.mean_bearing, lever);
    if (reading.friction) reading.preload_kN = reading.final_Nm / lever;
  }
  return reading;
}

/// Marks bolts whose slope or final torque stands apart from the others'.
void mark_odd(std::vector<BoltReading>& readings, double share) {
  std::vector<double> slopes, torques;
  for (const BoltReading& r : readings)
    if (r.slope_Nm_per_deg) slopes.push_back(*r.slope_Nm_per_deg), torques.push_back(r.final_Nm);
  constexpr std::size_t kFewest = 3;
  if (slopes.size() < kFewest) return;
  const double slope = median(slopes), torque = median(torques);
  for (BoltReading& r : readings) {
    if (!r.slope_Nm_per_deg) continue;
    const double off_slope = *r.slope_Nm_per_deg / slope - 1, off_torque = r.final_Nm / torque - 1;
    const bool odd_slope = std::abs(off_slope) > share, odd_torque = std::abs(off_torque) > share;
    if (!odd_slope && !odd_torque) continue;
    const std::string odd = odd_slope ? fmt::format("Its torque rises {} % {} than the others'.", number_text(100 * std::abs(off_slope), 2),
                                                    off_slope > 0 ? "steeper" : "more slowly")
                                      : fmt::format("Its final torque is {} % {} the others'.", number_text(100 * std::abs(off_torque), 2),
                                                    off_torque > 0 ? "above" : "below");
    r.why = r.why.empty() ? odd : r.why + " " + odd;
    if (r.flag == BoltFlag::kNone) r.flag = BoltFlag::kOdd;
  }
}

}  // namespace

Result<std::vector<BoltTrace>> read_wrench_log(std::string_view text, const std::string& source) {
  const Result<Csv> csv = read_csv(text, source);
  if (!csv) return csv.problems();
  return LogReader(*csv).read();
}

std::vector<BoltReading> read_traces(const std::vector<BoltTrace>& traces, const WrenchLogOptions& options) {
  ask(options.window.degrees() > 0 && options.window.degrees() <= 45, "window", "above 0 deg, at most 45 deg");
  ask(options.yield_share > 0 && options.yield_share < 1, "yield_share", "between 0 and 1");
  ask(options.odd_share > 0 && options.odd_share < 1, "odd_share", "between 0 and 1");
  std::vector<BoltReading> readings;
  for (const BoltTrace& trace : traces) readings.push_back(read_one(trace, options));
  mark_odd(readings, options.odd_share);
  return readings;
}

}  // namespace headjoint::clamp
