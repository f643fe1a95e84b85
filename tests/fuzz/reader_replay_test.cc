// Whatever comes in, a reader answers with a value or with problems that have a place: never a crash, an exception or an endless loop.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <random>
#include <string>
#include <vector>

#include "headjoint/base/csv.h"
#include "headjoint/base/document.h"
#include "headjoint/base/file.h"
#include "headjoint/jobs/job_file.h"
#include "headjoint/joint/engine_file.h"
#include "headjoint/joint/places.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint {
namespace {

constexpr std::size_t kTruncationStep = 37;
constexpr int kFlipsPerFile = 120;
constexpr std::uint32_t kSeed = 20261124;
constexpr std::size_t kZeros = 100U << 20U;
constexpr std::size_t kShortFile = 1U << 20U;
constexpr std::size_t kLongestMessage = 2000;

struct Reader {
  const char* name;
  std::function<Problems(const std::string& text)> read;
};

/// Problems of a result; what came with a value are warnings.
template <class T>
Problems problems_of(const Result<T>& result) {
  EXPECT_EQ(result.has_value(), !has_errors(result.problems()));
  return result.problems();
}

const std::vector<Reader>& readers() {
  static const std::vector<Reader> kReaders = {
      {"toml", [](const std::string& text) { return problems_of(read_toml(text, "input")); }},
      {"json", [](const std::string& text) { return problems_of(read_json(text, "input")); }},
      {"csv", [](const std::string& text) { return problems_of(read_csv(text, "input")); }},
      {"engine", [](const std::string& text) { return problems_of(joint::read_engine_text(text, "input", joint::nothing_beside())); }},
      {"job", [](const std::string& text) { return problems_of(jobs::read_job_text(text, "input", joint::nothing_beside())); }},
  };
  return kReaders;
}

/// Reads with every reader; each problem must say what is wrong and where.
void replay(const std::string& text, const std::string& story) {
  for (const Reader& reader : readers()) {
    Problems problems;
    ASSERT_NO_THROW(problems = reader.read(text)) << reader.name << ": " << story;
    for (const Problem& problem : problems) {
      EXPECT_FALSE(problem.what.empty()) << reader.name << ": " << story;
      EXPECT_LT(to_string(problem).size(), kLongestMessage) << reader.name << ": " << story;
      EXPECT_FALSE(problem.place.source.empty()) << reader.name << ": " << story << ": " << to_string(problem);
    }
  }
}

/// Reads with every reader; those of an engine and of a job may not take it.
void replay_refused(const std::string& text, const std::string& story) {
  replay(text, story);
  EXPECT_FALSE(joint::read_engine_text(text, "input", joint::nothing_beside())) << story;
  EXPECT_FALSE(jobs::read_job_text(text, "input", joint::nothing_beside())) << story;
}

/// Everything under data/ and the stories that a reader is made for.
std::vector<std::string> shipped_files() {
  std::vector<std::string> paths;
  for (const char* folder : {"/data", "/tests/stories"}) {
    const std::filesystem::path root = std::string(HEADJOINT_SOURCE_DIR) + folder;
    if (!std::filesystem::exists(root)) continue;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(root)) {
      const std::string extension = entry.path().extension().string();
      if (entry.is_regular_file() && (extension == ".toml" || extension == ".csv" || extension == ".json"))
        paths.push_back(entry.path().string());
    }
  }
  std::sort(paths.begin(), paths.end());
  return paths;
}

TEST(Replay, ShippedFilesAreThere) { EXPECT_GE(shipped_files().size(), 10U); }

TEST(Replay, EmptyAndNearlyEmpty) {
  for (const char* text : {"", " ", "\n\n\n", "\xEF\xBB\xBF", "\xEF\xBB\xBF\n", "#", "\"", "{", "[", "=", ","}) replay(text, text);
  replay_refused("", "empty");
}

TEST(Replay, ShippedFilesCutOffAnywhere) {
  for (const std::string& path : shipped_files()) {
    const std::string whole = read_file(path);
    for (std::size_t size = 0; size < whole.size(); size += kTruncationStep) {
      const std::string text = whole.substr(0, size);
      const bool csv = path.ends_with(".csv");
      for (const Reader& reader : readers()) {
        if (csv != (std::string(reader.name) == "csv")) continue;
        Problems problems;
        ASSERT_NO_THROW(problems = reader.read(text)) << reader.name << " " << path << " cut at " << size;
        for (const Problem& problem : problems)
          ASSERT_FALSE(problem.what.empty() || problem.place.source.empty()) << path << " cut at " << size;
      }
    }
  }
}

