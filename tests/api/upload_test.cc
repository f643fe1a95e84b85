#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "running_workbench.h"

/// Files of any length over HTTP: put on disk, asked about more than once, refused when they are too long.
namespace headjoint::server {
namespace {

using std::chrono::milliseconds;
using testing::HasSubstr;

constexpr std::size_t kBeyondAText = 40U << 20U;  // five times what a text may have
constexpr long kMostGrowthKiB = 16 * 1024;
const std::string kFileType = "Content-Type: application/octet-stream\r\n";

long resident_memory() {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);)
    if (line.starts_with("VmRSS:")) return std::stol(line.substr(6));
  return 0;
}

Document document_of(const std::string& answer) {
  const Result<Document> document = read_json(RunningWorkbench::body_of(answer), "");
  return document ? *document : Document();
}
std::string text_at(const Document& document, const char* key) {
  const Document* found = document.find(key);
  return found != nullptr && found->is_text() ? found->text() : std::string();
}
double number_at(const Document& document, const char* key) {
  const Document* found = document.find(key);
  return found != nullptr && found->is_number() ? found->number() : -1;
}

std::string send_file(const RunningWorkbench& workbench, const std::string& bytes) {
  return text_at(document_of(workbench.ask("POST", "/api/v1/uploads?source=cranking.wav", bytes, kFileType)), "upload");
}

TEST(UploadTest, AFileIsAskedAboutWithItsOptionsInTheAddress) {
  RunningWorkbench workbench;
  for (const char* type : {"application/octet-stream", "text/csv", "audio/wav"}) {
    const std::string answer = workbench.ask("POST", "/api/v1/recording?kind=battery-voltage&source=log%201.csv", "1,2\n3,4\n",
                                             "Content-Type: " + std::string(type) + "\r\n");
    ASSERT_EQ(status_of(answer), 200) << answer;
    const Document reply = document_of(answer);
    EXPECT_EQ(number_at(reply, "bytes"), 8);
    EXPECT_EQ(text_at(reply, "kind"), "battery-voltage");
    EXPECT_EQ(text_at(reply, "source"), "log 1.csv");
    EXPECT_FALSE(text_at(reply, "upload").empty());
  }
  EXPECT_EQ(status_of(workbench.ask("POST", "/api/v1/recording?knid=x", "1", kFileType)), 422) << "an option that is not known";
}

TEST(UploadTest, AFileSentOnceIsAskedAboutAgainAndLookedAtCloser) {
  RunningWorkbench workbench;
  const std::string id = send_file(workbench, "123456");
  ASSERT_FALSE(id.empty());
  EXPECT_EQ(status_of(workbench.ask("GET", "/api/v1/uploads/" + id + "/window?from=0&to=1&columns=10")), 404) << "nothing drawn yet";
  for (const char* kind : {"starter-current", "battery-voltage"}) {
    const std::string answer =
        workbench.ask("POST", "/api/v1/recording", R"({"upload": ")" + id + R"(", "options": {"kind": ")" + kind + "\"}}");
    ASSERT_EQ(status_of(answer), 200) << answer;
    EXPECT_EQ(text_at(document_of(answer), "kind"), kind);
    EXPECT_EQ(text_at(document_of(answer), "source"), "cranking.wav");
    EXPECT_EQ(number_at(document_of(answer), "bytes"), 6);
  }
  const Document window = document_of(workbench.ask("GET", "/api/v1/uploads/" + id + "/window?from=1.5&to=2&columns=999999"));
  EXPECT_EQ(number_at(window, "from_s"), 1.5);
  EXPECT_EQ(number_at(window, "columns"), 10000);
  EXPECT_EQ(status_of(workbench.ask("GET", "/api/v1/uploads/" + id + "/window?from=1&to=x&columns=3")), 422);
  EXPECT_EQ(status_of(workbench.ask("DELETE", "/api/v1/uploads/" + id)), 204);
  EXPECT_EQ(status_of(workbench.ask("POST", "/api/v1/recording", R"({"upload": ")" + id + "\"}")), 404);
}

TEST(UploadTest, TheTextOfAShortTableMayStillBeSentInTheQuestion) {
  RunningWorkbench workbench;
  const std::string answer = workbench.ask("POST", "/api/v1/recording", R"({"input": "1,2\n", "source": "short.csv"})");
  EXPECT_EQ(number_at(document_of(answer), "bytes"), 4) << answer;
  EXPECT_EQ(status_of(workbench.ask("POST", "/api/v1/recording", "{}")), 422);
}

TEST(UploadTest, ALongFileTakesNoMemory) {
  RunningWorkbench workbench;
  const long before = resident_memory();
  RawClient client(workbench.port());
  client.send("POST /api/v1/recording HTTP/1.1\r\nHost: " + workbench.host() + "\r\nConnection: close\r\n" + kFileType +
              "Content-Length: " + std::to_string(kBeyondAText) + "\r\n\r\n");
  const std::string block(1U << 20U, 'x');
  for (std::size_t sent = 0; sent < kBeyondAText; sent += block.size()) ASSERT_TRUE(client.send(block));
  const std::string answer = client.receive_all();
  ASSERT_EQ(status_of(answer), 200) << answer;
  EXPECT_EQ(number_at(document_of(answer), "bytes"), static_cast<double>(kBeyondAText));
  EXPECT_LT(resident_memory() - before, kMostGrowthKiB);
}

