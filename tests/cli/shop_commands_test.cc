// Looking after what the workbench keeps, from the command line: backup, restore, doctor, export, import.
#include <gmock/gmock.h>

#include <filesystem>
#include <fstream>
#include <sstream>

#include "headjoint/base/document.h"
#include "headjoint/base/file.h"
#include "headjoint/cli/command_line.h"
#include "headjoint/store/sqlite_store.h"

namespace headjoint::cli {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

const std::string kJob = HEADJOINT_SOURCE_DIR "/data/examples/0117-two-cylinders.toml";
const std::string kEngine = HEADJOINT_SOURCE_DIR "/data/engines/marlow-16.toml";

struct Told {
  int code = 0;
  std::string out;
  std::string err;
};

class ShopCommandsTest : public testing::Test {
 protected:
  ShopCommandsTest() {
    std::string pattern = (fs::temp_directory_path() / "headjoint-cli-XXXXXX").string();
    folder_ = ::mkdtemp(pattern.data());
  }
  ~ShopCommandsTest() override {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
  }
  [[nodiscard]] std::string in(const std::string& name) const { return (folder_ / name).string(); }

  /// The command on the data folder of this test.
  [[nodiscard]] Told tell(std::vector<std::string> words) const {
    words.insert(words.end(), {"--data", in("data")});
    std::ostringstream out;
    std::ostringstream err;
    static constexpr char kPage[] = "<!doctype html>";
    static const EmbeddedFile kFiles[] = {{"index.html", kPage, kPage + sizeof kPage - 1}};
    const int code = run(words, kFiles, out, err);
    return {code, out.str(), err.str()};
  }

  fs::path folder_;
};

TEST_F(ShopCommandsTest, FilesGoInAndComeOutAgain) {
  const Told in_told = tell({"import", kJob, kEngine});
  EXPECT_EQ(in_told.code, kDone) << in_told.err;
  EXPECT_THAT(in_told.out, HasSubstr("kept: engine "));
  const Told out_told = tell({"export", "0117", "marlow 1.6", "-o", in("files")});
  EXPECT_EQ(out_told.code, kDone) << out_told.err;
  std::ostringstream out;
  std::ostringstream err;
  EXPECT_EQ(run({"assess", in("files/job-0117.toml"), "--json"}, {}, out, err), kDone) << err.str();
  EXPECT_EQ(run({"check", in("files/engine-marlow-1-6.toml")}, {}, out, err), kDone) << err.str();
  EXPECT_THAT(tell({"export", "0117", "-o", "-", "--format", "json"}).out, HasSubstr("\"number\": \"0117\""));
}

TEST_F(ShopCommandsTest, WhatIsNotKeptIsNamedAndNothingIsWritten) {
  (void)tell({"import", kJob});
  const Told told = tell({"export", "0117", "9999", "-o", in("files")});
  EXPECT_EQ(told.code, kBadInput);
  EXPECT_THAT(told.err, HasSubstr("9999"));
  EXPECT_FALSE(fs::exists(in("files")));
}

TEST_F(ShopCommandsTest, OneFaultyFileKeepsAllOut) {
  std::ofstream(in("bad.toml")) << "title = \n";
  const Told told = tell({"import", kJob, in("bad.toml")});
  EXPECT_EQ(told.code, kBadInput);
  EXPECT_THAT(told.err, HasSubstr("bad.toml:1"));
  EXPECT_FALSE(fs::exists(in("data")));
}

TEST_F(ShopCommandsTest, ABackupBringsEverythingBackAndKeepsWhatWasThere) {
  (void)tell({"import", kJob, kEngine});
  const Told copied = tell({"backup", in("copy.hjshop")});
  EXPECT_EQ(copied.code, kDone) << copied.err;
  EXPECT_THAT(copied.out, HasSubstr("1 jobs, 1 engines"));
  (void)tell({"import", kJob});
  const Told restored = tell({"restore", in("copy.hjshop")});
  EXPECT_EQ(restored.code, kDone) << restored.err;
  EXPECT_THAT(restored.out, HasSubstr("1 jobs, 1 engines"));
  EXPECT_THAT(restored.out, HasSubstr("before-restore"));
  EXPECT_EQ(tell({"backup", in("copy.hjshop")}).code, kInputOutput) << "nothing is written over";
  EXPECT_EQ(tell({"backup", folder_.string()}).code, kDone) << "a folder gets a file named by the date";
}

TEST_F(ShopCommandsTest, WithoutAStoreThereIsNothingToCopyOrToBringBack) {
  EXPECT_EQ(tell({"backup", in("copy.hjshop")}).code, kNoSuchFile);
  EXPECT_EQ(tell({"restore", in("nowhere.hjshop")}).code, kNoSuchFile);
  std::ofstream(in("text.hjshop")) << "no database";
  EXPECT_EQ(tell({"restore", in("text.hjshop")}).code, kInputOutput);
}

TEST_F(ShopCommandsTest, AnOpenStoreIsNotReplaced) {
  (void)tell({"import", kJob});
  (void)tell({"backup", in("copy.hjshop")});
  const store::SqliteStore open(in("data/jobs.sqlite"));
  const Told told = tell({"restore", in("copy.hjshop")});
  EXPECT_EQ(told.code, kBusy);
  EXPECT_THAT(told.err, HasSubstr("has it open"));
}

TEST_F(ShopCommandsTest, TheDoctorLooksWithoutMakingAnything) {
  const Told told = tell({"doctor", "--port", "18137"});
  EXPECT_THAT(told.out, HasSubstr("nothing is kept here yet"));
  EXPECT_FALSE(fs::exists(in("data")));
  (void)tell({"import", kJob});
  EXPECT_THAT(tell({"doctor"}).out, HasSubstr("1 jobs, 0 engines"));
}

TEST_F(ShopCommandsTest, TheDoctorFindsADamagedStoreAndSaysHowToMendIt) {
  fs::create_directories(in("data"));
  std::ofstream(in("data/jobs.sqlite")) << std::string(5000, 'x');
  const Told told = tell({"doctor"});
  EXPECT_EQ(told.code, kUnavailable);
  EXPECT_THAT(told.out, HasSubstr("PROBLEM  store"));
  EXPECT_THAT(told.out, HasSubstr("headjoint restore FILE"));
}

TEST_F(ShopCommandsTest, TheDoctorMissesThePage) {
  std::ostringstream out;
  std::ostringstream err;
  EXPECT_EQ(run({"doctor", "--json", "--data", in("data")}, {}, out, err), kConfiguration);
  const auto answer = read_json(out.str(), "answer");
  ASSERT_TRUE(answer);
  EXPECT_FALSE(answer->find("ok")->truth());
}

}  // namespace
}  // namespace headjoint::cli
