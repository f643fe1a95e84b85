// Undo, the bin, photographs, shop documents, files in and out, over HTTP.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "running_workbench.h"

namespace headjoint::server {
namespace {

using testing::HasSubstr;
using testing::Not;

std::string on(int revision, const std::string& more = {}) {
  return "Content-Type: application/json\r\nIf-Match: \"" + std::to_string(revision) + "\"\r\n" + more;
}

Document answer_of(const std::string& answer) {
  const Result<Document> document = read_json(RunningWorkbench::body_of(answer), "");
  EXPECT_TRUE(document) << answer;
  return document ? *document : Document();
}

std::string text_at(const std::string& answer, const char* key) {
  const Document document = answer_of(answer);
  const Document* text = document.find(key);
  return text != nullptr && text->is_text() ? text->text() : std::string();
}

TEST(ShopTest, UndoAndRedoSayWhatTheyDid) {
  RunningWorkbench workbench;
  const std::string job = "/api/v1/jobs/" + workbench.make_job("a");
  (void)workbench.ask("PUT", job, R"({"document": {"title": "b"}, "note": "title typed"})", on(1, "Headjoint-Who: %C3%96d%C3%B6n\r\n"));
  const std::string now = workbench.ask("GET", job);
  EXPECT_THAT(now, HasSubstr(R"("undo":{"note":"title typed","who":"Ödön")"));
  const std::string undone = workbench.ask("POST", job + "/undo", {}, on(2));
  EXPECT_EQ(status_of(undone), 200);
  EXPECT_THAT(undone, HasSubstr(R"("title":"a")"));
  EXPECT_THAT(undone, HasSubstr(R"("redo":{"note":"title typed")"));
  EXPECT_THAT(workbench.ask("POST", job + "/redo", {}, on(3)), HasSubstr(R"("title":"b")"));
  EXPECT_EQ(status_of(workbench.ask("POST", job + "/undo", {}, on(3))), 412) << "on a revision that was overtaken";
}

TEST(ShopTest, HistoryTellsWhoWhenWhatItWasAndIs) {
  RunningWorkbench workbench;
  const std::string job = "/api/v1/jobs/" + workbench.make_job("a");
  (void)workbench.ask("PUT", job, R"({"document": {"format": 1, "number": "0117", "title": "b"}})", on(1, "Headjoint-Who: Ada\r\n"));
  const std::string history = workbench.ask("GET", job + "/history");
  EXPECT_THAT(history,
              HasSubstr(R"("who":"Ada","note":"","kind":"saved","changes":[{"path":"/title","old":"a","new":"b"}],"more_changes":false)"));
  EXPECT_THAT(history, HasSubstr(R"("kind":"opened")"));
  EXPECT_THAT(workbench.ask("GET", job + "/history?limit=1"), HasSubstr(R"("next":2)"));
}

TEST(ShopTest, AJobDeletedElsewhereIsToldInWordsAndNothingIsLost) {
  RunningWorkbench workbench;
  const std::string id = workbench.make_job("a");
  const std::string job = "/api/v1/jobs/" + id;
  EXPECT_EQ(status_of(workbench.ask("DELETE", job, {}, "Headjoint-Who: Ada\r\n")), 200);
  const std::string save = workbench.ask("PUT", job, R"({"document": {"title": "b"}})", on(1));
  EXPECT_EQ(status_of(save), 410);
  EXPECT_THAT(save, HasSubstr("put into the bin by Ada"));
  EXPECT_THAT(save, HasSubstr(R"("title":"a")"));
  EXPECT_THAT(workbench.ask("GET", "/api/v1/jobs"), Not(HasSubstr(id)));
  EXPECT_THAT(workbench.ask("GET", "/api/v1/jobs?bin=true"), HasSubstr(id));
  EXPECT_THAT(workbench.ask("GET", job), HasSubstr("binned_at"));
  EXPECT_EQ(status_of(workbench.ask("POST", job + "/restore")), 200);
  EXPECT_EQ(status_of(workbench.ask("PUT", job, R"({"document": {"title": "b"}})", on(3))), 200);
}

TEST(ShopTest, ARepeatedRequestMakesNothingTwice) {
  RunningWorkbench workbench;
  const std::string headers = "Content-Type: application/json\r\nHeadjoint-Save-Id: page-7_1\r\n";
  const std::string first = workbench.ask("POST", "/api/v1/jobs", R"({"document": {"title": "x"}})", headers);
  const std::string again = workbench.ask("POST", "/api/v1/jobs", R"({"document": {"title": "x"}})", headers);
  EXPECT_EQ(status_of(again), 201);
  EXPECT_EQ(text_at(first, "id"), text_at(again, "id"));
}

TEST(ShopTest, PhotographsAreKeptRewrittenAndNeverShownAsAPage) {
  RunningWorkbench workbench;
  const std::string photos = "/api/v1/jobs/" + workbench.make_job("a") + "/photos";
  const std::string added = workbench.ask("POST", photos + "?caption=old+gasket", "picture bytes", "Content-Type: image/png\r\n");
  EXPECT_EQ(status_of(added), 201);
  EXPECT_THAT(added, HasSubstr(R"("caption":"old gasket","type":"image/jpeg","width":640)"));
  const std::string photo = photos + "/" + text_at(added, "id");
  const std::string sent = workbench.ask("GET", photo);
  EXPECT_EQ(RunningWorkbench::body_of(sent), "kept picture bytes");
  for (const char* header : {"Content-Type: image/jpeg", "X-Content-Type-Options: nosniff", "Content-Disposition: attachment", "sandbox"})
    EXPECT_THAT(sent, HasSubstr(header));
  EXPECT_THAT(workbench.ask("PUT", photo, R"({"caption": "<script>"})"), HasSubstr(R"("caption":"<script>")"));
  EXPECT_EQ(status_of(workbench.ask("DELETE", photo)), 200);
  EXPECT_THAT(workbench.ask("GET", photos), HasSubstr(R"({"photos":[]})"));
  EXPECT_THAT(workbench.ask("GET", photos + "?bin=true"), HasSubstr("binned_at"));
  EXPECT_EQ(status_of(workbench.ask("POST", photo + "/restore")), 200);
  const std::string other = "/api/v1/jobs/" + workbench.make_job("b") + "/photos/" + text_at(added, "id");
  EXPECT_EQ(status_of(workbench.ask("GET", other)), 404) << "of another job";
}

TEST(ShopTest, AHugePhotographIsRefusedInWordsBeforeItComes) {
  RunningWorkbench workbench;
  RawClient client(workbench.port());
  client.send("POST /api/v1/jobs/" + workbench.make_job("a") + "/photos HTTP/1.1\r\nHost: " + workbench.host() +
              "\r\nContent-Type: image/jpeg\r\nContent-Length: 524288000\r\n\r\n");
  const std::string answer = client.receive_all();
  EXPECT_EQ(status_of(answer), 413);
  EXPECT_THAT(answer, HasSubstr("24 MiB at most"));
}

TEST(ShopTest, APhotographFromAPageElsewhereIsNotTaken) {
  RunningWorkbench workbench;
  const std::string photos = "/api/v1/jobs/" + workbench.make_job("a") + "/photos";
  EXPECT_EQ(status_of(workbench.ask("POST", photos, "picture", "Content-Type: image/jpeg\r\nOrigin: http://evil.example\r\n")), 403);
  EXPECT_THAT(workbench.ask("GET", photos), HasSubstr(R"({"photos":[]})"));
}

TEST(ShopTest, ScriptsInNamesStayText) {
  RunningWorkbench workbench;
  const std::string title = "<script>alert(1)</script>";
  const std::string job = "/api/v1/jobs/" + workbench.make_job(title);
  const std::string list = workbench.ask("GET", "/api/v1/jobs?find=script");
  EXPECT_THAT(list, HasSubstr("Content-Type: application/json"));
  EXPECT_THAT(list, HasSubstr(title));
  EXPECT_THAT(workbench.ask("GET", job + "/export"), HasSubstr("Content-Disposition: attachment"));
}

TEST(ShopTest, AnswersAboutAJobFollowItsChanges) {
  RunningWorkbench workbench;
  const std::string job = "/api/v1/jobs/" + workbench.make_job("a");
  EXPECT_THAT(workbench.ask("GET", job + "/assessment"), HasSubstr("stub for a"));
  EXPECT_THAT(workbench.ask("GET", job + "/assessment"), HasSubstr("stub for a")) << "kept";
  (void)workbench.ask("PUT", job, R"({"document": {"title": "b"}})", on(1));
  EXPECT_THAT(workbench.ask("GET", job + "/assessment"), HasSubstr("stub for b"));
  (void)workbench.ask("POST", job + "/undo", {}, on(2));
  EXPECT_THAT(workbench.ask("GET", job + "/assessment"), HasSubstr("stub for a"));
  EXPECT_EQ(status_of(workbench.ask("GET", "/api/v1/jobs/0000000/assessment")), 404);
}

TEST(ShopTest, AnOperationGetsTheShopsDocumentUnlessOneWasSent) {
  RunningWorkbench workbench;
  EXPECT_THAT(workbench.ask("POST", "/api/v1/options", "{}"), HasSubstr(R"("prices":null)"));
  EXPECT_EQ(status_of(workbench.ask("PUT", "/api/v1/shop/prices", R"({"text": "hour = 80"})", on(0))), 200);
  EXPECT_THAT(workbench.ask("POST", "/api/v1/options", "{}"), HasSubstr(R"({"prices":"hour = 80","source":"shop document prices"})"));
  EXPECT_THAT(workbench.ask("POST", "/api/v1/options", R"({"options": {"prices": "hour = 1"}})"), HasSubstr(R"("prices":"hour = 1")"));
  EXPECT_EQ(status_of(workbench.ask("PUT", "/api/v1/shop/prices", R"({"text": "hour = 90"})", on(0))), 412);
  EXPECT_THAT(workbench.ask("GET", "/api/v1/shop/prices"), HasSubstr(R"("example":"# hour = 80","text":"hour = 80")"));
  EXPECT_EQ(status_of(workbench.ask("PUT", "/api/v1/shop/prices", R"({"text": "hour = 90"})", on(1))), 200);
  EXPECT_THAT(workbench.ask("POST", "/api/v1/shop/prices/undo", {}, on(2)), HasSubstr(R"("text":"hour = 80")"));
}

TEST(ShopTest, AKeptPhotographCanBeGivenToAnOperation) {
  RunningWorkbench workbench;
  const std::string added =
      workbench.ask("POST", "/api/v1/jobs/" + workbench.make_job("a") + "/photos", "picture", "Content-Type: image/jpeg\r\n");
  EXPECT_THAT(workbench.ask("POST", "/api/v1/options", R"({"options": {"prices": {"photo": ")" + text_at(added, "id") + "\"}}}"),
              HasSubstr(R"("prices":"kept picture")"));
  EXPECT_EQ(status_of(workbench.ask("POST", "/api/v1/options", R"({"options": {"prices": {"photo": "nothing"}}})")), 404);
}

TEST(ShopTest, AFileGoesOutAndComesBack) {
  RunningWorkbench workbench;
  const std::string made =
      workbench.ask("POST", "/api/v1/jobs", R"({"document": {"number": "7", "title": "x", "values": ["12", null, 3]}})");
  const std::string file = RunningWorkbench::body_of(workbench.ask("GET", "/api/v1/jobs/" + text_at(made, "id") + "/export"));
  const Document body = Table{{"text", file}, {"source", "job-7.toml"}};
  const std::string back = workbench.ask("POST", "/api/v1/jobs/import", write_json(body, -1));
  EXPECT_EQ(status_of(back), 201);
  EXPECT_THAT(back, HasSubstr("a doubtful figure")) << "told, but nothing is kept out";
  EXPECT_THAT(workbench.ask("GET", "/api/v1/jobs/" + text_at(back, "id")), HasSubstr(R"("values":["12","",3])"));
}

TEST(ShopTest, ACopyOfAnEngineHasItsOwnNameAndItsPhotographs) {
  RunningWorkbench workbench;
  const std::string made = workbench.ask("POST", "/api/v1/engines", R"({"document": {"name": "Bee", "engine": {"cylinders": 4}}})");
  const std::string engine = "/api/v1/engines/" + text_at(made, "id");
  (void)workbench.ask("POST", engine + "/photos", "picture", "Content-Type: image/jpeg\r\n");
  const std::string copy = workbench.ask("POST", engine + "/copy", R"({"name": "Bee, bored out"})");
  EXPECT_EQ(status_of(copy), 201);
  const std::string second = "/api/v1/engines/" + text_at(copy, "id");
  EXPECT_THAT(workbench.ask("GET", second), HasSubstr("Bee, bored out"));
  EXPECT_THAT(workbench.ask("GET", second + "/photos"), HasSubstr("image/jpeg"));
  EXPECT_EQ(status_of(workbench.ask("GET", "/api/v1/jobs/" + text_at(copy, "id"))), 404) << "an engine is no job";
}

TEST(ShopTest, TheWholeShopGoesOutAsOneFileAndComesBack) {
  RunningWorkbench workbench;
  const std::string id = workbench.make_job("when copied");
  const std::string copy = workbench.ask("GET", "/api/v1/backup");
  EXPECT_EQ(status_of(copy), 200);
  EXPECT_THAT(copy, HasSubstr("attachment; filename=\"headjoint-copy.hjshop\""));
  (void)workbench.ask("PUT", "/api/v1/jobs/" + id, R"({"document": {"title": "later"}})", on(1));
  const std::string restored =
      workbench.ask("POST", "/api/v1/restore", RunningWorkbench::body_of(copy), "Content-Type: application/octet-stream\r\n");
  EXPECT_EQ(status_of(restored), 200) << restored.substr(0, 600);
  EXPECT_THAT(text_at(restored, "kept_beside"), HasSubstr("before-restore"));
  EXPECT_THAT(workbench.ask("GET", "/api/v1/jobs/" + id), HasSubstr("when copied"));
}

TEST(ShopTest, ACalculationIsKnownWhileItWaits) {
  RunningWorkbench workbench;
  const auto start = [&](const std::string& name) {
    auto client = std::make_unique<RawClient>(workbench.port());
    const std::string body = R"({"run": ")" + name + "\"}";
    client->send("POST /api/v1/watched HTTP/1.1\r\nHost: " + workbench.host() +
                 "\r\nContent-Type: application/json\r\nConnection: close\r\nContent-Length: " + std::to_string(body.size()) + "\r\n\r\n" +
                 body);
    return client;
  };
  const auto first = start("first");
  const auto second = start("second");
  std::string answer;
  for (int i = 0; i < 100 && status_of(answer) != 200; ++i) {
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
    answer = workbench.ask("GET", "/api/v1/runs/second");
  }
  EXPECT_THAT(answer, HasSubstr(R"({"share":0.0})"));
  EXPECT_EQ(status_of(workbench.ask("DELETE", "/api/v1/runs/first")), 204);
  EXPECT_EQ(status_of(first->receive_all()), 200);
  EXPECT_EQ(status_of(workbench.ask("DELETE", "/api/v1/runs/second")), 204);
  EXPECT_EQ(status_of(second->receive_all()), 200);
}

}  // namespace
}  // namespace headjoint::server
