#include "headjoint/store/sqlite_job_store.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <atomic>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <set>
#include <thread>

#include "headjoint/base/error.h"

namespace headjoint::store {
namespace {

namespace fs = std::filesystem;
using jobs::JobStore;
using Status = JobStore::SaveOutcome::Status;
using testing::HasSubstr;

constexpr int kThreads = 4;
constexpr int kSavesPerThread = 25;

Document job_document(const std::string& number, const std::string& title = "runs hot") {
  return Table{{"format", 1}, {"number", number}, {"title", title}, {"engine", Table{{"name", "four in line"}}}};
}

class SqliteJobStoreTest : public testing::Test {
 protected:
  SqliteJobStoreTest() {
    std::string pattern = (fs::temp_directory_path() / "headjoint-store-XXXXXX").string();
    folder_ = ::mkdtemp(pattern.data());
  }
  ~SqliteJobStoreTest() override {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
  }

  [[nodiscard]] std::string path() const { return (folder_ / "jobs.db").string(); }

  [[nodiscard]] std::unique_ptr<SqliteJobStore> open() const {
    return std::make_unique<SqliteJobStore>(path(), [this] { return now_; });
  }

  /// The kind of failure that opening ends with; its text in `said`.
  EnvironmentError::Kind failure_of_opening(const std::string& file, std::string& said) const {
    try {
      const SqliteJobStore store(file);
    } catch (const EnvironmentError& error) {
      said = error.what();
      return error.kind();
    }
    ADD_FAILURE() << "opened " << file;
    return EnvironmentError::Kind::kUnavailable;
  }

  /// Runs SQL with the database's own command, as a stranger would.
  void run_sql(const std::string& sql) const {
    ASSERT_EQ(std::system(("sqlite3 '" + path() + "' \"" + sql + "\" > /dev/null 2>&1").c_str()), 0) << sql;
  }
  static bool has_sqlite_command() { return std::system("command -v sqlite3 > /dev/null 2>&1") == 0; }

