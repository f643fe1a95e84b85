#include "headjoint/traces/internal/table_reader.h"

#include <algorithm>
#include <cstring>

#include "headjoint/base/text.h"
#include "headjoint/traces/internal/channel_collector.h"
#include "headjoint/traces/internal/table_columns.h"
#include "headjoint/traces/internal/time_grid.h"

namespace headjoint::traces {
namespace {

constexpr std::size_t kMostProblems = 20;
constexpr double kLongestGap_s = 600;
constexpr std::size_t kFirstRows = 4096;

class TableReader {
 public:
  TableReader(ByteWindow& window, const std::string& source, const ReadingWishes& wishes)
      : window_(window), source_(source), wishes_(wishes) {}

  Result<Recording> read() {
    const std::string_view begin = window_.look();
    if (begin.find('\0') != std::string_view::npos)
      return at_line(1, "the file is neither a WAV file nor plain text", "text in UTF-8, or WAV");
    if (!window_.is_last() && begin.find('\n') == std::string_view::npos) return no_line_end(1);
    if (auto problems = prepare(begin); !problems.empty()) return problems;
    window_.take(layout_.data_at);
    line_ = layout_.data_line;
    read_rows();
    if (!problems_.empty()) return problems_;
    flush();
    if (recording_.samples == 0) return at_line(layout_.data_line, "the table holds no samples", "rows of numbers");
    return finish();
  }

 private:
  Problem at_line(int line, const std::string& what, const std::string& allowed, const std::string& mend = {}) const {
    return {{source_, line, 0, {}}, what, allowed, mend};
  }
  Problem no_line_end(int line) const {
    return at_line(line, "no line end within a megabyte", "a table with one row a line, or a WAV file", "is this the right file?");
  }

  Problems prepare(std::string_view begin) {
    Result<TableLayout> layout = find_table_layout(begin, source_, separator());
    if (!layout) return layout.problems();
    layout_ = *layout;
    const std::vector<std::vector<std::string>> rows = first_rows(begin.substr(layout_.data_at));
    Result<TableColumns> columns = choose_columns(layout_, rows, source_, wishes_);
    if (!columns) return columns.problems();
    columns_ = *columns;
    if (columns_.time) {
      std::vector<double> times;
      for (const auto& row : rows) times.push_back(time_of(row[*columns_.time]));
      grid_ = TimeGrid(times);
      day_s_ = 0;
      last_clock_s_ = -1;
    }
    recording_.rate_Hz = wishes_.rate_Hz ? *wishes_.rate_Hz : grid_ ? grid_->rate_Hz() : 0;
    if (!(recording_.rate_Hz > 0))
      return {at_line(layout_.data_line, "the times do not rise", "a column of rising times", "--rate \"1000 Hz\"")};
    for (const std::size_t wish : columns_.wishes) collectors_.emplace_back(wishes_, wishes_.channels[wish].is_pulse, recording_.rate_Hz);
    blocks_.resize(collectors_.size());
    recording_.envelope = Envelope(std::max<std::size_t>(wishes_.most_drawn, 1024));
    recording_.format = layout_.text();
    return {};
  }

  [[nodiscard]] std::optional<char> separator() const {
    if (wishes_.separator.empty()) return std::nullopt;
    if (wishes_.separator == "tab") return '\t';
    if (wishes_.separator == "space") return ' ';
    return wishes_.separator.front();
  }

  std::vector<std::vector<std::string>> first_rows(std::string_view text) const {
    std::vector<std::vector<std::string>> rows;
    std::vector<std::string_view> cells;
    while (rows.size() < kFirstRows && !text.empty()) {
      const std::size_t end = text.find('\n');
      if (end == std::string_view::npos && !rows.empty()) break;
      const std::string_view line = text.substr(0, end);
      if (!is_no_row(line)) {
        split_row(line, layout_.separator, cells);
        if (cells.size() == layout_.columns) rows.emplace_back(cells.begin(), cells.end());
      }
      text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
    }
    return rows;
  }

  double time_of(std::string_view cell) {
    if (!columns_.is_clock) return scan_number(cell.data(), cell.data() + cell.size(), layout_.decimal_mark).value * columns_.time_factor;
    const auto clock = clock_seconds(cell);
    if (!clock) return std::numeric_limits<double>::quiet_NaN();
    constexpr double kDay_s = 86400;
    if (*clock < kDay_s && last_clock_s_ - *clock > kDay_s / 2) day_s_ += kDay_s;  // a clock without date past midnight
    last_clock_s_ = *clock;
    return *clock + day_s_;
  }

  void read_rows() {
    for (;;) {
      std::string_view text = window_.look();
      std::size_t done = 0;
      while (const void* found = std::memchr(text.data() + done, '\n', text.size() - done)) {
        const std::size_t end = static_cast<std::size_t>(static_cast<const char*>(found) - text.data());
        take_line(text.substr(done, end - done), false);
        done = end + 1;
        ++line_;
        if (problems_.size() >= kMostProblems || is_broken_) return;
      }
      if (window_.is_stopped()) return;
      if (window_.is_last()) {
        if (done < text.size()) take_line(text.substr(done), true);
        window_.take(text.size());
        return;
      }
      if (done == 0) {
        problems_.push_back(no_line_end(line_));
        return;
      }
      window_.take(done);
    }
  }

