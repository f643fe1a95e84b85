// Undo and redo, the bin, repeated requests, searching, photographs and shop documents.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <filesystem>
#include <random>
#include <thread>

#include "headjoint/base/error.h"
#include "headjoint/store/sqlite_store.h"

namespace headjoint::store {
namespace {

namespace fs = std::filesystem;
using jobs::DocumentStore;
using Kind = DocumentStore::Kind;
using Outcome = DocumentStore::Outcome;
using Status = Outcome::Status;
using testing::ElementsAre;

constexpr int kRandomSteps = 300;
constexpr unsigned kSeed = 20261125;

Document titled(const std::string& title) { return Table{{"number", "0117"}, {"title", title}}; }

class StoreChangesTest : public testing::Test {
 protected:
  StoreChangesTest() {
    std::string pattern = (fs::temp_directory_path() / "headjoint-store-XXXXXX").string();
    folder_ = ::mkdtemp(pattern.data());
    store_ = std::make_unique<SqliteStore>((folder_ / "jobs.db").string());
    id_ = store_->create(Kind::kJob, titled("a"), {}).id;
  }
  ~StoreChangesTest() override {
    store_.reset();
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
  }

  [[nodiscard]] DocumentStore::Stored now() const { return *store_->get(Kind::kJob, id_); }
  [[nodiscard]] std::string title() const { return now().document().find("title")->text(); }
  Outcome save(const std::string& title) {
    return store_->save(Kind::kJob, id_, now().revision, titled(title), {"to " + title, "Ada", {}});
  }
  Outcome undo() { return store_->undo(Kind::kJob, id_, now().revision, {}); }
  Outcome redo() { return store_->redo(Kind::kJob, id_, now().revision, {}); }
  [[nodiscard]] std::vector<std::string> found(const std::string& words) const {
    std::vector<std::string> ids;
    for (const auto& row : store_->list(Kind::kJob, {.words = words}).rows) ids.push_back(row.id);
    return ids;
  }