TEST(Replay, ShippedFilesWithBytesChanged) {
  std::mt19937 random(kSeed);
  for (const std::string& path : shipped_files()) {
    const std::string whole = read_file(path);
    for (int round = 0; round < kFlipsPerFile && !whole.empty(); ++round) {
      std::string text = whole;
      const auto flips = 1 + random() % 4;
      for (std::uint32_t i = 0; i < flips; ++i) text[random() % text.size()] = static_cast<char>(random() % 256);
      replay(text, path + " round " + std::to_string(round) + " of seed " + std::to_string(kSeed));
      if (HasFatalFailure()) return;
    }
  }
}

TEST(Replay, LinesDroppedDoubledAndSwapped) {
  std::mt19937 random(kSeed + 1);
  for (const std::string& path : shipped_files()) {
    if (!path.ends_with(".toml")) continue;
    const std::string whole = read_file(path);
    std::vector<std::string> lines;
    for (std::size_t start = 0; start < whole.size();) {
      const std::size_t end = std::min(whole.find('\n', start), whole.size());
      lines.push_back(whole.substr(start, end - start));
      start = end + 1;
    }
    for (int round = 0; round < kFlipsPerFile; ++round) {
      std::vector<std::string> changed = lines;
      switch (random() % 3) {
        case 0:
          changed.erase(changed.begin() + static_cast<std::ptrdiff_t>(random() % changed.size()));
          break;
        case 1:
          changed.insert(changed.begin() + static_cast<std::ptrdiff_t>(random() % changed.size()), lines[random() % lines.size()]);
          break;
        default:
          std::swap(changed[random() % changed.size()], changed[random() % changed.size()]);
      }
      std::string text;
      for (const std::string& line : changed) text += line + "\n";
      replay(text, path + " round " + std::to_string(round) + " of seed " + std::to_string(kSeed + 1));
      if (HasFatalFailure()) return;
    }
  }
}

TEST(Replay, AHundredMegabytesOfZeros) {
  const std::string zeros(kZeros, '\0');
  for (const Reader& reader : readers()) {
    Problems problems;
    ASSERT_NO_THROW(problems = reader.read(zeros)) << reader.name;
    ASSERT_TRUE(has_errors(problems)) << reader.name;
    EXPECT_EQ(problems.front().place.source, "input") << reader.name;
  }
}

TEST(Replay, LongAndShapeless) {
  replay_refused(std::string(kShortFile, 'a'), "one long word");
  replay_refused(std::string(kShortFile, '['), "brackets");
  replay_refused(std::string(kShortFile, '{'), "braces");
  replay(std::string(kShortFile, '\n'), "line ends");
  replay(std::string(kShortFile, '"'), "quotes");
  replay_refused("\xFF\xFE\x00z", "not UTF-8");
  replay_refused("{\"a\": \"" + std::string(kShortFile, 'x'), "text never closed");
  replay("a = \"" + std::string(kShortFile, 'x') + "\"", "long text");
  replay("a = " + std::string(kShortFile, '9'), "long number");
  replay("{\"a\": " + std::string(kShortFile, '9') + "}", "long number");
}

TEST(Replay, NestedDeeply) {
  std::string dotted = "a";
  for (int i = 0; i < 200000; ++i) dotted += ".a";
  replay_refused(dotted + " = 1", "dotted key");
  replay_refused("[" + dotted + "]\nb = 1", "dotted table");
  replay_refused("[[" + dotted + "]]\nb = 1", "dotted list of tables");
  for (const int depth : {70, 300, 100000}) {
    const auto levels = static_cast<std::size_t>(depth);
    std::string tables;
    std::string objects;
    for (int i = 0; i < depth; ++i) tables += "{ a = ";
    for (int i = 0; i < depth; ++i) objects += "{\"a\":";
    replay_refused("a = " + std::string(levels, '[') + std::string(levels, ']'), "lists");
    replay_refused("a = " + tables + "1" + std::string(levels, '}'), "tables");
    replay_refused(objects + "1" + std::string(levels, '}'), "objects");
    replay_refused("{\"a\":" + std::string(levels, '[') + std::string(levels, ']') + "}", "JSON lists");
  }
}

