#include "headjoint/base/spooled_file.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <string>

#include "headjoint/base/error.h"

namespace headjoint {
namespace {

std::string all_of(ByteSource& bytes) {
  std::string text(100, '\0');
  text.resize(bytes.read(text));
  return text;
}

TEST(SpooledFile, IsReadFromItsStartAnyNumberOfTimesAndLeavesNothingBehind) {
  const std::filesystem::path folder = std::filesystem::path(::testing::TempDir()) / "headjoint-spooled";
  std::filesystem::remove_all(folder);
  auto file = SpooledFile::make(folder.string());
  file->add(std::string("one "));
  file->add(std::string("two"));
  EXPECT_EQ(file->size(), 7U);
  const auto first = file->open(), second = file->open();
  EXPECT_EQ(all_of(*first), "one two");
  file.reset();
  EXPECT_EQ(all_of(*second), "one two") << "a reader keeps the bytes alive";
  EXPECT_EQ(all_of(*second), "");
  EXPECT_TRUE(std::filesystem::is_empty(folder));
  std::filesystem::remove_all(folder);
}

TEST(SpooledFile, AFolderThatCannotBeIsTold) { EXPECT_THROW((void)SpooledFile::make("/dev/null/nowhere"), EnvironmentError); }

}  // namespace
}  // namespace headjoint
