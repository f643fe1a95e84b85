// Copies of the whole store, bringing one back, older schemas.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <thread>

#include "headjoint/base/error.h"
#include "headjoint/store/sqlite_store.h"

namespace headjoint::store {
namespace {

namespace fs = std::filesystem;
using jobs::DocumentStore;
using Kind = DocumentStore::Kind;
using testing::HasSubstr;

Document titled(const std::string& title) { return Table{{"number", "0117"}, {"title", title}}; }

class StoreCopiesTest : public testing::Test {
 protected:
  StoreCopiesTest() {
    std::string pattern = (fs::temp_directory_path() / "headjoint-store-XXXXXX").string();
    folder_ = ::mkdtemp(pattern.data());
  }
  ~StoreCopiesTest() override {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
  }
  [[nodiscard]] std::string in(const std::string& name) const { return (folder_ / name).string(); }

  /// The failure of `work` in words.
  template <class Work>
  static std::string said_by(Work work, EnvironmentError::Kind kind) {
    try {
      work();
    } catch (const EnvironmentError& error) {
      EXPECT_EQ(error.kind(), kind) << error.what();
      return error.what();
    }
    ADD_FAILURE() << "did not fail";
    return {};
  }

  /// As a program of schema 1 left it: two jobs, one of them with two revisions.
  void make_first_schema(const std::string& name) const {
    const std::string sql = std::string(HEADJOINT_SOURCE_DIR) + "/headjoint/store/schema_1.sql";
    ASSERT_EQ(std::system(("sqlite3 '" + in(name) + "' < '" + sql + "' > /dev/null").c_str()), 0);
  }
  static bool has_sqlite_command() { return std::system("command -v sqlite3 > /dev/null 2>&1") == 0; }