TEST(Replay, ManyOfEverything) {
  std::string keys;
  std::string members = "{\"a\": 1";
  std::string faces = "format = 1\n";
  std::string bolts = "format = 1\nname = \"a\"\n[engine]\n[bolts]\nat = [[0, 0]";
  std::string problems = "format = 1\nname = \"a\"\n[engine]\nfiring_order = [0";
  std::string columns = "c";
  for (int i = 0; i < 60000; ++i) {
    const std::string number = std::to_string(i);
    keys += "key_" + number + " = 1\n";
    members += ", \"key_" + number + "\": 1";
    faces += "[[face]]\n";
    bolts += ", [" + std::to_string(i % 9000) + ", " + std::to_string(i / 9000 * 3) + "]";
    problems += ", \"x\"";
    columns += ",c" + number;
  }
  replay_refused(keys, "many keys");
  replay_refused("format = 1\nengine = \"e\"\n[signs]\n" + keys, "many signs");
  replay(members + "}", "many members");
  replay_refused(faces, "many faces");
  replay_refused(bolts + "]", "many bolts");
  replay_refused(problems + "]", "many wrong entries");
  replay(columns + "\n1\n", "many columns");
}

/// Texts after a sound engine file's head, each wrong in a way that people and machines produce.
TEST(Replay, WrongFigures) {
  const std::string head = "format = 1\nname = \"a\"\n[engine]\ncylinders = 4\n";
  for (const char* line : {"bore = nan",
                           "bore = inf",
                           "bore = -inf",
                           "bore = \"nan mm\"",
                           "bore = \"inf mm\"",
                           "bore = \"1e308 km\"",
                           "bore = \"1e999 mm\"",
                           "bore = 1e308",
                           "compression_ratio = nan",
                           "compression_ratio = 1e308",
                           "compression_ratio = -0.0",
                           "bore = \"80 mm\"\nbore = \"80 mm\"",
                           "bore = 80,0",
                           "compression_ratio = 10,5",
                           "bore = \"80,0,0 mm\"",
                           "bore = \"80 bar\"",
                           "bore = \"80 mmm\"",
                           "bore = \"mm\"",
                           "bore = \"\"",
                           "bore = []",
                           "bore = {}",
                           "bore = { value = {} }",
                           "bore = 1979-05-27",
                           "cylinders.x = 1",
                           "firing_order = [9223372036854775807]",
                           "firing_order = [[1], [2]]",
                           "firing_order = 1",
                           "fitted = [1, nan]",
                           "fitted = \"turbo\"",
                           "peak_pressure = \"80 bar abs\"",
                           "cranking_speed = \"0 rpm\"",
                           "[[head]]",
                           "[bore]\nnumber = 1",
                           "head = 3",
                           "[bolts]\nat = [[nan, inf]]",
                           "[bolts]\nat = [[1]]",
                           "[bolts]\nat = [1, 2]",
                           "[bolts]\nat = 3",
                           "[bolts]\nsize = \"M\"",
                           "[bolts]\nsize = \"Mx\"",
                           "[bolts]\nsize = \"M11x\"",
                           "[bolts]\nsize = \"-\"",
                           "[bolts]\nsize = \"\"",
                           "[bolts]\nclass = \".\"",
                           "[bolts]\nfriction = []",
                           "[cooling]\nglycol = \"ethylene\"",
                           "[cooling]\nglycol = \"ethylene 101 %\"",
                           "[cooling]\nglycol = \"ethylene nan %\"",
                           "[gasket.body]\ncurve = [[0, 0]]",
                           "[gasket.body]\ncurve = [[0, nan], [1, 2]]"}) {
    const auto engine = joint::read_engine_text(head + line + "\n", "input", joint::nothing_beside());
    EXPECT_FALSE(engine) << line;
    for (const Problem& problem : engine.problems()) EXPECT_GT(problem.place.line, 0) << line << ": " << to_string(problem);
  }
}

