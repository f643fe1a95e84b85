#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "headjoint/base/file.h"
#include "headjoint/server/page_files.h"
#include "running_workbench.h"

namespace headjoint::server {
namespace {

using testing::HasSubstr;
using testing::Not;

const char* const kJson = "Content-Type: application/json\r\n";

/// One line of the table: ask this, get that.
struct Scenario {
  const char* what;
  const char* method;
  const char* target;
  const char* headers;
  const char* body;
  int status;
  const char* must_contain;
  const char* must_not_contain;
};

void PrintTo(const Scenario& scenario, std::ostream* out) { *out << scenario.what; }

/// {id} in the target is a job whose title is "runs hot".
const Scenario kScenarios[] = {
    {"the page", "GET", "/", "", "", 200, "<!doctype html>", "Set-Cookie"},
    {"the page forbids foreign content", "GET", "/", "", "", 200, "Content-Security-Policy: default-src 'none'; script-src 'self'",
     "unsafe"},
    {"the page is asked for again", "GET", "/", "", "", 200, "Cache-Control: no-cache", "immutable"},
    {"assets are kept for ever", "GET", "/assets/page-abc.js", "", "", 200, "immutable", "no-store"},
    {"assets have their type", "GET", "/assets/page-abc.js", "", "", 200, "Content-Type: text/javascript", "Content-Encoding"},
    {"assets come packed", "GET", "/assets/page-abc.js", "Accept-Encoding: br, gzip\r\n", "", 200, "Content-Encoding: gzip", "console.log"},
    {"assets not packed for who refuses", "GET", "/assets/page-abc.js", "Accept-Encoding: gzip;q=0\r\n", "", 200, "console.log",
     "Content-Encoding"},
    {"no such asset", "GET", "/assets/other.js", "", "", 404, "no such file", "immutable"},
    {"version", "GET", "/api/v1/version", "", "", 200, R"({"version":"0.1.0","schema_version":1})", ""},
    {"operations", "GET", "/api/v1/operations", "", "", 200, R"("name":"leak-down","summary":"areas")", ""},
    {"demo jobs, the first on top", "GET", "/api/v1/jobs", "", "", 200, R"("number":"0117","title":"runs hot")", "document"},
    {"a job", "GET", "/api/v1/jobs/{id}", "", "", 200, R"("document":{"format":1)", ""},
    {"a job has its revision as tag", "GET", "/api/v1/jobs/{id}", "", "", 200, "ETag: \"1\"", ""},
    {"a job not changed", "GET", "/api/v1/jobs/{id}", "If-None-Match: \"1\"\r\n", "", 304, "ETag", "document"},
    {"no such job", "GET", "/api/v1/jobs/0000000", "", "", 404, "application/problem+json", ""},
    {"history", "GET", "/api/v1/jobs/{id}/history", "", "", 200, R"("revisions":[{"revision":1)", ""},
    {"history of no job", "GET", "/api/v1/jobs/0000000/history", "", "", 404, "no job", ""},
    {"assessment", "GET", "/api/v1/jobs/{id}/assessment", "", "", 200, "stub for runs hot", ""},
    {"assessment with the plan", "GET", "/api/v1/jobs/{id}/assessment", "", "", 200,
     R"("plan":{"breach":"<svg data-layer=\"breach\"/>","face":null,"seen":null})", ""},
    {"questions", "GET", "/api/v1/jobs/{id}/questions", "", "", 200, "milky_oil", ""},
    {"paper", "GET", "/api/v1/jobs/{id}/paper", "", "", 200, "Content-Type: text/html", "script-src"},
    {"owner's sheet", "GET", "/api/v1/jobs/{id}/owner-sheet", "", "", 200, "owner's sheet", "script-src"},
    {"machine-shop order", "GET", "/api/v1/jobs/{id}/machine-shop-order", "", "", 200, "machine-shop order", "script-src"},
    {"plan of the repair", "GET", "/api/v1/jobs/{id}/repair-plan", "", "", 200, "plan of the repair", "script-src"},
    {"measuring sheets", "GET", "/api/v1/jobs/{id}/measuring-sheets", "", "", 200, "measuring sheets", "script-src"},
    {"warranty record", "GET", "/api/v1/jobs/{id}/warranty-record", "", "", 200, "warranty record", "script-src"},
    {"paper may style itself", "GET", "/api/v1/jobs/{id}/paper", "", "", 200, "style-src 'unsafe-inline'", "style-src 'self'"},
    {"list in pages", "GET", "/api/v1/jobs?limit=1", "", "", 200, R"("next":")", ""},
    {"list that is searched", "GET", "/api/v1/jobs?find=RUNS+h%C3%B6t", "", "", 200, R"("title":"runs hot")", "first demo"},
    {"list with a foolish limit", "GET", "/api/v1/jobs?limit=100000", "", "", 422, "1 to 500", ""},
    {"list from nowhere", "GET", "/api/v1/jobs?after=x", "", "", 422, "no place in the list", ""},
    {"engines", "GET", "/api/v1/engines", "", "", 200, R"("name":"Marlow","cylinders":"4")", ""},
    {"new engine", "GET", "/api/v1/new-engine?cylinders=3&name=Bee", "", "", 200, R"({"document":{"name":"Bee","engine":{"cylinders":3}}})",
     ""},
    {"an older revision that is not there", "GET", "/api/v1/jobs/{id}?revision=9", "", "", 422, "1 to 1", ""},
    {"nothing to undo", "POST", "/api/v1/jobs/{id}/undo", "If-Match: \"1\"\r\n", "", 409, "nothing to go back", ""},
    {"undo without If-Match", "POST", "/api/v1/jobs/{id}/undo", "", "", 428, "If-Match", ""},
    {"export as TOML", "GET", "/api/v1/jobs/{id}/export", "", "", 200, "title = 'runs hot'", ""},
    {"export is a file to keep", "GET", "/api/v1/jobs/{id}/export?format=json", "", "", 200, "attachment; filename=\"job-0117.json\"", ""},
    {"export as something else", "GET", "/api/v1/jobs/{id}/export?format=exe", "", "", 422, "toml or json", ""},
    {"import of a broken file", "POST", "/api/v1/jobs/import", kJson, R"({"text": "title = ", "source": "a.toml"})", 422,
     R"("source":"a.toml","line":1)", ""},
    {"import of the other kind", "POST", "/api/v1/jobs/import", kJson, R"({"text": "name = \"e\"\n[engine]\ncylinders = 4\n"})", 422,
     "page of engines", ""},
    {"import of a job as an engine", "POST", "/api/v1/engines/import", kJson, R"({"text": "title = \"x\"\n[signs]\n"})", 422,
     "page of jobs", ""},
    {"import of nothing", "POST", "/api/v1/jobs/import", kJson, R"({"text": ""})", 422, "the file is empty", ""},
    {"photographs of a job", "GET", "/api/v1/jobs/{id}/photos", "", "", 200, R"({"photos":[]})", ""},
    {"photographs of no job", "GET", "/api/v1/jobs/0000000/photos", "", "", 404, "no job", ""},
    {"a photograph that is a script", "POST", "/api/v1/jobs/{id}/photos", "Content-Type: text/html\r\n", "<script>", 415, "JPEG or PNG",
     ""},
    {"a photograph that is no picture", "POST", "/api/v1/jobs/{id}/photos", "Content-Type: image/jpeg\r\n", "<script>", 422,
     "this is no picture", ""},
    {"no such photograph", "GET", "/api/v1/jobs/{id}/photos/0000000", "", "", 404, "no such photograph", ""},
    {"shop documents", "GET", "/api/v1/shop", "", "", 200, R"("name":"prices","title":"hours and prices")", ""},
    {"a shop document never written", "GET", "/api/v1/shop/tools", "", "", 200, R"("revision":0)", ""},
    {"a shop document that is not kept", "GET", "/api/v1/shop/secrets", "", "", 404, "it keeps prices, tools", ""},
    {"a shop document with a fault", "PUT", "/api/v1/shop/tools", "Content-Type: application/json\r\nIf-Match: \"0\"\r\n",
     R"({"text": "a = 1\nb = "})", 422, R"("line":2)", ""},
    {"a shop document its reader refuses", "PUT", "/api/v1/shop/prices", "Content-Type: application/json\r\nIf-Match: \"0\"\r\n",
     R"({"text": "minute = 3"})", 422, "price of an hour is missing", ""},
    {"health", "GET", "/api/v1/health", "", "", 200, R"("jobs":)", ""},
    {"restoring what is no copy", "POST", "/api/v1/restore", "Content-Type: application/octet-stream\r\n", "no database at all", 422,
     "nothing was changed; the file: not a database", "passing"},
    {"restoring nothing", "POST", "/api/v1/restore", "Content-Type: application/octet-stream\r\n", "", 415, "send the copy itself", ""},
    {"a name that is no text", "DELETE", "/api/v1/jobs/0000000", "Headjoint-Who: %ff\r\n", "", 422, "who makes the change", ""},
    {"a save id that is no id", "DELETE", "/api/v1/jobs/0000000", "Headjoint-Save-Id: a b\r\n", "", 422, "save id", ""},
    {"no such calculation under way", "GET", "/api/v1/runs/none", "", "", 404, "no such calculation", ""},
    {"stopping what is not under way", "DELETE", "/api/v1/runs/none", "", "", 404, "no such calculation", ""},
    {"new job", "GET", "/api/v1/new-job?cylinders=6&layout=inline&fuel=diesel&title=knocks+%26+smokes", "", "", 200,
     R"({"document":{"title":"knocks & smokes","cylinders":6,"fuel":"diesel"}})", ""},
    {"new job with no engine's number of cylinders", "GET", "/api/v1/new-job?cylinders=99", "", "", 422, "1 to 16", ""},
    {"new job of unknown layout", "GET", "/api/v1/new-job?layout=star", "", "", 422, R"(layout \"star\" is not known)", ""},
    {"create without a document", "POST", "/api/v1/jobs", kJson, "{}", 422, R"("pointer":"/document")", ""},
    {"create with a key that is not known", "POST", "/api/v1/jobs", kJson, R"({"document": {}, "documnet": 1})", 422,
     R"(did you mean \"document\"?)", ""},
    {"put without If-Match", "PUT", "/api/v1/jobs/{id}", kJson, R"({"document": {}})", 428, "If-Match", ""},
    {"put with a bad If-Match", "PUT", "/api/v1/jobs/{id}", "Content-Type: application/json\r\nIf-Match: \"x\"\r\n", R"({"document": {}})",
     400, "revision", ""},
    {"put on no job", "PUT", "/api/v1/jobs/0000000", "Content-Type: application/json\r\nIf-Match: \"1\"\r\n", R"({"document": {}})", 404,
     "no job", ""},
    {"revert to no revision", "POST", "/api/v1/jobs/{id}/revert", kJson, R"({"revision": 77})", 404, "revision", ""},
    {"revert to nonsense", "POST", "/api/v1/jobs/{id}/revert", kJson, R"({"revision": 1e99})", 422, "whole number", ""},
    {"operation with options", "POST", "/api/v1/leak-down", kJson, R"({"options": {"supply": "80 psi", "reading": [60, "75"]}})", 200,
     R"("supply":"80 psi")", ""},
    {"operation with an option that is not known", "POST", "/api/v1/leak-down", kJson, R"({"options": {"suply": "80 psi"}})", 422,
     R"(did you mean \"supply\"?)", ""},
    {"operation on a dropped file", "POST", "/api/v1/assess", kJson, R"({"input": "title = \"smokes\"\n", "source": "a.toml"})", 200,
     "stub for smokes", ""},
    {"operation on a bad file: line and column", "POST", "/api/v1/assess", kJson, R"({"input": "title = \n", "source": "a.toml"})", 422,
     R"("source":"a.toml","line":1)", ""},
    {"operation on a document with a problem", "POST", "/api/v1/assess", kJson, R"({"input": {"number": "1"}, "source": "form"})", 422,
     R"("place":{"source":"form","line":0,"column":0,"pointer":"/title"},"severity":"error","what":"the title is missing","allowed":"text")",
     ""},
    {"operation without its input", "POST", "/api/v1/assess", kJson, "{}", 422, "the input is missing", ""},
    {"text goes through untouched", "POST", "/api/v1/flatness", kJson, R"({"input": "x;y;z\n1,5;2;3", "source": "face.csv"})", 200,
     R"(x;y;z\n1,5;2;3)", ""},
    {"broken contract: an incident, no detail", "POST", "/api/v1/assess", kJson, R"({"input": {"title": "broken contract"}})", 500,
     "incident", "secret"},
    {"input error names its argument", "POST", "/api/v1/assess", kJson, R"({"input": {"title": "input error"}})", 422, "/reading", ""},
    {"no file is read for a client", "POST", "/api/v1/assess", kJson, R"({"input": {"title": "reads a file"}})", 404, "cannot be read here",
     ""},
    {"no such address", "GET", "/api/v1/nonsense", "", "", 404, "application/problem+json", ""},
    {"an operation is asked for with POST", "GET", "/api/v1/assess", "", "", 405, "Allow: POST", ""},
    {"jobs are not posted to", "POST", "/api/v1/jobs/{id}", kJson, "{}", 405, "Allow: GET, HEAD, PUT, DELETE", ""},
    {"only JSON is taken", "POST", "/api/v1/jobs", "Content-Type: text/plain\r\n", "{}", 415, "application/json", ""},
    {"a form is not taken", "POST", "/api/v1/jobs", "Content-Type: application/x-www-form-urlencoded\r\n", "a=b", 415, "application/json",
     ""},
    {"bad JSON has line and column", "POST", "/api/v1/jobs", kJson, "{\"document\": {\n  \"a\": 1,,}}", 400, R"("line":2)", ""},
    {"not UTF-8", "POST", "/api/v1/jobs", kJson, "{\"document\": {\"a\": \"\xff\"}}", 400, "UTF-8", ""},
    {"an empty body", "POST", "/api/v1/jobs", kJson, "", 400, "empty", ""},
    {"a list is no body", "POST", "/api/v1/jobs", kJson, "[1]", 422, "a list", ""},
    {"a key given twice", "POST", "/api/v1/jobs", kJson, R"({"document": {"a": 1, "a": 2}})", 400, "twice", ""},
    {"a foreign page may change nothing", "POST", "/api/v1/jobs", "Content-Type: application/json\r\nOrigin: http://evil.example\r\n",
     R"({"document": {}})", 403, "own page", ""},
    {"a page without origin may change nothing", "POST", "/api/v1/jobs", "Content-Type: application/json\r\nOrigin: null\r\n",
     R"({"document": {}})", 403, "own page", ""},
    {"a cross-site request is seen by its mark", "POST", "/api/v1/jobs", "Content-Type: application/json\r\nSec-Fetch-Site: cross-site\r\n",
     R"({"document": {}})", 403, "own page", ""},
    {"climbing out of the page's folder", "GET", "/assets/../../../etc/passwd", "", "", 400, "address", "root:"},
    {"climbing with percent signs", "GET", "/assets/%2e%2e/%2e%2e/etc/passwd", "", "", 400, "address", "root:"},
    {"climbing with a backslash", "GET", "/assets/..%5c..%5cetc%5cpasswd", "", "", 400, "address", "root:"},
    {"a NUL in the address", "GET", "/assets/page-abc.js%00.html", "", "", 400, "address", ""},
    {"no header can be smuggled in", "GET", "/api/v1/jobs/a%0d%0aX-Evil:%20yes", "", "", 400, "address", "X-Evil"},
};

