// The command line as a person or a script meets it: exit codes, where the words go, and the keys others rely on.
#include <fcntl.h>
#include <gmock/gmock.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <sstream>
#include <streambuf>

#include "headjoint/assess/operation.h"
#include "headjoint/base/document.h"
#include "headjoint/base/file.h"
#include "headjoint/cli/command_line.h"

namespace headjoint::cli {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

const std::string kJob = HEADJOINT_SOURCE_DIR "/data/examples/0117-two-cylinders.toml";
const std::string kFace = HEADJOINT_SOURCE_DIR "/data/examples/0117-head-face.csv";
const std::string kEngine = HEADJOINT_SOURCE_DIR "/data/engines/marlow-16.toml";
constexpr double kSame = 1e-9;

struct Told {
  int code = 0;
  std::string out;
  std::string err;
};

Told tell(const std::vector<std::string>& words) {
  std::ostringstream out;
  std::ostringstream err;
  const int code = run(words, {}, out, err);
  return {code, out.str(), err.str()};
}

Document json(const std::string& text) {
  auto document = read_json(text, "answer");
  EXPECT_TRUE(document) << to_string(document.problems()) << text;
  return document ? *document : Document();
}

/// Every key of a dotted path, looked up in the first row of each list on the way.
const Document* at(const Document& document, std::initializer_list<const char*> path) {
  const Document* node = &document;
  for (const char* key : path) {
    if (node->is_array()) node = node->array().empty() ? nullptr : &node->array().front();
    if (node != nullptr) node = node->find(key);
    if (node == nullptr) return nullptr;
  }
  return node;
}

/// A folder of its own that goes away with the test.
class CommandLine : public testing::Test {
 protected:
  CommandLine() : folder_(fs::temp_directory_path() / ("headjoint-cli-" + std::to_string(::getpid()))) { fs::create_directories(folder_); }
  ~CommandLine() override { fs::remove_all(folder_); }

  std::string file(const std::string& name, const std::string& content) {
    const std::string path = (folder_ / name).string();
    write_file(path, content);
    return path;
  }

  fs::path folder_;
};

/// Standard input comes from a file while it lives.
class InputFrom {
 public:
  explicit InputFrom(const std::string& path) : kept_(::dup(STDIN_FILENO)) {
    const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    ::dup2(file, STDIN_FILENO);
    ::close(file);
  }
  ~InputFrom() {
    ::dup2(kept_, STDIN_FILENO);
    ::close(kept_);
  }
  InputFrom(const InputFrom&) = delete;
  InputFrom& operator=(const InputFrom&) = delete;

 private:
  int kept_;
};

/// A disk that is full.
class FullDisk : public std::streambuf {};

// The reference example for exact inference in a small network, after S. L. Lauritzen and D. J. Spiegelhalter, J. R. Stat. Soc. B 50
// (1988) 157: three of its nodes. P(E = yes) = 1 - 0.9896 * 0.9, by hand from the tables below.
const std::string kNetwork = R"({"format": 1, "nodes": [
  {"name": "A", "states": ["yes", "no"], "parents": [], "table": [[0.01, 0.99]]},
  {"name": "T", "states": ["yes", "no"], "parents": ["A"], "table": [[0.05, 0.95], [0.01, 0.99]]},
  {"name": "L", "states": ["yes", "no"], "parents": [], "table": [[0.1, 0.9]]},
  {"name": "E", "states": ["yes", "no"], "parents": ["T", "L"], "table": [[1, 0], [1, 0], [1, 0], [0, 1]]}]})";