  fs::path folder_;
  std::unique_ptr<SqliteStore> store_;
  std::string id_;
};

TEST_F(StoreChangesTest, UndoGoesBackStepByStepAndRedoForwardAgain) {
  save("b");
  save("c");
  EXPECT_EQ(undo().status, Status::kDone);
  EXPECT_EQ(title(), "b");
  EXPECT_EQ(undo().status, Status::kDone);
  EXPECT_EQ(title(), "a");
  EXPECT_EQ(undo().status, Status::kNothingToDo);
  EXPECT_EQ(redo().status, Status::kDone);
  EXPECT_EQ(title(), "b");
  EXPECT_EQ(redo().status, Status::kDone);
  EXPECT_EQ(title(), "c");
  EXPECT_EQ(redo().status, Status::kNothingToDo);
  EXPECT_EQ(now().revision, 7) << "each step is a revision";
}

TEST_F(StoreChangesTest, ItSaysWhatUndoAndRedoWouldDo) {
  EXPECT_FALSE(now().undo);
  save("b");
  save("c");
  EXPECT_EQ(now().undo->note, "to c");
  EXPECT_EQ(now().undo->who, "Ada");
  EXPECT_FALSE(now().redo);
  undo();
  EXPECT_EQ(now().undo->note, "to b");
  EXPECT_EQ(now().redo->note, "to c");
}

TEST_F(StoreChangesTest, AChangeAfterUndoBranchesOffAndThereIsNothingToRedo) {
  save("b");
  save("c");
  undo();
  save("d");
  EXPECT_EQ(redo().status, Status::kNothingToDo);
  undo();
  EXPECT_EQ(title(), "b");
  undo();
  EXPECT_EQ(title(), "a");
  redo();
  redo();
  EXPECT_EQ(title(), "d");
}

TEST_F(StoreChangesTest, GoingBackToARevisionCanBeUndone) {
  save("b");
  save("c");
  (void)store_->revert(Kind::kJob, id_, 1, {});
  EXPECT_EQ(title(), "a");
  undo();
  EXPECT_EQ(title(), "c");
}

TEST_F(StoreChangesTest, TheBinDoesNotDisturbUndo) {
  save("b");
  undo();
  (void)store_->set_binned(Kind::kJob, id_, true, {});
  EXPECT_EQ(redo().status, Status::kBinned);
  (void)store_->set_binned(Kind::kJob, id_, false, {});
  redo();
  EXPECT_EQ(title(), "b");
}

/// Saves, undoes and redoes at random behave as a list of states with a place in it.
TEST_F(StoreChangesTest, UndoAndRedoBehaveAsAListOfStatesWithAPlaceInIt) {
  std::mt19937 random(kSeed);
  std::vector<std::string> states{"a"};
  std::size_t place = 0;
  for (int i = 0; i < kRandomSteps; ++i) {
    const auto step = random() % 4;
    if (step == 0) {
      states.resize(place + 1);
      states.push_back("state " + std::to_string(i));
      ++place;
      save(states.back());
    } else if (step == 1) {
      EXPECT_EQ(redo().status, place + 1 < states.size() ? Status::kDone : Status::kNothingToDo);
      if (place + 1 < states.size()) ++place;
    } else {
      EXPECT_EQ(undo().status, place > 0 ? Status::kDone : Status::kNothingToDo);
      if (place > 0) --place;
    }
    ASSERT_EQ(title(), states[place]) << "seed " << kSeed << ", step " << i;
  }
}

TEST_F(StoreChangesTest, ASaveIdMakesNothingTwice) {
  const auto first = store_->create(Kind::kJob, titled("x"), {{}, {}, "made-here-1"});
  EXPECT_EQ(store_->create(Kind::kJob, titled("x"), {{}, {}, "made-here-1"}).id, first.id);
  const auto saved = store_->save(Kind::kJob, id_, 1, titled("b"), {{}, {}, "save-1"});
  save("c");
  const auto again = store_->save(Kind::kJob, id_, 1, titled("b"), {{}, {}, "save-1"});
  EXPECT_EQ(again.status, Status::kDone);
  EXPECT_EQ(again.stored->revision, saved.stored->revision);
  EXPECT_EQ(title(), "c");
  const int before = now().revision;
  (void)store_->undo(Kind::kJob, id_, before, {{}, {}, "undo-1"});
  EXPECT_EQ(store_->undo(Kind::kJob, id_, before, {{}, {}, "undo-1"}).status, Status::kDone);
  EXPECT_EQ(now().revision, before + 1);
  EXPECT_THROW((void)store_->save(Kind::kJob, first.id, 1, titled("b"), {{}, {}, "save-1"}), InputError) << "of another document";
}

TEST_F(StoreChangesTest, ASaveThatChangesNothingMakesNoRevision) {
  EXPECT_EQ(save("a").stored->revision, 1);
  EXPECT_EQ(save("b").stored->revision, 2);
}

TEST_F(StoreChangesTest, WhatLiesInTheBinIsKeptAndRefusesChangesUntilItIsTakenOut) {
  (void)store_->set_binned(Kind::kJob, id_, true, {"double", "Ada", {}});
  EXPECT_TRUE(found("").empty());
  EXPECT_EQ(store_->list(Kind::kJob, {.in_bin = true}).rows.front().id, id_);
  EXPECT_EQ(save("b").status, Status::kBinned);
  EXPECT_FALSE(now().binned_at.empty());
  EXPECT_EQ(title(), "a");
  (void)store_->set_binned(Kind::kJob, id_, false, {});
  EXPECT_EQ(save("b").status, Status::kDone);
  EXPECT_THAT(found(""), ElementsAre(id_));
  EXPECT_EQ(store_->history(Kind::kJob, id_, 0, 9)[2].act, "binned");
}

TEST_F(StoreChangesTest, EveryWordMustOccurCapitalsAndAccentsAside) {
  const std::string muller =
      store_->create(Kind::kJob, Table{{"number", "0200"}, {"title", "Boils over"}, {"owner", "Jürgen MÜLLER"}}, {}).id;
  EXPECT_THAT(found("muller"), ElementsAre(muller));
  EXPECT_THAT(found("BOILS jurg"), ElementsAre(muller));
  EXPECT_TRUE(found("boils 0117").empty());
  EXPECT_EQ(found("").size(), 2U);
  EXPECT_TRUE(found("%").empty()) << "no wildcards";
  EXPECT_TRUE(found("' OR 1=1 --").empty());
}

TEST_F(StoreChangesTest, ChangesAtTheSameTimeAreAllKeptAndOneThatFailsDisturbsNoOther) {
  (void)store_->save(Kind::kJob, id_, 1, titled("taken"), {{}, {}, "taken"});
  constexpr int kThreads = 8;
  constexpr int kEach = 20;
  std::atomic<int> refused = 0;
  std::vector<std::thread> threads;
  for (int t = 0; t < kThreads; ++t) {
    threads.emplace_back([&, t] {
      const std::string own = store_->create(Kind::kJob, titled("thread " + std::to_string(t)), {}).id;
      for (int i = 1; i <= kEach; ++i) {
        (void)store_->save(Kind::kJob, own, i, titled(std::to_string(i)), {});
        try {
          (void)store_->save(Kind::kJob, own, i + 1, titled("never kept"), {{}, {}, "taken"});
        } catch (const InputError&) {
          ++refused;
        }
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(refused, kThreads * kEach);
  EXPECT_EQ(store_->list(Kind::kJob, {}).total, static_cast<std::size_t>(kThreads) + 1);
  for (const auto& row : store_->list(Kind::kJob, {}).rows) EXPECT_EQ(row.revision, row.id == id_ ? 2 : kEach + 1);
  EXPECT_TRUE(store_->integrity_problems().empty());
}

TEST_F(StoreChangesTest, AListComesInPagesWithoutGapOrDouble) {
  for (int i = 0; i < 25; ++i) (void)store_->create(Kind::kJob, titled("page " + std::to_string(i)), {});
  std::vector<std::string> ids;
  DocumentStore::Search search{.words = "page", .limit = 10};
  do {
    const auto page = store_->list(Kind::kJob, search);
    EXPECT_EQ(page.total, 25U);
    for (const auto& row : page.rows) ids.push_back(row.id);
    search.after = page.next;
  } while (!search.after.empty());
  EXPECT_EQ(ids.size(), 25U);
  EXPECT_TRUE(std::is_sorted(ids.rbegin(), ids.rend()));
  EXPECT_THROW((void)store_->list(Kind::kJob, {.after = "nowhere"}), InputError);
}

TEST_F(StoreChangesTest, KindsDoNotMix) {
  const std::string engine = store_->create(Kind::kEngine, Table{{"name", "Ostery"}}, {}).id;
  EXPECT_FALSE(store_->get(Kind::kJob, engine));
  EXPECT_EQ(store_->save(Kind::kJob, engine, 1, titled("x"), {}).status, Status::kMissing);
  EXPECT_EQ(store_->list(Kind::kEngine, {}).rows.size(), 1U);
  EXPECT_TRUE(store_->history(Kind::kJob, engine, 0, 9).empty());
}

TEST_F(StoreChangesTest, AShopDocumentIsMadeByItsFirstSave) {
  EXPECT_FALSE(store_->get(Kind::kShop, "prices"));
  EXPECT_EQ(store_->save(Kind::kShop, "prices", 3, "hour = 80", {}).status, Status::kMissing);
  EXPECT_EQ(store_->save(Kind::kShop, "prices", 0, "hour = 80", {}).stored->revision, 1);
  EXPECT_EQ(store_->save(Kind::kShop, "prices", 0, "hour = 90", {}).status, Status::kConflict);
  EXPECT_EQ(store_->save(Kind::kShop, "prices", 1, "hour = 90", {}).stored->revision, 2);
  EXPECT_EQ(store_->undo(Kind::kShop, "prices", 2, {}).stored->document(), Document("hour = 80"));
  (void)store_->create(Kind::kJob, titled("ids go on"), {});
}

TEST_F(StoreChangesTest, PhotographsAreKeptWithTheirJobAndGoToTheBinOnly) {
  const std::string bytes("\xff\xd8\0jpeg", 7);
  const auto row = store_->add_photo(id_, {bytes, "image/jpeg", 640, 480}, {"gasket", "Ada", "p1"});
  EXPECT_EQ(store_->add_photo(id_, {bytes, "image/jpeg", 640, 480}, {"gasket", "Ada", "p1"}).id, row.id);
  EXPECT_EQ(row.caption, "gasket");
  EXPECT_EQ(row.bytes, bytes.size());
  EXPECT_EQ(store_->photo(row.id)->bytes, bytes);
  EXPECT_EQ(store_->set_caption(row.id, "old gasket")->caption, "old gasket");
  EXPECT_FALSE(store_->set_photo_binned(row.id, true)->binned_at.empty());
  EXPECT_TRUE(store_->photos(id_, false).empty());
  EXPECT_EQ(store_->photos(id_, true).size(), 1U);
  EXPECT_EQ(store_->photo(row.id)->bytes, bytes) << "kept all the same";
  EXPECT_FALSE(store_->set_caption("nothing", "x"));
  EXPECT_FALSE(store_->photo("nothing"));
}

TEST_F(StoreChangesTest, ACopyHasThePhotographsToo) {
  (void)store_->add_photo(id_, {"one", "image/jpeg", 1, 1}, {"a", {}, "p1"});
  const std::string copy = store_->create(Kind::kJob, titled("copy"), {}, id_).id;
  const std::string second = store_->create(Kind::kJob, titled("copy of the copy"), {}, copy).id;
  ASSERT_EQ(store_->photos(second, false).size(), 1U);
  EXPECT_EQ(store_->photo(store_->photos(second, false).front().id)->bytes, "one");
  EXPECT_GT(store_->create(Kind::kJob, titled("ids go on"), {}).id, second);
}

}  // namespace
}  // namespace headjoint::store