RunningWorkbench& shared_workbench() {
  static RunningWorkbench workbench;
  return workbench;
}

class WorkbenchScenario : public testing::TestWithParam<Scenario> {};

TEST_P(WorkbenchScenario, AnswersAsTheContractSays) {
  static const std::string id = shared_workbench().make_job("runs hot");
  const Scenario& scenario = GetParam();
  std::string target = scenario.target;
  if (const std::size_t at = target.find("{id}"); at != std::string::npos) target.replace(at, 4, id);
  const std::string answer = shared_workbench().ask(scenario.method, target, scenario.body, scenario.headers);
  EXPECT_EQ(status_of(answer), scenario.status) << answer;
  EXPECT_THAT(answer, HasSubstr(scenario.must_contain));
  if (*scenario.must_not_contain != '\0') {
    EXPECT_THAT(answer, Not(HasSubstr(scenario.must_not_contain)));
  }
  EXPECT_THAT(answer, HasSubstr("X-Content-Type-Options: nosniff"));
}
INSTANTIATE_TEST_SUITE_P(Contract, WorkbenchScenario, testing::ValuesIn(kScenarios));

TEST(WorkbenchTest, DemoJobsFillAnEmptyStoreInTheirOrder) {
  RunningWorkbench workbench;
  const std::string list = workbench.ask("GET", "/api/v1/jobs");
  EXPECT_LT(list.find("first demo"), list.find("second demo"));
}