  fs::path folder_;
  std::chrono::system_clock::time_point now_ = std::chrono::system_clock::from_time_t(1'794'990'400);  // 2026-11-18T08:26:40Z
};

TEST_F(SqliteJobStoreTest, WhatWasKeptComesBackWithItsRevisionAndTime) {
  const auto store = open();
  const std::string id = store->create(job_document("0117"));
  const auto stored = store->get(id);
  ASSERT_TRUE(stored);
  EXPECT_EQ(stored->id, id);
  EXPECT_EQ(stored->revision, 1);
  EXPECT_EQ(stored->changed_at, "2026-11-18T08:26:40Z");
  EXPECT_EQ(stored->document, job_document("0117"));
}

TEST_F(SqliteJobStoreTest, TextsOfAnyLanguageBlanksAndNothingSurvive) {
  const auto store = open();
  const Document document = Table{{"title", "Zylinderkopf, größer 0,05 mm; 缸盖; it's \"so\"; '; DROP TABLE job; --"},
                                  {"values", Array{"12.1 bar", "", Document(nullptr), 0.1, 7, true}},
                                  {"empty", Table{}}};
  EXPECT_EQ(store->get(store->create(document))->document, document);
}

TEST_F(SqliteJobStoreTest, AnUnknownIdIsNoError) {
  const auto store = open();
  EXPECT_FALSE(store->get("0000000"));
  EXPECT_FALSE(store->get_revision("0000000", 1));
  EXPECT_TRUE(store->history("0000000").empty());
  EXPECT_EQ(store->save("0000000", 1, job_document("1"), "").status, Status::kNoSuchJob);
  EXPECT_EQ(store->revert("' OR 1=1 --", 1).status, Status::kNoSuchJob);
}

TEST_F(SqliteJobStoreTest, IdsAreShortDifferentAndSortByTheTimeOfMaking) {
  const auto store = open();
  std::vector<std::string> ids;
  for (int i = 0; i < 20; ++i) {
    ids.push_back(store->create(job_document("1")));
    if (i % 5 == 0) now_ += std::chrono::hours(1);
    if (i == 12) now_ -= std::chrono::hours(48);  // a clock that was put right
  }
  EXPECT_TRUE(std::is_sorted(ids.begin(), ids.end()));
  EXPECT_EQ(std::set<std::string>(ids.begin(), ids.end()).size(), ids.size());
  for (const std::string& id : ids) EXPECT_EQ(id.size(), 7U);
}

TEST_F(SqliteJobStoreTest, ASaveOnTheLatestRevisionMakesTheNext) {
  const auto store = open();
  const std::string id = store->create(job_document("0117"));
  const auto outcome = store->save(id, 1, job_document("0117", "head off"), "head off");
  EXPECT_EQ(outcome.status, Status::kSaved);
  ASSERT_TRUE(outcome.stored);
  EXPECT_EQ(outcome.stored->revision, 2);
  EXPECT_EQ(store->get(id)->document, job_document("0117", "head off"));
  EXPECT_EQ(store->get_revision(id, 1)->document, job_document("0117"));
}

TEST_F(SqliteJobStoreTest, ASaveOnAnOlderRevisionIsAConflictThatShowsTheLatest) {
  const auto store = open();
  const std::string id = store->create(job_document("0117"));
  (void)store->save(id, 1, job_document("0117", "first editor"), "");
  const auto outcome = store->save(id, 1, job_document("0117", "second editor"), "");
  EXPECT_EQ(outcome.status, Status::kConflict);
  ASSERT_TRUE(outcome.stored);
  EXPECT_EQ(outcome.stored->document, job_document("0117", "first editor"));
  EXPECT_EQ(store->history(id).size(), 2U);
}

TEST_F(SqliteJobStoreTest, ARevisionFromTheFutureIsAConflict) {
  const auto store = open();
  const std::string id = store->create(job_document("0117"));
  for (const int revision : {-1, 0, 2, std::numeric_limits<int>::max()}) {
    EXPECT_EQ(store->save(id, revision, job_document("0117"), "").status, Status::kConflict) << revision;
  }
}

TEST_F(SqliteJobStoreTest, ARepeatedSaveAnswersTheRevisionThatTheFirstMade) {
  const auto store = open();
  const std::string id = store->create(job_document("0117"));
  const auto first = store->save(id, 1, job_document("0117", "a"), "note");
  const auto again = store->save(id, 1, job_document("0117", "a"), "note");
  EXPECT_EQ(again.status, Status::kSaved);
  EXPECT_EQ(again.stored->revision, first.stored->revision);
  (void)store->save(id, 2, job_document("0117", "b"), "");
  EXPECT_EQ(store->save(id, 1, job_document("0117", "a"), "note").stored->revision, 2) << "also when work went on meanwhile";
  EXPECT_EQ(store->history(id).size(), 3U);
}

TEST_F(SqliteJobStoreTest, HistoryTellsEveryRevisionOldestFirst) {
  const auto store = open();
  const std::string id = store->create(job_document("0117"));
  now_ += std::chrono::minutes(5);
  (void)store->save(id, 1, job_document("0117", "b"), "compression typed");
  const auto history = store->history(id);
  ASSERT_EQ(history.size(), 2U);
  EXPECT_EQ(history[0].revision, 1);
  EXPECT_EQ(history[1].note, "compression typed");
  EXPECT_EQ(history[1].changed_at, "2026-11-18T08:31:40Z");
}

TEST_F(SqliteJobStoreTest, GoingBackIsANewRevisionAndLosesNothing) {
  const auto store = open();
  const std::string id = store->create(job_document("0117", "a"));
  (void)store->save(id, 1, job_document("0117", "b"), "");
  const auto outcome = store->revert(id, 1);
  EXPECT_EQ(outcome.status, Status::kSaved);
  EXPECT_EQ(outcome.stored->revision, 3);
  EXPECT_EQ(store->get(id)->document, job_document("0117", "a"));
  EXPECT_EQ(store->get_revision(id, 2)->document, job_document("0117", "b"));
  EXPECT_EQ(store->revert(id, 1).stored->revision, 3) << "repeated: nothing to do";
  EXPECT_EQ(store->revert(id, 9).status, Status::kNoSuchJob);
}

TEST_F(SqliteJobStoreTest, TheListShowsTheLastChangedJobFirst) {
  const auto store = open();
  const std::string first = store->create(job_document("1"));
  const std::string second = store->create(job_document("2"));
  EXPECT_EQ(store->list().front().id, second);
  (void)store->save(first, 1, job_document("1", "warped"), "");
  const auto list = store->list();
  ASSERT_EQ(list.size(), 2U);
  EXPECT_EQ(list[0].id, first);
  EXPECT_EQ(list[0].revision, 2);
  EXPECT_EQ(list[0].number, "1");
  EXPECT_EQ(list[0].title, "warped");
  EXPECT_EQ(list[0].engine_name, "four in line");
}

TEST_F(SqliteJobStoreTest, FourThreadsThatSaveTheSameJobLoseNothing) {
  const auto store = open();
  const std::string id = store->create(job_document("0117"));
  std::atomic<int> saved = 0;
  std::vector<std::thread> threads;
  for (int t = 0; t < kThreads; ++t) {
    threads.emplace_back([&, t] {
      for (int i = 0; i < kSavesPerThread;) {
        const int revision = store->get(id)->revision;
        const std::string title = std::to_string(t) + "-" + std::to_string(i);
        if (store->save(id, revision, job_document("0117", title), title).status != Status::kSaved) continue;
        ++i;
        ++saved;
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(saved, kThreads * kSavesPerThread);
  const auto history = store->history(id);
  ASSERT_EQ(history.size(), static_cast<std::size_t>(saved) + 1);
  std::set<std::string> notes;
  for (std::size_t i = 0; i < history.size(); ++i) {
    EXPECT_EQ(history[i].revision, static_cast<int>(i) + 1);
    notes.insert(history[i].note);
  }
  EXPECT_EQ(notes.size(), history.size()) << "every save is there once";
}

TEST_F(SqliteJobStoreTest, TwoProgramsMayHoldTheSameFile) {
  const auto one = open();
  const auto two = open();
  const std::string id = one->create(job_document("0117"));
  EXPECT_EQ(two->save(id, 1, job_document("0117", "from the other"), "").status, Status::kSaved);
  EXPECT_EQ(one->get(id)->document, job_document("0117", "from the other"));
}

TEST_F(SqliteJobStoreTest, WhatWasAnsweredIsThereAfterTheProgramWasKilled) {
  int pipe_ends[2];
  ASSERT_EQ(::pipe(pipe_ends), 0);
  const pid_t child = ::fork();
  if (child == 0) {
    try {
      SqliteJobStore store(path());
      const std::string id = store.create(job_document("0117"));
      for (int revision = 1; revision < 10; ++revision) (void)store.save(id, revision, job_document("0117", std::to_string(revision)), "");
      if (::write(pipe_ends[1], id.data(), id.size()) > 0) ::raise(SIGKILL);
    } catch (...) {
    }
    ::_exit(1);
  }
  ::close(pipe_ends[1]);
  char id[8] = {};
  ASSERT_EQ(::read(pipe_ends[0], id, 7), 7);
  ::waitpid(child, nullptr, 0);
  ::close(pipe_ends[0]);
  ASSERT_GT(fs::file_size(path() + "-wal"), 0U) << "it was not closed";
  const auto store = open();
  EXPECT_EQ(store->get(id)->revision, 10);
  EXPECT_EQ(store->get(id)->document, job_document("0117", "9"));
  EXPECT_TRUE(store->integrity_problems().empty());
}

TEST_F(SqliteJobStoreTest, ATornLogLosesAtMostTheChangeThatWasBeingWritten) {
  {
    const auto store = open();
    const std::string id = store->create(job_document("0117"));
    (void)store->save(id, 1, job_document("0117", "last"), "");
    fs::copy(path(), folder_ / "torn.db");
    fs::copy(path() + "-wal", folder_ / "torn.db-wal");
  }
  const auto size = fs::file_size(folder_ / "torn.db-wal");
  fs::resize_file(folder_ / "torn.db-wal", size - 100);
  SqliteJobStore store((folder_ / "torn.db").string());
  ASSERT_EQ(store.list().size(), 1U);
  EXPECT_EQ(store.list().front().revision, 1);
  EXPECT_TRUE(store.integrity_problems().empty());
}

TEST_F(SqliteJobStoreTest, RowsOfTheHistoryCannotBeChangedNorRemoved) {
  if (!has_sqlite_command()) GTEST_SKIP() << "skipped: no sqlite3 command";
  (void)open()->create(job_document("0117"));
  for (const char* sql : {"UPDATE job_revision SET note = 'x'", "DELETE FROM job_revision"}) {
    EXPECT_NE(std::system(("sqlite3 '" + path() + "' \"" + sql + "\" > /dev/null 2>&1").c_str()), 0) << sql;
  }
  EXPECT_EQ(open()->list().size(), 1U);
}

TEST_F(SqliteJobStoreTest, ABaseOfANewerProgramIsRefusedAndLeftAlone) {
  if (!has_sqlite_command()) GTEST_SKIP() << "skipped: no sqlite3 command";
  (void)open()->create(job_document("0117"));
  run_sql("PRAGMA user_version = 99");
  std::string said;
  EXPECT_EQ(failure_of_opening(path(), said), EnvironmentError::Kind::kConfiguration);
  EXPECT_THAT(said, HasSubstr("newer"));
  run_sql("PRAGMA user_version = 1");
  EXPECT_EQ(open()->list().size(), 1U);
}

TEST_F(SqliteJobStoreTest, ABaseOfAnotherProgramIsRefused) {
  if (!has_sqlite_command()) GTEST_SKIP() << "skipped: no sqlite3 command";
  run_sql("CREATE TABLE music (title TEXT)");
  std::string said;
  EXPECT_EQ(failure_of_opening(path(), said), EnvironmentError::Kind::kConfiguration);
  EXPECT_THAT(said, HasSubstr("another program"));
}

TEST_F(SqliteJobStoreTest, AFileThatIsNoDatabaseIsRefusedAndLeftAlone) {
  std::ofstream(path()) << std::string(5000, 'x');
  std::string said;
  EXPECT_EQ(failure_of_opening(path(), said), EnvironmentError::Kind::kInputOutput);
  EXPECT_THAT(said, HasSubstr("not a database, or damaged"));
  EXPECT_EQ(fs::file_size(path()), 5000U);
}

TEST_F(SqliteJobStoreTest, DamagedPagesAreReportedNotAnswered) {
  {
    const auto store = open();
    for (int i = 0; i < 40; ++i) (void)store->create(job_document(std::to_string(i), std::string(2000, 'a')));
  }
  const auto size = fs::file_size(path());
  std::fstream file(path(), std::ios::in | std::ios::out | std::ios::binary);
  for (std::uintmax_t at = 4096; at + 4096 <= size; at += 4096) {
    file.seekp(static_cast<std::streamoff>(at));
    file << std::string(200, '\xff');
  }
  file.close();
  EXPECT_THROW(
      {
        const auto store = open();
        (void)store->list();
      },
      EnvironmentError);
}

TEST_F(SqliteJobStoreTest, AFolderThatIsNotThereIsNamed) {
  std::string said;
  EXPECT_EQ(failure_of_opening((folder_ / "nowhere" / "jobs.db").string(), said), EnvironmentError::Kind::kNoSuchFile);
  EXPECT_THAT(said, HasSubstr("nowhere"));
}

TEST_F(SqliteJobStoreTest, AFolderThatMayNotBeWrittenIsAnErrorInWords) {
  if (::geteuid() == 0) GTEST_SKIP() << "skipped: the superuser may write everywhere";
  ASSERT_EQ(::chmod(folder_.c_str(), 0500), 0);
  std::string said;
  EXPECT_EQ(failure_of_opening(path(), said), EnvironmentError::Kind::kInputOutput);
  ASSERT_EQ(::chmod(folder_.c_str(), 0700), 0);
}

TEST_F(SqliteJobStoreTest, APlaceWhereNoFileCanBeMadeIsAnErrorInWords) {
  std::string said;
  EXPECT_EQ(failure_of_opening("/proc/jobs.db", said), EnvironmentError::Kind::kInputOutput);
  EXPECT_THAT(said, HasSubstr("/proc/jobs.db"));
}

}  // namespace
}  // namespace headjoint::store