  fs::path folder_;
};

TEST_F(StoreCopiesTest, ACopyHoldsEverythingAndIsForItsOwnerAlone) {
  SqliteStore store(in("jobs.db"));
  const std::string id = store.create(Kind::kJob, titled("a"), {}).id;
  (void)store.add_photo(id, {"jpeg", "image/jpeg", 1, 1}, {});
  (void)store.save(Kind::kShop, "prices", 0, "hour = 80", {});
  store.copy_to(in("copy.db"));
  EXPECT_EQ(fs::status(in("copy.db")).permissions() & fs::perms::all, fs::perms::owner_read | fs::perms::owner_write);
  SqliteStore copy(in("copy.db"));
  EXPECT_EQ(copy.get(Kind::kJob, id)->document(), titled("a"));
  EXPECT_EQ(copy.photos(id, false).size(), 1U);
  EXPECT_EQ(copy.get(Kind::kShop, "prices")->document(), Document("hour = 80"));
  EXPECT_THAT(said_by([&] { store.copy_to(in("copy.db")); }, EnvironmentError::Kind::kInputOutput), HasSubstr("is there already"));
}

TEST_F(StoreCopiesTest, ACopyIsOneMomentWhileOthersWrite) {
  SqliteStore store(in("jobs.db"));
  const std::string id = store.create(Kind::kJob, titled("0"), {}).id;
  std::atomic<bool> goes_on = true;
  std::thread writer([&] {
    for (int i = 1; goes_on; ++i) (void)store.save(Kind::kJob, id, i, titled(std::to_string(i)), {});
  });
  for (int i = 0; i < 5; ++i) store.copy_to(in("copy" + std::to_string(i)));
  goes_on = false;
  writer.join();
  for (int i = 0; i < 5; ++i) EXPECT_TRUE(check_file(in("copy" + std::to_string(i))).problems.empty());
}

TEST_F(StoreCopiesTest, RestoringBringsTheCopyBackAndKeepsWhatWasThere) {
  SqliteStore store(in("jobs.db"));
  const std::string id = store.create(Kind::kJob, titled("when copied"), {}).id;
  store.copy_to(in("copy.db"));
  (void)store.save(Kind::kJob, id, 1, titled("later"), {});
  const std::string kept = store.restore_from(in("copy.db"));
  EXPECT_EQ(store.get(Kind::kJob, id)->document(), titled("when copied"));
  EXPECT_EQ(SqliteStore(kept).get(Kind::kJob, id)->document(), titled("later"));
  EXPECT_TRUE(fs::exists(in("copy.db")));
  EXPECT_EQ(store.save(Kind::kJob, id, 1, titled("work goes on"), {}).stored->revision, 2);
}

TEST_F(StoreCopiesTest, RestoringWaitsForNobodyWhoHasTheStoreOpen) {
  SqliteStore store(in("jobs.db"));
  const std::string id = store.create(Kind::kJob, titled("a"), {}).id;
  store.copy_to(in("copy.db"));
  EXPECT_THAT(said_by([&] { (void)restore_file(in("copy.db"), in("jobs.db")); }, EnvironmentError::Kind::kBusy), HasSubstr("has it open"));
  const auto second = std::make_unique<SqliteStore>(in("jobs.db"));
  (void)said_by([&] { (void)store.restore_from(in("copy.db")); }, EnvironmentError::Kind::kBusy);
  EXPECT_EQ(store.get(Kind::kJob, id)->document(), titled("a")) << "nothing was changed";
}

TEST_F(StoreCopiesTest, ADamagedOrForeignCopyIsRefusedAndNothingIsChanged) {
  SqliteStore store(in("jobs.db"));
  const std::string id = store.create(Kind::kJob, titled("a"), {}).id;
  for (int i = 0; i < 40; ++i) (void)store.create(Kind::kJob, titled(std::string(2000, 'a')), {});
  store.copy_to(in("damaged.db"));
  std::fstream file(in("damaged.db"), std::ios::in | std::ios::out | std::ios::binary);
  file.seekp(20'000);
  file << std::string(30'000, '\xff');
  file.close();
  std::ofstream(in("text.db")) << std::string(5000, 'x');
  std::ofstream(in("empty.db")) << "";
  EXPECT_THROW((void)store.restore_from(in("damaged.db")), EnvironmentError);
  EXPECT_THROW((void)store.restore_from(in("text.db")), EnvironmentError);
  EXPECT_THAT(said_by([&] { (void)store.restore_from(in("empty.db")); }, EnvironmentError::Kind::kConfiguration), HasSubstr("empty"));
  (void)said_by([&] { (void)store.restore_from(in("nowhere.db")); }, EnvironmentError::Kind::kNoSuchFile);
  EXPECT_EQ(store.get(Kind::kJob, id)->document(), titled("a"));
  for (const auto& entry : fs::directory_iterator(folder_)) EXPECT_THAT(entry.path().string(), testing::Not(HasSubstr("incoming")));
}

TEST_F(StoreCopiesTest, ADamagedStoreCanBeReplacedAndIsKept) {
  {
    SqliteStore store(in("jobs.db"));
    (void)store.create(Kind::kJob, titled("a"), {});
    store.copy_to(in("copy.db"));
  }
  std::ofstream(in("jobs.db")) << "no database any more";
  const std::string kept = restore_file(in("copy.db"), in("jobs.db"));
  EXPECT_EQ(fs::file_size(kept), 20U);
  EXPECT_EQ(SqliteStore(in("jobs.db")).list(Kind::kJob, {}).rows.size(), 1U);
}

TEST_F(StoreCopiesTest, TheFirstSchemaIsBroughtUpToDateAndACopyOfItKept) {
  if (!has_sqlite_command()) GTEST_SKIP() << "skipped: no sqlite3 command";
  make_first_schema("jobs.db");
  EXPECT_EQ(check_file(in("jobs.db")).schema, 1);
  SqliteStore store(in("jobs.db"));
  EXPECT_EQ(check_file(in("jobs.db")).schema, kSchemaVersion);
  EXPECT_EQ(check_file(in("jobs.db.schema-1")).schema, 1);
  EXPECT_TRUE(store.integrity_problems().empty());

  const auto rows = store.list(Kind::kJob, {}).rows;
  ASSERT_EQ(rows.size(), 2U);
  EXPECT_EQ(rows[0].id, "15FM8XG") << "last changed first, as before";
  EXPECT_EQ(rows[0].shown, R"({"number":"0117","title":"runs hot, head off","engine":"four in line","owner":"","opened":""})");
  const auto stored = store.get(Kind::kJob, "15FM8XG");
  EXPECT_EQ(stored->revision, 2);
  EXPECT_EQ(stored->changed_at, "2026-11-18T08:31:40Z");
  EXPECT_EQ(store.undo(Kind::kJob, "15FM8XG", 2, {}).stored->document().find("title")->text(), "runs hot");
  EXPECT_EQ(store.list(Kind::kJob, {.words = "boils"}).rows.size(), 1U);
}

TEST_F(StoreCopiesTest, ACopyOfTheFirstSchemaCanBeRestored) {
  if (!has_sqlite_command()) GTEST_SKIP() << "skipped: no sqlite3 command";
  make_first_schema("old.db");
  SqliteStore store(in("jobs.db"));
  (void)store.restore_from(in("old.db"));
  EXPECT_EQ(store.list(Kind::kJob, {}).rows.size(), 2U);
  EXPECT_EQ(check_file(in("old.db")).schema, 1) << "the copy itself is left alone";
}

TEST_F(StoreCopiesTest, CheckingLooksWithoutMakingAnything) {
  EXPECT_EQ(check_file(in("jobs.db")).schema, 0);
  EXPECT_FALSE(fs::exists(in("jobs.db")));
  {
    SqliteStore store(in("jobs.db"));
    (void)store.create(Kind::kJob, titled("a"), {});
  }
  const StoreCheck check = check_file(in("jobs.db"));
  EXPECT_EQ(check.contents.jobs, 1);
  EXPECT_EQ(check.contents.revisions, 1);
  EXPECT_TRUE(check.problems.empty());
}

}  // namespace
}  // namespace headjoint::store