TEST(WorkbenchTest, TheLastChangedJobHeadsTheList) {
  RunningWorkbench workbench;
  const std::string id = workbench.make_job("newest");
  const std::string list = RunningWorkbench::body_of(workbench.ask("GET", "/api/v1/jobs"));
  EXPECT_EQ(list.find(id), list.find("\"id\":\"") + 6);
}

std::string put_headers(int revision) { return std::string(kJson) + "If-Match: \"" + std::to_string(revision) + "\"\r\n"; }

TEST(WorkbenchTest, TwoEditorsTheSecondIsToldWhatTheFirstSaved) {
  RunningWorkbench workbench;
  const std::string target = "/api/v1/jobs/" + workbench.make_job("a");
  EXPECT_EQ(status_of(workbench.ask("PUT", target, R"({"document": {"title": "first editor"}})", put_headers(1))), 200);
  const std::string second = workbench.ask("PUT", target, R"({"document": {"title": "second editor"}})", put_headers(1));
  EXPECT_EQ(status_of(second), 412);
  EXPECT_THAT(second, HasSubstr(R"("current":{"id":)"));
  EXPECT_THAT(second, HasSubstr("first editor"));
}

TEST(WorkbenchTest, ALostAnswerIsGivenAgain) {
  RunningWorkbench workbench;
  const std::string target = "/api/v1/jobs/" + workbench.make_job("a");
  const std::string body = R"({"document": {"title": "b"}, "note": "typed"})";
  const std::string first = workbench.ask("PUT", target, body, put_headers(1));
  const std::string again = workbench.ask("PUT", target, body, put_headers(1));
  EXPECT_EQ(status_of(first), 200);
  EXPECT_EQ(first, again);
  EXPECT_THAT(first, HasSubstr("\"revision\":2"));
}