TEST(Replay, WrongReadings) {
  const std::string head = "format = 1\n[engine]\nformat = 1\nname = \"e\"\n[engine.engine]\ncylinders = 2\n";
  for (const char* lines : {"[[reading]]\ntest = \"compression\"\nvalues = [nan, inf]",
                            "[[reading]]\ntest = \"compression\"\nvalues = [\"nan bar\", \"\"]",
                            "[[reading]]\ntest = \"compression\"\nvalues = [\"-5 bar\", \"\"]",
                            "[[reading]]\ntest = \"compression\"\nvalues = [\"1e300 bar\", \"\"]",
                            "[[reading]]\ntest = \"compression\"\nvalues = [[\"12 bar\"], {}]",
                            "[[reading]]\ntest = \"compression\"\nvalues = \"12 bar\"",
                            "[[reading]]\ntest = \"compression\"\nvalues = [\"12,1,0 bar\", \"\"]",
                            "[[reading]]\ntest = 1\nvalues = [\"\", \"\"]",
                            "[[reading]]\ntest = \"leak_down\"\nvalues = [\"101 %\", \"-1 %\"]",
                            "[reading]\ntest = \"compression\"",
                            "reading = 3",
                            "[signs]\na = nan",
                            "[signs]\na = []",
                            "[signs]\na = { 1 = { 2 = \"seen\" } }",
                            "[signs]\na = { \"1-2-3\" = \"seen\" }",
                            "[signs]\na = { \"\" = \"seen\" }",
                            "[signs]\na = { \"-\" = \"seen\" }",
                            "[signs]\na = \"\"",
                            "signs = []",
                            "[[face]]\npart = \"head\"\ntable = 3",
                            "[[face]]\npart = \"head\"\npoints = \"../../../../etc/hostname\"",
                            "[[face]]\nhead = -1",
                            "[workshop]\nhour_price = nan",
                            "[workshop]\nhour_price = -1",
                            "[history]\nmileage = 184000",
                            "head_off = \"no\""}) {
    const auto job = jobs::read_job_text(head + lines + "\n", "input", joint::nothing_beside());
    EXPECT_FALSE(job) << lines;
    for (const Problem& problem : job.problems()) EXPECT_GT(problem.place.line, 0) << lines << ": " << to_string(problem);
  }
}

/// An engine that could be read can be drawn, and its places named, whatever it holds.
TEST(Replay, WhatWasReadCanBePlaced) {
  std::mt19937 random(kSeed + 2);
  for (int round = 0; round < 300; ++round) {
    std::string text = "format = 1\nname = \"a\"\n[engine]\nlayout = \"vee\"\nheads = \"" +
                       std::string(std::vector<std::string>{"one", "per_bank", "per_cylinder"}[random() % 3]) + "\"\n";
    const auto count = 1 + random() % 16;
    for (std::uint32_t i = 1; i <= count; ++i)
      text += "[[bore]]\nnumber = " + std::to_string(i) + "\nat = [" + std::to_string(random() % 5) + ", " + std::to_string(random() % 5) +
              "]\nhead = " + std::to_string(1 + random() % 3) + "\n";
    const auto engine = joint::read_engine_text(text, "input", joint::nothing_beside());
    if (!engine) continue;
    EXPECT_NO_THROW({
      (void)joint::place_names(*engine);
      (void)joint::head_plans(*engine);
    }) << text;
  }
}

TEST(Replay, QuantityTexts) {
  std::mt19937 random(kSeed + 3);
  const std::string letters = "0123456789.,-+eE/ mbarpsi%\"\xC2\xB0";
  for (int round = 0; round < 20000; ++round) {
    std::string text;
    const auto length = random() % 12;
    for (std::uint32_t i = 0; i < length; ++i) text += letters[random() % letters.size()];
    EXPECT_NO_THROW({
      const auto pressure = parse<GaugePressure>(text);
      const auto distance = parse<Length>(text);
      EXPECT_TRUE(!pressure || std::abs(pressure->pascal()) <= 1e15) << text;
      EXPECT_TRUE(!distance || std::abs(distance->si()) <= 1e15) << text;
    }) << text;
  }
}

}  // namespace
}  // namespace headjoint
