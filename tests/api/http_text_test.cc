#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

#include "headjoint/base/text.h"
#include "headjoint/server/http.h"
#include "headjoint/server/router.h"

namespace headjoint::server {
namespace {

constexpr int kRandomTargets = 20000;

TEST(TargetTest, IsTakenApart) {
  const auto [target, is_good] = read_target("/api/v1/new-job?cylinders=4&title=runs+hot%21&layout=&flag");
  ASSERT_TRUE(is_good);
  EXPECT_EQ(target.path, "/api/v1/new-job");
  EXPECT_EQ(target.query.find("title")->second, "runs hot!");
  EXPECT_EQ(target.query.find("layout")->second, "");
  EXPECT_EQ(target.query.count("flag"), 1U);
}

TEST(TargetTest, RefusesWhatClimbsOrCannotBeText) {
  for (const char* bad : {"",           "x",
                          "/..",        "/../etc/passwd",
                          "/a/../../b", "/%2e%2e/secret",
                          "/%2E./x",    "/a/.%2e/b",
                          "/a/%2e/b",   "/%",
                          "/%4",        "/%zz",
                          "/%00",       "/a%0d%0aSet-Cookie:x",
                          "/a\\..\\b",  "/%5c..%5c",
                          "/%ff",       "/%c0%ae%c0%ae/",
                          "/x?a=%00",   "http://evil/"}) {
    EXPECT_FALSE(read_target(bad).second) << bad;
  }
}

TEST(TargetTest, WhateverIsAcceptedStaysBelowItsRoot) {
  std::mt19937 random(20261125);  // seed
  const std::string letters = "/.%2eEfF0c?&=+a\\\x01\xff";
  for (int i = 0; i < kRandomTargets; ++i) {
    std::string text = "/";
    for (auto n = random() % 24; n > 0; --n) text += letters[random() % letters.size()];
    const auto [target, is_good] = read_target(text);
    if (!is_good) continue;
    ASSERT_EQ(target.path.front(), '/') << text;
    for (const std::string_view part : split(target.path, '/')) ASSERT_TRUE(part != ".." && part != ".") << text;
    ASSERT_EQ(target.path.find('\0'), std::string::npos) << text;
  }
}

Router example() {
  Router router;
  const auto nothing = [](const RoutedRequest&) { return Response{}; };
  router.add({"GET", "/jobs", nothing, WorkedBy::kServer, {}});
  router.add({"GET", "/jobs/{id}", nothing, WorkedBy::kServer, {}});
  router.add({"PUT", "/jobs/{id}", nothing, WorkedBy::kServer, "application/json"});
  router.add({"GET", "/assets/{rest...}", nothing, WorkedBy::kServer, {}});
  return router;
}

TEST(RouterTest, FindsTheRouteAndItsParts) {
  const Router router = example();
  EXPECT_EQ(router.match("GET", "/jobs/0F3K2QA", "").parts.at("id"), "0F3K2QA");
  EXPECT_EQ(router.match("HEAD", "/jobs", "").status, 200);
  EXPECT_EQ(router.match("GET", "/assets/a/b.js", "").parts.at("rest"), "a/b.js");
  EXPECT_EQ(router.match("PUT", "/jobs/1", "Application/JSON; charset=utf-8").status, 200);
}

TEST(RouterTest, SaysWhyThereIsNone) {
  const Router router = example();
  EXPECT_EQ(router.match("GET", "/job", "").status, 404);
  EXPECT_EQ(router.match("GET", "/jobs/", "").status, 404);
  EXPECT_EQ(router.match("GET", "/jobs/1/2", "").status, 404);
  EXPECT_EQ(router.match("DELETE", "/jobs/1", "").status, 405);
  EXPECT_EQ(router.match("DELETE", "/jobs/1", "").allowed, "GET, HEAD, PUT");
  EXPECT_EQ(router.match("PUT", "/jobs/1", "text/plain").status, 415);
  EXPECT_EQ(router.match("PUT", "/jobs/1", "").status, 415);
}

}  // namespace
}  // namespace headjoint::server
