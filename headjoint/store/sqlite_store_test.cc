#include "headjoint/store/sqlite_store.h"

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
using jobs::DocumentStore;
using Kind = DocumentStore::Kind;
using Status = DocumentStore::Outcome::Status;
using testing::HasSubstr;

constexpr int kThreads = 4;
constexpr int kSavesPerThread = 25;

Document job_document(const std::string& number, const std::string& title = "runs hot") {
  return Table{{"format", 1}, {"number", number}, {"title", title}, {"engine", Table{{"name", "four in line"}}}};
}

std::string make(DocumentStore& store, const Document& document) { return store.create(Kind::kJob, document, {}).id; }

DocumentStore::Outcome save(DocumentStore& store, const std::string& id, int expected_revision, const Document& document,
                            const std::string& note) {
  return store.save(Kind::kJob, id, expected_revision, document, {note, {}, {}});
}

std::vector<DocumentStore::Row> all_jobs(DocumentStore& store) { return store.list(Kind::kJob, {}).rows; }

class SqliteStoreTest : public testing::Test {
 protected:
  SqliteStoreTest() {
    std::string pattern = (fs::temp_directory_path() / "headjoint-store-XXXXXX").string();
    folder_ = ::mkdtemp(pattern.data());
  }
  ~SqliteStoreTest() override {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
  }

  [[nodiscard]] std::string path() const { return (folder_ / "jobs.db").string(); }

  [[nodiscard]] std::unique_ptr<SqliteStore> open() const {
    return std::make_unique<SqliteStore>(path(), [this] { return now_; });
  }