TEST(UploadTest, AFileInChunksIsTakenToo) {
  RunningWorkbench workbench;
  RawClient client(workbench.port());
  client.send("POST /api/v1/recording HTTP/1.1\r\nHost: " + workbench.host() + "\r\nConnection: close\r\n" + kFileType +
              "Transfer-Encoding: chunked\r\n\r\n4\r\n1,2\n\r\n3\r\n3,4\r\n0\r\n\r\n");
  EXPECT_EQ(number_at(document_of(client.receive_all()), "bytes"), 7);
}

TEST(UploadTest, AFileBeyondTheLimitIsRefusedInWords) {
  Limits limits;
  limits.file_bytes = 1U << 20U;
  limits.linger = milliseconds(300);
  RunningWorkbench workbench(limits);
  RawClient announced(workbench.port());
  announced.send("POST /api/v1/uploads HTTP/1.1\r\nHost: " + workbench.host() + "\r\n" + kFileType + "Content-Length: 99999999999\r\n\r\n");
  const std::string answer = announced.receive_all();
  EXPECT_EQ(status_of(answer), 413);
  EXPECT_THAT(answer, HasSubstr("1 MiB at most"));
  RawClient chunked(workbench.port());
  chunked.send("POST /api/v1/uploads HTTP/1.1\r\nHost: " + workbench.host() + "\r\n" + kFileType + "Transfer-Encoding: chunked\r\n\r\n");
  const std::string chunk = "40000\r\n" + std::string(0x40000, ' ') + "\r\n";
  for (int i = 0; i < 8 && chunked.send(chunk); ++i) {
  }
  EXPECT_EQ(status_of(chunked.receive_all()), 413);
}

TEST(UploadTest, AFileCutShortLeavesNothingBehindAndHarmsNobody) {
  RunningWorkbench workbench;
  {
    RawClient client(workbench.port());
    client.send("POST /api/v1/uploads HTTP/1.1\r\nHost: " + workbench.host() + "\r\n" + kFileType + "Content-Length: 5000000\r\n\r\n" +
                std::string(1000000, 'x'));
  }
  EXPECT_EQ(status_of(workbench.ask("POST", "/api/v1/recording", "1", kFileType)), 200);
  EXPECT_TRUE(std::filesystem::is_empty(workbench.file_folder()));
}

TEST(UploadTest, AFileThatStopsComingIsCutAtItsDeadline) {
  Limits limits;
  limits.body = milliseconds(300);
  RunningWorkbench workbench(limits);
  RawClient client(workbench.port());
  client.send("POST /api/v1/uploads HTTP/1.1\r\nHost: " + workbench.host() + "\r\n" + kFileType + "Content-Length: 500\r\n\r\nabc");
  EXPECT_EQ(status_of(client.receive_all()), 408);
}

TEST(UploadTest, OneFileTooManyAtATimeIsAskedToWait) {
  Limits limits;
  limits.files = 1;
  limits.linger = milliseconds(300);
  RunningWorkbench workbench(limits);
  const std::string head = "POST /api/v1/uploads HTTP/1.1\r\nHost: " + workbench.host() + "\r\n" + kFileType + "Content-Length: 3\r\n\r\n";
  RawClient first(workbench.port()), second(workbench.port());
  first.send(head + "a");
  std::this_thread::sleep_for(milliseconds(100));
  second.send(head + "abc");
  EXPECT_EQ(status_of(second.receive_all()), 503);
  first.send("bc");
  EXPECT_EQ(status_of(first.receive_one()), 201);
}

TEST(UploadTest, AStrangersFileIsNotTaken) {
  RunningWorkbench workbench;
  EXPECT_EQ(status_of(workbench.ask("POST", "/api/v1/uploads", "abc", kFileType + "Origin: http://evil.example\r\n")), 403);
  RawClient client(workbench.port());
  client.send("POST /api/v1/uploads HTTP/1.1\r\nHost: " + workbench.host() + "\r\nOrigin: http://evil.example\r\n" + kFileType +
              "Content-Length: 99999999\r\n\r\n");
  EXPECT_EQ(status_of(client.receive_all()), 413) << "a stranger's body is a text, and too long for one";
}

TEST(UploadTest, OnlyAddressesThatTakeFilesTakeThem) {
  RunningWorkbench workbench;
  EXPECT_EQ(status_of(workbench.ask("POST", "/api/v1/leak-down", "abc", kFileType)), 415);
  EXPECT_EQ(status_of(workbench.ask("POST", "/api/v1/uploads", "{}")), 415) << "the file itself is wanted";
}

TEST(UploadTest, ReadingALongFileIsWatchedAndStopped) {
  RunningWorkbench workbench;
  const std::string id = send_file(workbench, std::string(4U << 20U, 'x'));
  std::thread asking([&] {
    const std::string answer =
        workbench.ask("POST", "/api/v1/recording", R"({"upload": ")" + id + R"(", "options": {"kind": "slow"}, "run": "r1"})");
    EXPECT_THAT(answer, HasSubstr("reading was stopped"));
  });
  double share = 0;
  for (int i = 0; i < 200 && !(share > 0); ++i) {
    std::this_thread::sleep_for(milliseconds(20));
    share = number_at(document_of(workbench.ask("GET", "/api/v1/runs/r1")), "share");
  }
  EXPECT_GT(share, 0);
  EXPECT_EQ(status_of(workbench.ask("DELETE", "/api/v1/runs/r1")), 204);
  asking.join();
}

}  // namespace
}  // namespace headjoint::server
