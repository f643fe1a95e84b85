#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <memory>
#include <random>

#include "running_workbench.h"

/// What bad or unlucky clients do, bounded. The limits are the contract's; the times are shortened.
namespace headjoint::server {
namespace {

using std::chrono::milliseconds;
using testing::AnyOf;
using testing::HasSubstr;

constexpr std::size_t kHugeHeader = 20U << 20U;
constexpr std::size_t kHugeBody = 12U << 20U;
constexpr std::size_t kChunk = 256U << 10U;
constexpr std::size_t kIdleClients = 200;
constexpr long kMostGrowthKiB = 40 * 1024;
constexpr int kMutations = 400;

Limits short_limits() {
  Limits limits;
  limits.header = milliseconds(300);
  limits.body = milliseconds(400);
  limits.idle = milliseconds(20'000);
  limits.write = milliseconds(2000);
  limits.linger = milliseconds(500);
  return limits;
}

/// Memory of this process, in KiB.
long resident_memory() {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);) {
    if (line.starts_with("VmRSS:")) return std::stol(line.substr(6));
  }
  return 0;
}

void expect_answering(const RunningWorkbench& workbench) { EXPECT_EQ(status_of(workbench.ask("GET", "/api/v1/version")), 200); }

TEST(AbuseTest, AHugeHeaderIsRefusedWithoutBeingKept) {
  RunningWorkbench workbench(short_limits());
  const long before = resident_memory();
  RawClient client(workbench.port());
  client.send("GET / HTTP/1.1\r\nX-Long: ");
  const std::string block(64U << 10U, 'a');
  for (std::size_t sent = 0; sent < kHugeHeader && client.send(block); sent += block.size()) {
  }
  EXPECT_EQ(status_of(client.receive_all()), 431);
  EXPECT_LT(resident_memory() - before, kMostGrowthKiB);
  expect_answering(workbench);
}

TEST(AbuseTest, ManyHeaderLinesAreRefused) {
  RunningWorkbench workbench(short_limits());
  RawClient client(workbench.port());
  client.send("GET / HTTP/1.1\r\n");
  for (int i = 0; i < 5000 && client.send("X-" + std::to_string(i) + ": y\r\n"); ++i) {
  }
  EXPECT_EQ(status_of(client.receive_all()), 431);
  expect_answering(workbench);
}

TEST(AbuseTest, AnAnnouncedHugeBodyIsRefusedBeforeItComes) {
  RunningWorkbench workbench(short_limits());
  RawClient client(workbench.port());
  client.send("POST /api/v1/jobs HTTP/1.1\r\nHost: " + workbench.host() +
              "\r\nContent-Type: application/json\r\nContent-Length: 99999999999\r\n\r\n");
  EXPECT_EQ(status_of(client.receive_all()), 413);
  expect_answering(workbench);
}

TEST(AbuseTest, AChunkedBodyBeyondTheLimitIsRefused) {
  Limits limits = short_limits();
  limits.body = milliseconds(20'000);  // a busy machine needs its time for that much
  RunningWorkbench workbench(limits);
  RawClient client(workbench.port());
  client.send("POST /api/v1/jobs HTTP/1.1\r\nHost: " + workbench.host() +
              "\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n");
  const std::string chunk = "40000\r\n" + std::string(kChunk, ' ') + "\r\n";
  for (std::size_t sent = 0; sent < kHugeBody && client.send(chunk); sent += kChunk) {
  }
  EXPECT_EQ(status_of(client.receive_all()), 413);
  expect_answering(workbench);
}

TEST(AbuseTest, AHeaderThatDripsIsCutAtItsDeadline) {
  RunningWorkbench workbench(short_limits());
  RawClient client(workbench.port());
  client.send("GET / HTTP/1.1\r\n");
  const auto start = std::chrono::steady_clock::now();
  std::string answer;
  while (answer.empty() && !client.was_closed() && std::chrono::steady_clock::now() - start < milliseconds(5000)) {
    client.send("X");
    answer += client.receive_one(milliseconds(20));
  }
  EXPECT_EQ(status_of(answer), 408);
  expect_answering(workbench);
}

TEST(AbuseTest, ABodyThatDoesNotComeIsCutAtItsDeadline) {
  RunningWorkbench workbench(short_limits());
  RawClient client(workbench.port());
  client.send("POST /api/v1/jobs HTTP/1.1\r\nHost: " + workbench.host() +
              "\r\nContent-Type: application/json\r\nContent-Length: 50\r\n\r\n{");
  EXPECT_EQ(status_of(client.receive_all()), 408);
}

TEST(AbuseTest, AClientThatDoesNotReadIsCut) {
  Limits limits = short_limits();
  limits.write = milliseconds(200);
  RunningWorkbench workbench(limits);
  const std::string target = "/api/v1/jobs/" + workbench.make_job(std::string(4U << 20U, 'x'));
  const auto start = std::chrono::steady_clock::now();
  ASSERT_EQ(status_of(workbench.ask("GET", target)), 200);
  const auto one_answer = std::chrono::steady_clock::now() - start;
  RawClient client(workbench.port());
  for (int i = 0; i < 4; ++i) client.send("GET " + target + " HTTP/1.1\r\nHost: " + workbench.host() + "\r\n\r\n");
  std::this_thread::sleep_for(8 * one_answer + 4 * limits.write);
  EXPECT_LT(client.receive_all().size(), 16U << 20U) << "not all four answers of 4 MiB";
  expect_answering(workbench);
}

TEST(AbuseTest, IdleClientsDoNotKeepOthersOut) {
  Limits limits = short_limits();
  limits.connections = kIdleClients / 2;
  RunningWorkbench workbench(limits);
  std::vector<std::unique_ptr<RawClient>> idle;
  for (std::size_t i = 0; i < kIdleClients; ++i) idle.push_back(std::make_unique<RawClient>(workbench.port()));
  for (int i = 0; i < 10; ++i) expect_answering(workbench);
}

TEST(AbuseTest, DrippingClientsDoNotKeepOthersOut) {
  Limits limits = short_limits();
  limits.header = milliseconds(10'000);
  limits.connections = kIdleClients / 2;
  RunningWorkbench workbench(limits);
  std::vector<std::unique_ptr<RawClient>> slow;
  for (std::size_t i = 0; i < kIdleClients; ++i) {
    slow.push_back(std::make_unique<RawClient>(workbench.port()));
    slow.back()->send("G");
  }
  for (int i = 0; i < 10; ++i) expect_answering(workbench);
}

TEST(AbuseTest, AnIdleConnectionIsClosedInTheEnd) {
  Limits limits = short_limits();
  limits.idle = milliseconds(200);
  RunningWorkbench workbench(limits);
  RawClient client(workbench.port());
  EXPECT_EQ(client.receive_all(), "");
  EXPECT_TRUE(client.was_closed());
}

TEST(AbuseTest, OneConnectionServesOneRequestAfterTheOther) {
  RunningWorkbench workbench(short_limits());
  RawClient client(workbench.port());
  const std::string request = "GET /api/v1/version HTTP/1.1\r\nHost: " + workbench.host() + "\r\n\r\n";
  for (int i = 0; i < 50; ++i) {
    ASSERT_TRUE(client.send(request));
    ASSERT_EQ(status_of(client.receive_one()), 200);
  }
}

TEST(AbuseTest, ForeignHostsAreNotAnswered) {
  RunningWorkbench workbench(short_limits());
  for (const char* host : {"evil.example", "evil.example:80", "127.0.0.1.evil.example", "localhost.evil.example",
                           "localhost:", "localhost:8x", "", "127.0.0.1:99999999", "localhost, evil.example"}) {
    RawClient client(workbench.port());
    client.send("GET /api/v1/version HTTP/1.1\r\nHost: " + std::string(host) + "\r\nConnection: close\r\n\r\n");
    EXPECT_EQ(status_of(client.receive_all()), 421) << host;
  }
  RawClient twice(workbench.port());
  twice.send("GET / HTTP/1.1\r\nHost: localhost\r\nHost: evil.example\r\nConnection: close\r\n\r\n");
  EXPECT_EQ(status_of(twice.receive_all()), 421);
  RawClient none(workbench.port());
  none.send("GET / HTTP/1.1\r\nConnection: close\r\n\r\n");
  EXPECT_EQ(status_of(none.receive_all()), 421);
}

TEST(AbuseTest, ThisMachineHasThreeNames) {
  RunningWorkbench workbench(short_limits());
  for (const char* host : {"127.0.0.1", "localhost:8080", "LOCALHOST", "[::1]:8080"}) {
    RawClient client(workbench.port());
    client.send("GET /api/v1/version HTTP/1.1\r\nHost: " + std::string(host) + "\r\nConnection: close\r\n\r\n");
    EXPECT_EQ(status_of(client.receive_all()), 200) << host;
  }
}

TEST(AbuseTest, ThePagesOwnOriginMayChange) {
  RunningWorkbench workbench(short_limits());
  const std::string answer =
      workbench.ask("POST", "/api/v1/jobs", R"({"document": {}})",
                    "Content-Type: application/json\r\nOrigin: http://" + workbench.host() + "\r\nSec-Fetch-Site: same-origin\r\n");
  EXPECT_EQ(status_of(answer), 201);
}

TEST(AbuseTest, TwoLengthsOfOneBodyAreRefused) {
  RunningWorkbench workbench(short_limits());
  for (const char* headers :
       {"Content-Length: 4\r\nTransfer-Encoding: chunked\r\n", "Content-Length: 4\r\nContent-Length: 9\r\n", "Content-Length: -1\r\n"}) {
    RawClient client(workbench.port());
    client.send("POST /api/v1/jobs HTTP/1.1\r\nHost: " + workbench.host() + "\r\nContent-Type: application/json\r\n" + headers +
                "\r\n{}{}GET / HTTP/1.1\r\n\r\n");
    const std::string answer = client.receive_all();
    EXPECT_EQ(status_of(answer), 400) << headers;
    EXPECT_EQ(answer.find("HTTP/1.1 ", 1), std::string::npos) << "one answer only";
  }
}

TEST(AbuseTest, ABodyAnnouncedWithExpectIsAskedFor) {
  RunningWorkbench workbench(short_limits());
  RawClient client(workbench.port());
  client.send("POST /api/v1/jobs HTTP/1.1\r\nHost: " + workbench.host() +
              "\r\nContent-Type: application/json\r\nExpect: 100-continue\r\nConnection: close\r\nContent-Length: 16\r\n\r\n");
  EXPECT_THAT(client.receive_one(), HasSubstr("100 Continue"));
  client.send(R"({"document": {}})");
  EXPECT_EQ(status_of(client.receive_all()), 201);
}

TEST(AbuseTest, AFullQueueSaysTryAgainAndThePageStillAnswers) {
  RunningWorkbench workbench(short_limits());
  std::vector<std::unique_ptr<RawClient>> clients;
  for (int i = 0; i < 60; ++i) {
    clients.push_back(std::make_unique<RawClient>(workbench.port()));
    clients.back()->send("POST /api/v1/slow HTTP/1.1\r\nHost: " + workbench.host() +
                         "\r\nContent-Type: application/json\r\nConnection: close\r\nContent-Length: 2\r\n\r\n{}");
  }
  const std::string last = clients.back()->receive_all();
  EXPECT_EQ(status_of(last), 503);
  EXPECT_THAT(last, HasSubstr("Retry-After: 1"));
  expect_answering(workbench);
  EXPECT_EQ(status_of(workbench.ask("GET", "/api/v1/jobs")), 200) << "jobs are kept while calculations run";
  EXPECT_EQ(status_of(clients.front()->receive_all()), 200);
}

TEST(AbuseTest, AnAnswerThatTakesTooLongIsGivenUp) {
  Limits limits = short_limits();
  limits.answer = milliseconds(50);
  RunningWorkbench workbench(limits);
  EXPECT_EQ(status_of(workbench.ask("POST", "/api/v1/slow", "{}")), 503);
}

TEST(AbuseTest, StoppingLetsAnAnswerUnderWayFinish) {
  auto workbench = std::make_unique<RunningWorkbench>(short_limits());
  RawClient client(workbench->port());
  client.send("POST /api/v1/slow HTTP/1.1\r\nHost: " + workbench->host() +
              "\r\nContent-Type: application/json\r\nContent-Length: 2\r\n\r\n{}");
  std::this_thread::sleep_for(milliseconds(100));
  workbench.reset();
  EXPECT_EQ(status_of(client.receive_all()), 200);
}

TEST(AbuseTest, APortThatIsTakenIsSaidInWords) {
  RunningWorkbench workbench;
  HttpOptions options;
  options.port = workbench.port();
  try {
    const HttpServer second(options, [](const Request&, const Respond&) {});
    FAIL() << "listens twice";
  } catch (const EnvironmentError& error) {
    EXPECT_EQ(error.kind(), EnvironmentError::Kind::kUnavailable);
    EXPECT_THAT(error.what(), HasSubstr("another program"));
  }
}

TEST(AbuseTest, DamagedRequestsNeverHurt) {
  RunningWorkbench workbench(short_limits());
  std::mt19937 random(20261126);  // seed
  const std::string good = "PUT /api/v1/jobs/0F3K2QA?x=1 HTTP/1.1\r\nHost: " + workbench.host() +
                           "\r\nContent-Type: application/json\r\nIf-Match: \"1\"\r\nConnection: close\r\nContent-Length: 30\r\n\r\n" +
                           R"({"document": {"title": "abc"}})";
  for (int i = 0; i < kMutations; ++i) {
    std::string bad = good;
    for (auto n = 1 + random() % 4; n > 0; --n) {
      const std::size_t at = random() % bad.size();
      if (random() % 3 == 0)
        bad.erase(at, 1 + random() % 6);
      else
        bad[at] = static_cast<char>(random() % 256);
    }
    RawClient client(workbench.port());
    client.send(bad);
    client.receive_all(milliseconds(5));
  }
  expect_answering(workbench);
  EXPECT_EQ(workbench.logged(), "") << "no incident";
}

}  // namespace
}  // namespace headjoint::server