TEST_F(CommandLine, EndsWithTheCodeThatSaysWhy) {
  const std::string empty = file("empty", "");
  const std::string zeros = file("zeros", std::string(100'000, '\0'));
  const std::string wide = file("wide", std::string("\xFF\xFE"
                                                    "f\0o\0r\0",
                                                    8));
  const std::string half = file("half.toml", "format = 1\ntitle = \"runs h");
  const std::string twice = file("twice.toml", "format = 1\nformat = 1\n");
  const std::string face = file("face.csv", "x_mm,y_mm,z_mm\n0,0,0\n400,0,0\n400,150,0\n0,150,0\n");
  const struct {
    std::vector<std::string> words;
    int code;
  } kCases[] = {
      {{}, kUsage},
      {{"assess"}, kUsage},
      {{"asess", kJob}, kUsage},
      {{"assess", kJob, kJob}, kUsage},
      {{"assess", kJob, "--loud"}, kUsage},
      {{"flatness", face, "--limit"}, kUsage},
      {{"flatness", face, "--limit", "1 mm", "--limit", "2 mm"}, kUsage},
      {{"serve", "--port", "99999"}, kUsage},
      {{"assess", "no-such-file.toml"}, kNoSuchFile},
      {{"papers", "no-such-file.toml"}, kNoSuchFile},
      {{"assess", folder_.string()}, kInputOutput},
      {{"papers", kJob, "-o", face}, kInputOutput},
      {{"assess", empty}, kBadInput},
      {{"flatness", empty}, kBadInput},
      {{"check", empty}, kBadInput},
      {{"assess", zeros}, kBadInput},
      {{"flatness", zeros}, kBadInput},
      {{"check", wide}, kBadInput},
      {{"assess", half}, kBadInput},
      {{"assess", twice}, kBadInput},
      {{"assess", face}, kBadInput},
      {{"flatness", face, "--limit", "0.05"}, kBadInput},
      {{"flatness", face, "--limit", "5 bar"}, kBadInput},
      {{"leak-down", "--supply", "80 psi", "--reading", "60", "--orifice", "40 in"}, kBadInput},
      {{"leak-down", "--supply", "80 psi", "--reading", "60", "--area", "1 mm2", "--orifice", "1 mm"}, kBadInput},
      {{"leak-down", kJob, "--supply", "90 psi"}, kBadInput},
      {{"new", "boat"}, kBadInput},
      {{"flatness", face, "--limit", "0.05 mm"}, kDone},
      {{"flatness", kFace, "--limit", "0.02 mm", "--uncertainty", "0.001 mm"}, kAnswerIsNo},
      {{"check", kJob}, kDone},
  };
  for (const auto& one : kCases) {
    const Told told = tell(one.words);
    EXPECT_EQ(told.code, one.code) << testing::PrintToString(one.words) << told.err;
    const bool is_answer = one.code == kDone || one.code == kAnswerIsNo;
    EXPECT_EQ(told.out.empty(), !is_answer) << testing::PrintToString(one.words) << "results alone go to the output";
    if (!is_answer) {
      EXPECT_THAT(told.err, Not(IsEmpty())) << testing::PrintToString(one.words);
    }
  }
}

TEST_F(CommandLine, NamesTheNearestOperation) { EXPECT_THAT(tell({"flatnes", kFace}).err, HasSubstr("did you mean \"flatness\"?")); }

TEST_F(CommandLine, SaysThatTheOutputCouldNotBeWritten) {
  FullDisk disk;
  std::ostream out(&disk);
  std::ostringstream err;
  EXPECT_EQ(run({"assess", kJob}, {}, out, err), kInputOutput);
  EXPECT_THAT(err.str(), HasSubstr("could not be written"));
}

TEST_F(CommandLine, EveryOperationExplainsItself) {
  const Told help = tell({"--help"});
  EXPECT_EQ(help.code, kDone);
  for (const assess::Operation& operation : assess::operations()) {
    const std::string name(operation.name);
    EXPECT_THAT(help.out, HasSubstr(name));
    const Told told = tell({name, "--help"});
    EXPECT_EQ(told.code, kDone) << name;
    EXPECT_THAT(told.out, HasSubstr("--json")) << name;
    for (const assess::OptionSpec& option : operation.options) EXPECT_THAT(told.out, HasSubstr("--" + std::string(option.name))) << name;
  }
  for (const char* name : {"papers", "serve"}) EXPECT_EQ(tell({name, "--help"}).code, kDone);
}

TEST_F(CommandLine, TellsItsVersion) {
  const Told told = tell({"--version"});
  EXPECT_EQ(told.code, kDone);
  EXPECT_EQ(told.out, "headjoint " + std::string(assess::program_version()) + "\n");
}

TEST_F(CommandLine, ListsProblemsAsOneObject) {
  const Told told = tell({"assess", file("job.toml", "format = 1\nengine = 3\ncolour = \"red\"\n"), "--json"});
  EXPECT_EQ(told.code, kBadInput);
  EXPECT_THAT(told.out, IsEmpty());
  const Document answer = json(told.err);
  ASSERT_NE(at(answer, {"schema_version"}), nullptr);
  ASSERT_NE(at(answer, {"problems"}), nullptr);
  EXPECT_EQ(at(answer, {"problems"})->array().size(), 2U);
  for (const char* key : {"severity", "place", "what", "allowed", "mend"}) EXPECT_NE(at(answer, {"problems", key}), nullptr) << key;
  for (const char* key : {"source", "line", "column", "pointer"}) EXPECT_NE(at(answer, {"problems", "place", key}), nullptr) << key;
  EXPECT_EQ(at(answer, {"problems", "place", "line"})->integer(), 2);
}

TEST_F(CommandLine, ReadsStandardInput) {
  const std::string points = "x_mm;y_mm;z_mm\n0;0;0,05\n400;0;-0,05\n400;150;0,05\n0;150;-0,05\n";
  const InputFrom input(file("points", points));
  const Told told = tell({"flatness", "-", "--json"});
  ASSERT_EQ(told.code, kDone) << told.err;
  // Two planes 0.1 mm apart, each through two opposite corners: the saddle's own height, by hand.
  EXPECT_NEAR(at(json(told.out), {"minimum_zone", "FLTt_mm"})->number(), 0.1, kSame);
}

TEST_F(CommandLine, WritesThePapersOfAJob) {
  const std::string folder = (folder_ / "to" / "print").string();
  const Told told = tell({"papers", kJob, "-o", folder, "--json"});
  ASSERT_EQ(told.code, kDone) << told.err;
  const Document answer = json(told.out);
  ASSERT_EQ(at(answer, {"files"})->array().size(), 6U)
      << "record, owner's sheet, machine-shop order (the job has a measured face), tightening sheet, measuring sheets, plan";
  for (const Document& written : at(answer, {"files"})->array()) EXPECT_THAT(read_file(written.text()), HasSubstr("</html>"));
}

TEST_F(CommandLine, AssessKeepsItsKeys) {
  const Told told = tell({"assess", kJob, "--json"});
  ASSERT_EQ(told.code, kDone) << told.err;
  const Document answer = json(told.out);
  for (const char* key : {"schema_version", "finding", "next_checks", "options", "leak_down", "compression", "faces", "papers"})
    EXPECT_NE(at(answer, {key}), nullptr) << key;
  for (const char* key : {"log_evidence", "joint_failed", "paths", "causes", "rivals", "for_and_against", "conflicts"})
    EXPECT_NE(at(answer, {"finding", key}), nullptr) << key;
  for (const char* key : {"path", "where", "probability"}) EXPECT_NE(at(answer, {"finding", "paths", key}), nullptr) << key;
  for (const char* key : {"cylinder", "reading_bar", "expected_bar", "leak_area_mm2", "low_mm2", "high_mm2"})
    EXPECT_NE(at(answer, {"compression", "cylinders", key}), nullptr) << key;
}

TEST_F(CommandLine, FlatnessKeepsItsKeys) {
  const Document answer = json(tell({"flatness", kFace, "--json"}).out);
  EXPECT_NE(at(answer, {"points"}), nullptr);
  for (const char* key : {"FLTt_mm", "FLTp_mm", "FLTv_mm", "FLTq_mm"}) EXPECT_NE(at(answer, {"least_squares", key}), nullptr) << key;
  for (const char* key : {"FLTt_mm", "contact", "contact_points"}) EXPECT_NE(at(answer, {"minimum_zone", key}), nullptr) << key;
}

TEST_F(CommandLine, StraightedgeKeepsItsKeysAndLeavesNoLimitBlank) {
  const std::string lines = file("lines.csv",
                                 "line,x_mm,y_mm,enters_mm,stops_mm\nA,0,0,0,0.02\nA,200,0,0.05,0.06\nA,400,0,0,0.02\n"
                                 "B,0,150,0,0.02\nB,200,150,0.03,0.04\nB,400,150,0,0.02\n");
  const Document answer = json(tell({"straightedge", lines, "--limit", "0.05 mm", "--json"}).out);
  for (const char* key : {"lines", "flatness_low_mm", "flatness_high_mm", "decision"}) EXPECT_NE(at(answer, {key}), nullptr) << key;
  EXPECT_TRUE(at(answer, {"flatness_high_mm"})->is_null()) << "two lengthwise lines set no upper limit";
  EXPECT_EQ(at(answer, {"decision"})->text(), "undecided");
  EXPECT_THAT(tell({"flatness", lines}).err, HasSubstr("headjoint straightedge"));
  EXPECT_THAT(tell({"straightedge", kFace}).err, HasSubstr("headjoint flatness"));
}

TEST_F(CommandLine, SkimKeepsItsKeys) {
  const Document answer = json(tell({"skim", kFace, kEngine, "--json"}).out);
  for (const char* key : {"least_cut_mm", "cut_parallel_mm", "height_left_mm", "decision", "after"})
    EXPECT_NE(at(answer, {key}), nullptr) << key;
  EXPECT_LE(at(answer, {"least_cut_mm"})->number(), at(answer, {"cut_parallel_mm"})->number());
  EXPECT_EQ(tell({"skim", kFace, kEngine, "--removed", "50 mm", "--json"}).code, kAnswerIsNo) << "deeper than any head allows";
  EXPECT_EQ(tell({"skim", kFace}).code, kBadInput);
  EXPECT_EQ(tell({"skim", kFace, kEngine, "--finish", "-1 mm"}).code, kBadInput);
  EXPECT_EQ(tell({"skim", kFace, kEngine, "--hardness", "soft"}).code, kBadInput);
}

TEST_F(CommandLine, LeakDownKeepsItsKeysAndLeavesBlanksBlank) {
  const Document answer = json(tell({"leak-down", "--supply", "80 psi", "--reading", "-,60", "--orifice", "0.040 in", "--json"}).out);
  ASSERT_NE(at(answer, {"cylinders"}), nullptr);
  for (const char* key : {"cylinder", "ratio", "leak_area_mm2", "low_mm2", "high_mm2", "flow_L_per_min"}) {
    const Document* first = at(answer, {"cylinders", key});
    ASSERT_NE(first, nullptr) << key;
    EXPECT_EQ(first->is_null(), std::string(key) != "cylinder") << key << ": blank is not zero";
  }
}

TEST_F(CommandLine, NetworkKeepsItsKeysAndSaysWhatCannotBe) {
  const std::string network = file("network.json", kNetwork);
  const Document answer = json(tell({"network", network, "--evidence", "A=no", "--json"}).out);
  EXPECT_NEAR(at(answer, {"log_evidence"})->number(), std::log(0.99), kSame);
  EXPECT_NEAR(at(json(tell({"network", network, "--json"}).out), {"posteriors", "E", "yes"})->number(), 1 - 0.9896 * 0.9, kSame);
  const Told words = tell({"network", network, "--evidence", "E=no,T=yes"});
  EXPECT_EQ(words.code, kAnswerIsNo);
  EXPECT_THAT(words.out, HasSubstr("cannot all be true together"));
  EXPECT_THAT(words.out, Not(HasSubstr("log evidence")));
  EXPECT_TRUE(at(json(tell({"network", network, "--evidence", "E=no,T=yes", "--json"}).out), {"log_evidence"})->is_null());
}

TEST_F(CommandLine, ATemplateChecksAsItStands) {
  for (const char* kind : {"engine", "job"}) {
    const std::string path = file(std::string(kind) + ".toml", tell({"new", kind, "four \"in\" line"}).out);
    const Told told = tell({"check", path, "--json"});
    EXPECT_EQ(told.code, kDone) << told.err;
    EXPECT_EQ(at(json(told.out), {"kind"})->text(), kind);
  }
}

/// Engines of every size the program takes, each with nothing read from its gauges.
TEST_F(CommandLine, AssessesFromOneCylinderToSixteen) {
  for (const int cylinders : {1, 2, 3, 16}) {
    std::string blanks;
    for (int i = 0; i < cylinders; ++i) blanks += i == 0 ? "\"\"" : ", \"\"";
    const std::string layout = cylinders == 1 ? "single" : cylinders == 16 ? "vee" : "inline";
    const std::string job =
        file("job.toml", "format = 1\n[engine]\nformat = 1\nname = \"any\"\n[engine.engine]\ncylinders = " + std::to_string(cylinders) +
                             "\nlayout = \"" + layout + "\"\n[[reading]]\ntest = \"compression\"\nvalues = [" + blanks +
                             "]\n[[reading]]\ntest = \"leak_down\"\nvalues = [" + blanks + "]\n");
    const Told told = tell({"assess", job});
    EXPECT_EQ(told.code, kDone) << cylinders << told.err;
    EXPECT_THAT(told.out, HasSubstr("nothing to compare")) << cylinders;
    EXPECT_THAT(told.out, HasSubstr("no cylinder was measured")) << cylinders;
  }
}

}  // namespace
}  // namespace headjoint::cli