TEST(WorkbenchTest, GoingBackMakesANewRevision) {
  RunningWorkbench workbench;
  const std::string target = "/api/v1/jobs/" + workbench.make_job("a");
  (void)workbench.ask("PUT", target, R"({"document": {"title": "b"}})", put_headers(1));
  const std::string answer = workbench.ask("POST", target + "/revert", R"({"revision": 1})");
  EXPECT_EQ(status_of(answer), 200);
  EXPECT_THAT(answer, HasSubstr("\"revision\":3"));
  EXPECT_THAT(workbench.ask("GET", target), HasSubstr("\"title\":\"a\""));
}

TEST(WorkbenchTest, AJobThatDoesNotDecodeIsKeptAndItsProblemsAreTold) {
  RunningWorkbench workbench;
  const std::string made = workbench.ask("POST", "/api/v1/jobs", R"({"document": {"number": 5, "unfinished": "bor"}})");
  EXPECT_EQ(status_of(made), 201);
  const std::string id = read_json(RunningWorkbench::body_of(made), "")->find("id")->text();
  const std::string answer = workbench.ask("GET", "/api/v1/jobs/" + id + "/assessment");
  EXPECT_EQ(status_of(answer), 422);
  EXPECT_THAT(answer, HasSubstr("the title is missing"));
  EXPECT_THAT(workbench.ask("GET", "/api/v1/jobs/" + id), HasSubstr("\"unfinished\":\"bor\""));
}

