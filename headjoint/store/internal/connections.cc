#include "headjoint/store/internal/connections.h"

#include <SQLiteCpp/Statement.h>

#include <algorithm>
#include <ctime>
#include <string_view>

namespace headjoint::store::internal {
namespace {

constexpr std::size_t kIdLength = 7;
constexpr std::string_view kIdDigits = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";  // without the letters that look like others
constexpr std::int64_t kIdEpoch = 1'704'067'200;                            // 2024-01-01 00:00:00 UTC, in seconds
constexpr std::size_t kMostReaders = 4;

std::int64_t seconds_of(std::chrono::system_clock::time_point time) {
  return std::chrono::duration_cast<std::chrono::seconds>(time.time_since_epoch()).count();
}

std::string id_text(std::int64_t number) {
  std::string text(kIdLength, kIdDigits.front());
  for (std::size_t i = kIdLength; i-- > 0; number /= 32) text[i] = kIdDigits[static_cast<std::size_t>(number % 32)];
  return text;
}

std::int64_t id_number(std::string_view text) {
  std::int64_t number = 0;
  for (const char digit : text) number = number * 32 + static_cast<std::int64_t>(kIdDigits.find(digit));
  return number;
}

}  // namespace

Connections::Connections(std::string path, Clock clock) : path_(std::move(path)), clock_(std::move(clock)) { open(); }

std::string Connections::now() const { return time_text(clock_()); }

void Connections::open() {
  refuse_network_file_system(path_);
  lock_.emplace(path_, StoreLock::Hold::kShared);
  in_words([&] {
    writer_ = std::make_unique<SQLite::Database>(open_base(path_));
    migrate(*writer_, path_, now());
    return 0;
  });
}

void Connections::close() {
  list_index_.clear();
  readers_.clear();
  writer_.reset();
  lock_.reset();
}

std::unique_ptr<SQLite::Database> Connections::take_reader() {
  const std::lock_guard lock(lending_);
  if (readers_.empty()) return std::make_unique<SQLite::Database>(open_reader(path_));
  std::unique_ptr<SQLite::Database> reader = std::move(readers_.back());
  readers_.pop_back();
  return reader;
}

void Connections::give_back(std::unique_ptr<SQLite::Database> reader) {
  const std::lock_guard lock(lending_);
  if (readers_.size() < kMostReaders) readers_.push_back(std::move(reader));
}

std::string Connections::next_id(SQLite::Database& base) const {
  std::int64_t number = std::max<std::int64_t>(0, seconds_of(clock_()) - kIdEpoch);
  SQLite::Statement greatest(base,
                             "SELECT max(id) FROM (SELECT max(id) AS id FROM document WHERE kind <> 'shop' UNION ALL "
                             "SELECT substr(max(id), 1, 7) FROM photo)");
  if (greatest.executeStep() && !greatest.getColumn(0).isNull())
    number = std::max(number, id_number(greatest.getColumn(0).getString()) + 1);
  return id_text(number);
}

std::string time_text(std::chrono::system_clock::time_point time) {
  const auto seconds = static_cast<std::time_t>(seconds_of(time));
  std::tm parts{};
  ::gmtime_r(&seconds, &parts);
  char text[32];
  return {text, std::strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%SZ", &parts)};
}

}  // namespace headjoint::store::internal