  /// The kind of failure that opening ends with; its text in `said`.
  EnvironmentError::Kind failure_of_opening(const std::string& file, std::string& said) const {
    try {
      const SqliteStore store(file);
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

TEST_F(SqliteStoreTest, WhatWasKeptComesBackWithItsRevisionAndTime) {
  const auto store = open();
  const std::string id = make(*store, job_document("0117"));
  const auto stored = store->get(Kind::kJob, id);
  ASSERT_TRUE(stored);
  EXPECT_EQ(stored->id, id);
  EXPECT_EQ(stored->revision, 1);
  EXPECT_EQ(stored->changed_at, "2026-11-18T08:26:40Z");
  EXPECT_EQ(stored->document(), job_document("0117"));
}

TEST_F(SqliteStoreTest, TextsOfAnyLanguageBlanksAndNothingSurvive) {
  const auto store = open();
  const Document document = Table{{"title", "Zylinderkopf, größer 0,05 mm; 缸盖; it's \"so\"; '; DROP TABLE job; --"},
                                  {"values", Array{"12.1 bar", "", Document(nullptr), 0.1, 7, true}},
                                  {"empty", Table{}}};
  EXPECT_EQ(store->get(Kind::kJob, make(*store, document))->document(), document);
}

TEST_F(SqliteStoreTest, AnUnknownIdIsNoError) {
  const auto store = open();
  EXPECT_FALSE(store->get(Kind::kJob, "0000000"));
  EXPECT_FALSE(store->get_revision(Kind::kJob, "0000000", 1));
  EXPECT_TRUE(store->history(Kind::kJob, "0000000", 0, 1000).empty());
  EXPECT_EQ(save(*store, "0000000", 1, job_document("1"), "").status, Status::kMissing);
  EXPECT_EQ(store->revert(Kind::kJob, "' OR 1=1 --", 1, {}).status, Status::kMissing);
}

TEST_F(SqliteStoreTest, IdsAreShortDifferentAndSortByTheTimeOfMaking) {
  const auto store = open();
  std::vector<std::string> ids;
  for (int i = 0; i < 20; ++i) {
    ids.push_back(make(*store, job_document("1")));
    if (i % 5 == 0) now_ += std::chrono::hours(1);
    if (i == 12) now_ -= std::chrono::hours(48);  // a clock that was put right
  }
  EXPECT_TRUE(std::is_sorted(ids.begin(), ids.end()));
  EXPECT_EQ(std::set<std::string>(ids.begin(), ids.end()).size(), ids.size());
  for (const std::string& id : ids) EXPECT_EQ(id.size(), 7U);
}

TEST_F(SqliteStoreTest, ASaveOnTheLatestRevisionMakesTheNext) {
  const auto store = open();
  const std::string id = make(*store, job_document("0117"));
  const auto outcome = save(*store, id, 1, job_document("0117", "head off"), "head off");
  EXPECT_EQ(outcome.status, Status::kDone);
  ASSERT_TRUE(outcome.stored);
  EXPECT_EQ(outcome.stored->revision, 2);
  EXPECT_EQ(store->get(Kind::kJob, id)->document(), job_document("0117", "head off"));
  EXPECT_EQ(store->get_revision(Kind::kJob, id, 1)->json, write_json(job_document("0117"), -1));
}

TEST_F(SqliteStoreTest, ASaveOnAnOlderRevisionIsAConflictThatShowsTheLatest) {
  const auto store = open();
  const std::string id = make(*store, job_document("0117"));
  (void)save(*store, id, 1, job_document("0117", "first editor"), "");
  const auto outcome = save(*store, id, 1, job_document("0117", "second editor"), "");
  EXPECT_EQ(outcome.status, Status::kConflict);
  ASSERT_TRUE(outcome.stored);
  EXPECT_EQ(outcome.stored->document(), job_document("0117", "first editor"));
  EXPECT_EQ(store->history(Kind::kJob, id, 0, 1000).size(), 2U);
}

TEST_F(SqliteStoreTest, ARevisionFromTheFutureIsAConflict) {
  const auto store = open();
  const std::string id = make(*store, job_document("0117"));
  for (const int revision : {-1, 0, 2, std::numeric_limits<int>::max()}) {
    EXPECT_EQ(save(*store, id, revision, job_document("0117"), "").status, Status::kConflict) << revision;
  }
}

TEST_F(SqliteStoreTest, ARepeatedSaveAnswersTheRevisionThatTheFirstMade) {
  const auto store = open();
  const std::string id = make(*store, job_document("0117"));
  const auto first = save(*store, id, 1, job_document("0117", "a"), "note");
  const auto again = save(*store, id, 1, job_document("0117", "a"), "note");
  EXPECT_EQ(again.status, Status::kDone);
  EXPECT_EQ(again.stored->revision, first.stored->revision);
  (void)save(*store, id, 2, job_document("0117", "b"), "");
  EXPECT_EQ(save(*store, id, 1, job_document("0117", "a"), "note").stored->revision, 2) << "also when work went on meanwhile";
  EXPECT_EQ(store->history(Kind::kJob, id, 0, 1000).size(), 3U);
}

TEST_F(SqliteStoreTest, HistoryTellsEveryRevisionLatestFirstWithWhatItWasBefore) {
  const auto store = open();
  const std::string id = make(*store, job_document("0117"));
  now_ += std::chrono::minutes(5);
  (void)store->save(Kind::kJob, id, 1, job_document("0117", "b"), {"compression typed", "Ödön", "s1"});
  const auto history = store->history(Kind::kJob, id, 0, 1000);
  ASSERT_EQ(history.size(), 2U);
  EXPECT_EQ(history[0].revision, 2);
  EXPECT_EQ(history[0].note, "compression typed");
  EXPECT_EQ(history[0].who, "Ödön");
  EXPECT_EQ(history[0].act, "saved");
  EXPECT_EQ(history[0].changed_at, "2026-11-18T08:31:40Z");
  EXPECT_EQ(history[0].json, write_json(job_document("0117", "b"), -1));
  EXPECT_EQ(history[0].before, write_json(job_document("0117"), -1));
  EXPECT_EQ(history[1].act, "opened");
  EXPECT_EQ(history[1].before, "");
  EXPECT_EQ(store->history(Kind::kJob, id, 2, 1000).size(), 1U) << "older than revision 2";
  EXPECT_EQ(store->history(Kind::kJob, id, 0, 1).size(), 1U);
}

TEST_F(SqliteStoreTest, GoingBackIsANewRevisionAndLosesNothing) {
  const auto store = open();
  const std::string id = make(*store, job_document("0117", "a"));
  (void)save(*store, id, 1, job_document("0117", "b"), "");
  const auto outcome = store->revert(Kind::kJob, id, 1, {});
  EXPECT_EQ(outcome.status, Status::kDone);
  EXPECT_EQ(outcome.stored->revision, 3);
  EXPECT_EQ(store->get(Kind::kJob, id)->document(), job_document("0117", "a"));
  EXPECT_EQ(store->get_revision(Kind::kJob, id, 2)->json, write_json(job_document("0117", "b"), -1));
  EXPECT_EQ(store->revert(Kind::kJob, id, 1, {}).stored->revision, 3) << "repeated: nothing to do";
  EXPECT_EQ(store->revert(Kind::kJob, id, 9, {}).status, Status::kMissing);
}

TEST_F(SqliteStoreTest, TheListShowsTheLastChangedJobFirst) {
  const auto store = open();
  const std::string first = make(*store, job_document("1"));
  const std::string second = make(*store, job_document("2"));
  EXPECT_EQ(all_jobs(*store).front().id, second);
  (void)save(*store, first, 1, job_document("1", "warped"), "");
  const auto list = all_jobs(*store);
  ASSERT_EQ(list.size(), 2U);
  EXPECT_EQ(list[0].id, first);
  EXPECT_EQ(list[0].revision, 2);
  EXPECT_EQ(list[0].shown, R"({"number":"1","title":"warped","engine":"four in line","owner":"","opened":""})");
}

TEST_F(SqliteStoreTest, FourThreadsThatSaveTheSameJobLoseNothing) {
  const auto store = open();
  const std::string id = make(*store, job_document("0117"));
  std::atomic<int> saved = 0;
  std::vector<std::thread> threads;
  for (int t = 0; t < kThreads; ++t) {
    threads.emplace_back([&, t] {
      for (int i = 0; i < kSavesPerThread;) {
        const int revision = store->get(Kind::kJob, id)->revision;
        const std::string title = std::to_string(t) + "-" + std::to_string(i);
        if (save(*store, id, revision, job_document("0117", title), title).status != Status::kDone) continue;
        ++i;
        ++saved;
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(saved, kThreads * kSavesPerThread);
  const auto history = store->history(Kind::kJob, id, 0, 1000);
  ASSERT_EQ(history.size(), static_cast<std::size_t>(saved) + 1);
  std::set<std::string> notes;
  for (std::size_t i = 0; i < history.size(); ++i) {
    EXPECT_EQ(history[i].revision, static_cast<int>(history.size() - i));
    notes.insert(history[i].note);
  }
  EXPECT_EQ(notes.size(), history.size()) << "every save is there once";
}

TEST_F(SqliteStoreTest, TwoProgramsMayHoldTheSameFile) {
  const auto one = open();
  const auto two = open();
  const std::string id = make(*one, job_document("0117"));
  EXPECT_EQ(save(*two, id, 1, job_document("0117", "from the other"), "").status, Status::kDone);
  EXPECT_EQ(one->get(Kind::kJob, id)->document(), job_document("0117", "from the other"));
}

TEST_F(SqliteStoreTest, WhatWasAnsweredIsThereAfterTheProgramWasKilled) {
  int pipe_ends[2];
  ASSERT_EQ(::pipe(pipe_ends), 0);
  const pid_t child = ::fork();
  if (child == 0) {
    try {
      SqliteStore store(path());
      const std::string id = make(store, job_document("0117"));
      for (int revision = 1; revision < 10; ++revision) (void)save(store, id, revision, job_document("0117", std::to_string(revision)), "");
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
  EXPECT_EQ(store->get(Kind::kJob, id)->revision, 10);
  EXPECT_EQ(store->get(Kind::kJob, id)->document(), job_document("0117", "9"));
  EXPECT_TRUE(store->integrity_problems().empty());
}

TEST_F(SqliteStoreTest, ATornLogLosesAtMostTheChangeThatWasBeingWritten) {
  {
    const auto store = open();
    const std::string id = make(*store, job_document("0117"));
    (void)save(*store, id, 1, job_document("0117", "last"), "");
    fs::copy(path(), folder_ / "torn.db");
    fs::copy(path() + "-wal", folder_ / "torn.db-wal");
  }
  const auto size = fs::file_size(folder_ / "torn.db-wal");
  fs::resize_file(folder_ / "torn.db-wal", size - 100);
  SqliteStore store((folder_ / "torn.db").string());
  ASSERT_EQ(all_jobs(store).size(), 1U);
  EXPECT_EQ(all_jobs(store).front().revision, 1);
  EXPECT_TRUE(store.integrity_problems().empty());
}

TEST_F(SqliteStoreTest, RowsOfTheHistoryCannotBeChangedNorRemoved) {
  if (!has_sqlite_command()) GTEST_SKIP() << "skipped: no sqlite3 command";
  {
    const auto store = open();
    (void)store->add_photo(make(*store, job_document("0117")), {"jpeg", "image/jpeg", 1, 1}, {});
  }
  for (const char* sql : {"UPDATE revision SET note = 'x'", "DELETE FROM revision", "DELETE FROM photo"}) {
    EXPECT_NE(std::system(("sqlite3 '" + path() + "' \"" + sql + "\" > /dev/null 2>&1").c_str()), 0) << sql;
  }
  EXPECT_EQ(all_jobs(*open()).size(), 1U);
}

TEST_F(SqliteStoreTest, ABaseOfANewerProgramIsRefusedAndLeftAlone) {
  if (!has_sqlite_command()) GTEST_SKIP() << "skipped: no sqlite3 command";
  (void)make(*open(), job_document("0117"));
  run_sql("PRAGMA user_version = 99");
  std::string said;
  EXPECT_EQ(failure_of_opening(path(), said), EnvironmentError::Kind::kConfiguration);
  EXPECT_THAT(said, HasSubstr("newer"));
  run_sql("PRAGMA user_version = 2");
  EXPECT_EQ(all_jobs(*open()).size(), 1U);
}

TEST_F(SqliteStoreTest, ABaseOfAnotherProgramIsRefused) {
  if (!has_sqlite_command()) GTEST_SKIP() << "skipped: no sqlite3 command";
  run_sql("CREATE TABLE music (title TEXT)");
  std::string said;
  EXPECT_EQ(failure_of_opening(path(), said), EnvironmentError::Kind::kConfiguration);
  EXPECT_THAT(said, HasSubstr("another program"));
}

TEST_F(SqliteStoreTest, AFileThatIsNoDatabaseIsRefusedAndLeftAlone) {
  std::ofstream(path()) << std::string(5000, 'x');
  std::string said;
  EXPECT_EQ(failure_of_opening(path(), said), EnvironmentError::Kind::kInputOutput);
  EXPECT_THAT(said, HasSubstr("not a database, or damaged"));
  EXPECT_EQ(fs::file_size(path()), 5000U);
}

TEST_F(SqliteStoreTest, DamagedPagesAreReportedNotAnswered) {
  {
    const auto store = open();
    for (int i = 0; i < 40; ++i) (void)make(*store, job_document(std::to_string(i), std::string(2000, 'a')));
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
        (void)all_jobs(*store);
      },
      EnvironmentError);
}

TEST_F(SqliteStoreTest, AFolderThatIsNotThereIsNamed) {
  std::string said;
  EXPECT_EQ(failure_of_opening((folder_ / "nowhere" / "jobs.db").string(), said), EnvironmentError::Kind::kNoSuchFile);
  EXPECT_THAT(said, HasSubstr("nowhere"));
}

TEST_F(SqliteStoreTest, AFolderThatMayNotBeWrittenIsAnErrorInWords) {
  if (::geteuid() == 0) GTEST_SKIP() << "skipped: the superuser may write everywhere";
  ASSERT_EQ(::chmod(folder_.c_str(), 0500), 0);
  std::string said;
  EXPECT_EQ(failure_of_opening(path(), said), EnvironmentError::Kind::kInputOutput);
  ASSERT_EQ(::chmod(folder_.c_str(), 0700), 0);
}

TEST_F(SqliteStoreTest, APlaceWhereNoFileCanBeMadeIsAnErrorInWords) {
  std::string said;
  EXPECT_EQ(failure_of_opening("/proc/jobs.db", said), EnvironmentError::Kind::kInputOutput);
  EXPECT_THAT(said, HasSubstr("/proc/jobs.db"));
}

}  // namespace
}  // namespace headjoint::store