TEST(WorkbenchTest, ThePlanShowsTheFaceWhenOneWasMeasured) {
  RunningWorkbench workbench;
  const std::string id = workbench.make_job("with a face");
  EXPECT_THAT(workbench.ask("GET", "/api/v1/jobs/" + id + "/assessment"), HasSubstr(R"("face":"<svg data-layer=\"face\"/>")"));
}

TEST(WorkbenchTest, AnIncidentIsLoggedWithItsDetailUnderTheNumberThatThePersonSees) {
  RunningWorkbench workbench;
  const std::string answer = workbench.ask("POST", "/api/v1/assess", R"({"input": {"title": "broken contract"}})");
  const std::size_t at = answer.find("incident ") + 9;
  EXPECT_THAT(workbench.logged(), HasSubstr("incident " + answer.substr(at, 8) + ": "));
  EXPECT_THAT(workbench.logged(), HasSubstr("secret detail"));
}

TEST(WorkbenchTest, HeadIsGetWithoutItsBody) {
  RunningWorkbench workbench;
  const std::string answer = workbench.ask("HEAD", "/");
  EXPECT_EQ(status_of(answer), 200);
  EXPECT_TRUE(RunningWorkbench::body_of(answer).empty());
  EXPECT_THAT(answer, HasSubstr("Content-Length: " + std::to_string(sizeof kPage - 1)));
}

TEST(WorkbenchTest, AKnownTagIsAnsweredWithoutTheBody) {
  RunningWorkbench workbench;
  const std::string first = workbench.ask("GET", "/");
  const std::size_t at = first.find("ETag: ") + 6;
  const std::string again = workbench.ask("GET", "/", {}, "If-None-Match: " + first.substr(at, first.find("\r\n", at) - at) + "\r\n");
  EXPECT_EQ(status_of(again), 304);
  EXPECT_TRUE(RunningWorkbench::body_of(again).empty());
}

TEST(WorkbenchTest, ThePagesFolderIsReadAfreshAndNotLeft) {
  TemporaryFolder folder;
  const PageFiles files({}, folder.path().string());
  EXPECT_EQ(files.answer({}, "/").status, 404);
  write_file((folder.path() / "index.html").string(), "one");
  EXPECT_EQ(files.answer({}, "/").body, "one");
  write_file((folder.path() / "index.html").string(), "two");
  EXPECT_EQ(files.answer({}, "/").body, "two");
  EXPECT_EQ(files.answer({}, "/.").status, 404) << "a folder is no file";
}

}  // namespace
}  // namespace headjoint::server