  void take_line(std::string_view line, bool is_cut) {
    if (line.empty() || line.front() == '#' || line.front() == '%' || is_no_row(line)) return;
    split_row(line, layout_.separator, cells_);
    if (cells_.size() != layout_.columns && !(cells_.size() == layout_.columns + 1 && trimmed(cells_.back()).empty())) {
      if (is_cut) return note_cut();
      problems_.push_back(
          at_line(line_, "the row has " + std::to_string(cells_.size()) + " cells, the rows above " + std::to_string(layout_.columns),
                  std::to_string(layout_.columns) + " cells"));
      return;
    }
    if (columns_.time && !take_time(cells_[*columns_.time], is_cut)) return;
    for (std::size_t i = 0; i < collectors_.size(); ++i) {
      const std::string_view cell = cells_[columns_.wanted[i]];
      const CellValue value = scan_number(cell.data(), cell.data() + cell.size(), layout_.decimal_mark);
      if (value.kind == CellKind::kText)
        problems_.push_back({{source_, line_, static_cast<int>(columns_.wanted[i]) + 1, {}},
                             "\"" + std::string(trimmed(cell)) + "\" is not a number",
                             layout_.decimal_mark == ',' ? "numbers with a decimal comma" : "numbers with a decimal point",
                             {}});
      blocks_[i].push_back(static_cast<float>(value.value * columns_.scales[i].factor + columns_.scales[i].offset));
    }
    ++recording_.samples;
    if (blocks_.front().size() >= kFirstRows) flush();
  }

  void note_cut() {
    recording_.is_truncated = true;
    recording_.notes.push_back("the file ends inside a row: read to its last whole row, " + std::to_string(recording_.samples));
  }

  /// @returns whether the row counts
  bool take_time(std::string_view cell, bool is_cut) {
    const double before = last_time_s_, time = time_of(cell);
    if (std::isnan(time)) return true;
    const TimeGrid::Step step = grid_->step_to(time);
    if (step.kind == TimeGrid::Step::Kind::kBack) {
      if (is_cut) return note_cut(), false;
      problems_.push_back(at_line(line_, "the clock goes back: " + number_text(time, 9) + " s after " + number_text(before, 9) + " s",
                                  "times that rise", "cut the file at this line and read both parts"));
      is_broken_ = true;
      return false;
    }
    last_time_s_ = time;
    if (step.kind == TimeGrid::Step::Kind::kSame) return false;
    if (step.missing == 0) return true;
    const double length = static_cast<double>(step.missing) / recording_.rate_Hz;
    if (length > kLongestGap_s) {
      problems_.push_back(
          at_line(line_, "the clock jumps by " + number_text(length, 3) + " s", "gaps below 10 min", "cut the file at this line"));
      is_broken_ = true;
      return false;
    }
    add_missing(step.missing, length);
    return true;
  }

  void add_missing(std::uint64_t missing, double length_s) {
    constexpr std::uint64_t kWorthATelling = 3;
    flush();
    if (missing >= kWorthATelling) recording_.gaps.push_back({static_cast<double>(on_grid_) / recording_.rate_Hz, length_s});
    const std::vector<float> nothing(static_cast<std::size_t>(std::min<std::uint64_t>(missing, kFirstRows)),
                                     std::numeric_limits<float>::quiet_NaN());
    for (ChannelCollector& collector : collectors_) collector.add_missing(missing);
    for (std::uint64_t left = missing; left > 0;) {
      const std::size_t now = static_cast<std::size_t>(std::min<std::uint64_t>(left, nothing.size()));
      recording_.envelope.add({nothing.data(), now});
      left -= now;
    }
    on_grid_ += missing;
  }

  void flush() {
    for (std::size_t i = 0; i < collectors_.size(); ++i) {
      collectors_[i].add(blocks_[i]);
      if (i == 0) recording_.envelope.add(blocks_[i]);
      if (i == 0) on_grid_ += blocks_[i].size();
      blocks_[i].clear();
    }
  }

  Result<Recording> finish() {
    for (std::size_t i = 0; i < collectors_.size(); ++i) {
      Channel channel = collectors_[i].finish();
      channel.wish = columns_.wishes[i];
      channel.name = columns_.names[i];
      channel.unit = columns_.scales[i].unit;
      if (!columns_.scales[i].note.empty()) recording_.notes.push_back(channel.name + ": " + columns_.scales[i].note);
      recording_.channels.push_back(std::move(channel));
    }
    if (grid_ && grid_->is_coarse())
      recording_.notes.emplace_back("times are written too coarsely to tell the samples apart: they are taken as evenly spaced");
    return std::move(recording_);
  }

  ByteWindow& window_;
  const std::string& source_;
  const ReadingWishes& wishes_;
  TableLayout layout_;
  TableColumns columns_;
  std::optional<TimeGrid> grid_;
  std::vector<ChannelCollector> collectors_;
  std::vector<std::vector<float>> blocks_;
  std::vector<std::string_view> cells_;
  Recording recording_;
  Problems problems_;
  int line_ = 1;
  bool is_broken_ = false;
  std::uint64_t on_grid_ = 0;
  double last_time_s_ = 0;
  double day_s_ = 0;
  double last_clock_s_ = -1;
};

}  // namespace

Result<Recording> read_table(ByteWindow& window, const std::string& source, const ReadingWishes& wishes) {
  return TableReader(window, source, wishes).read();
}

}  // namespace headjoint::traces
