#include "headjoint/server/uploads.h"

#include <gtest/gtest.h>

namespace headjoint::server {
namespace {

TEST(Uploads, KeepsTheOnesAskedAboutLast) {
  Uploads uploads(2);
  const std::string first = uploads.add(SpooledFile::make(""), "first.wav"), second = uploads.add(SpooledFile::make(""), "second.wav");
  EXPECT_NE(first, second);
  EXPECT_EQ(uploads.find(first).name, "first.wav");
  const std::string third = uploads.add(SpooledFile::make(""), "third.wav");
  EXPECT_EQ(uploads.find(second).file, nullptr) << "nobody asked about it for longest";
  EXPECT_NE(uploads.find(first).file, nullptr);
  EXPECT_TRUE(uploads.drop(third));
  EXPECT_FALSE(uploads.drop(third));
  EXPECT_EQ(uploads.find("").file, nullptr);
}

TEST(Uploads, KeepsOneDrawingAndDropsItWithItsFile) {
  Uploads uploads(2);
  const std::string first = uploads.add(SpooledFile::make(""), ""), second = uploads.add(SpooledFile::make(""), "");
  const auto drawing = [](double, double, int) { return Document(1); };
  uploads.keep_window(first, drawing);
  EXPECT_TRUE(uploads.window_of(first));
  EXPECT_FALSE(uploads.window_of(second));
  uploads.keep_window(second, drawing);
  EXPECT_FALSE(uploads.window_of(first));
  EXPECT_TRUE(uploads.window_of(second));
  uploads.drop(second);
  EXPECT_FALSE(uploads.window_of(second));
}

}  // namespace
}  // namespace headjoint::server
