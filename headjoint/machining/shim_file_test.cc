#include "headjoint/machining/shim_file.h"

#include <string>
#include <vector>

#include "headjoint/base/error.h"
#include "headjoint/machining/test_engines.h"

namespace headjoint::machining {
namespace {

constexpr double kSame = 1e-9;

const std::string kSides =
    "[intake]\nlash_least = \"0.17 mm\"\nlash_most = \"0.23 mm\"\n[exhaust]\nlash_least = \"0.25 mm\"\nlash_most = \"0.35 mm\"\ntarget = "
    "\"0.31 mm\"\n";
const std::string kValves =
    "format = 1\nvalve = [\n  { name = \"1 in\", side = \"intake\", lash = \"0.25 mm\", shim = \"2.45 mm\" },\n"
    "  { name = \"1 ex\", side = \"exhaust\", lash = \"-\", shim = \"0.098 in\" },\n]\n";

Result<ShimTask> read(const std::string& text, const joint::ReadBeside& beside = joint::nothing_beside()) {
  const auto document = read_toml(text, "shims.toml");
  if (!document) return document.problems();
  return read_shims(*document, beside);
}

TEST(ReadShims, TakesValvesLimitsDrawerAndSale) {
  const auto task =
      read(kValves + kSides +
           "[drawer]\nshims = [\"2.40 mm\", \"3x2,45 mm\"]\n[sale]\nfrom = \"2.0 mm\"\nto = \"3.0 mm\"\nstep = \"0.05 mm\"\n");
  ASSERT_TRUE(task) << to_string(task.problems());
  ASSERT_EQ(task->valves.size(), 2U);
  EXPECT_NEAR(in_mm(*task->valves[0].lash), 0.25, kSame);
  EXPECT_NEAR(in_mm(task->valves[0].target), 0.20, kSame) << "the middle";
  EXPECT_NEAR(in_mm(task->valves[1].target), 0.31, kSame);
  EXPECT_FALSE(task->valves[1].lash);
  EXPECT_NEAR(in_mm(task->valves[1].shim), 0.098 * 25.4, kSame);
  EXPECT_EQ(task->drawer.size(), 4U);
  ASSERT_TRUE(task->sale);
  EXPECT_NEAR(in_mm(task->sale->step), 0.05, kSame);
}

TEST(ReadShims, TakesTheLimitsFromTheEngine) {
  const joint::ReadBeside files = [](const std::string& path) -> std::string {
    if (path == "engines/square.toml")
      return with_line(kSquareFour, "lash = \"0.30 mm\"", "lash = \"0.30 mm\"\nlash_least = \"0.27 mm\"\nlash_most = \"0.33 mm\"");
    throw EnvironmentError(EnvironmentError::Kind::kNoSuchFile, path);
  };
  const std::string text = "engine = \"engines/square.toml\"\n" + kValves;
  const auto task = read(text, files);
  ASSERT_TRUE(task) << to_string(task.problems());
  EXPECT_NEAR(in_mm(task->valves[0].lash_most), 0.23, kSame);
  EXPECT_NEAR(in_mm(task->valves[1].lash_least), 0.27, kSame);
  const auto own = read(text + "[intake]\nlash_least = \"0.10 mm\"\nlash_most = \"0.12 mm\"\n", files);
  ASSERT_TRUE(own);
  EXPECT_NEAR(in_mm(own->valves[0].lash_most), 0.12, kSame) << "the file's own limits go first";
  EXPECT_NEAR(in_mm(own->valves[0].target), 0.11, kSame);
}

TEST(ReadShims, RefusesInWordsWithThePlace) {
  struct Refusal {
    std::string text;
    std::string what;
  };
  const std::string valve = "[[valve]]\nname = \"a\"\nside = \"intake\"\nshim = \"2.5 mm\"\nlash = \"0.2 mm\"\n";
  for (const Refusal& refusal : {
           Refusal{"format = 1\n", "there is no valve"},
           Refusal{"format = 1\n" + valve, "[intake] has no lash_least"},
           Refusal{"format = 1\n" + valve + valve + kSides, "twice"},
           Refusal{"format = 1\n[[valve]]\nname = \"a\"\nside = \"inlet\"\nshim = \"2.5 mm\"\n" + kSides, "intake, exhaust"},
           Refusal{"format = 1\n[[valve]]\nname = \"a\"\nside = \"intake\"\n" + kSides, "shim"},
           Refusal{"format = 1\n[[valve]]\nname = \"a\"\nside = \"intake\"\nshim = 2.5\n" + kSides, "no unit"},
           Refusal{"format = 1\n[[valve]]\nname = \"a\"\nside = \"intake\"\nshim = \"2.5 mm\"\nlash = \"-0.1 mm\"\n" + kSides,
                   "0 mm to 3 mm"},
           Refusal{kValves + kSides + "[drawer]\nshims = [\"many x 2.40 mm\"]\n", "how many?"},
           Refusal{kValves + kSides + "[drawer]\nshims = [\"240 mm\"]\n", "0.1 mm to 20 mm"},
           Refusal{kValves + kSides + "[drawer]\nshims = [2.40]\n", "a size such as"},
           Refusal{kValves + kSides + "[drawer]\nsizes = [\"2.40 mm\"]\n", "is not a key of [drawer]"},
           Refusal{kValves + kSides + "[sale]\nfrom = \"3 mm\"\nto = \"2 mm\"\nstep = \"0.05 mm\"\n", "is below from"},
           Refusal{kValves + kSides + "[sale]\nfrom = \"2 mm\"\nto = \"3 mm\"\n", "step"},
           Refusal{kValves + kSides + "[drawers]\n", "did you mean \"drawer\"?"},
           Refusal{"format = 1\n" + valve + "[intake]\nlash_least = \"0.3 mm\"\nlash_most = \"0.2 mm\"\n", "is below lash_least"},
           Refusal{"format = 1\n" + valve + "[intake]\nlash_least = \"0.1 mm\"\nlash_most = \"0.2 mm\"\ntarget = \"0.3 mm\"\n",
                   "outside the limits"},
           Refusal{"engine = \"nowhere.toml\"\n" + kValves, "nowhere.toml"},
       }) {
    const auto task = read(refusal.text);
    ASSERT_FALSE(task) << refusal.text;
    EXPECT_NE(to_string(task.problems()).find(refusal.what), std::string::npos) << to_string(task.problems());
    for (const Problem& problem : task.problems()) EXPECT_FALSE(problem.what.empty());
  }
}

TEST(ReadShims, WarnsOfALashOfZeroAndOfASlippedPoint) {
  const std::string head = "format = 1\n[[valve]]\nname = \"a\"\nside = \"intake\"\nshim = \"2.5 mm\"\nlash = ";
  const auto zero = read(head + "\"0.00 mm\"\n" + kSides), slipped = read(head + "\"2.5 mm\"\n" + kSides);
  ASSERT_TRUE(zero && slipped);
  EXPECT_NE(to_string(zero.problems()).find("measure again"), std::string::npos);
  EXPECT_NE(to_string(slipped.problems()).find("decimal point"), std::string::npos);
}

TEST(ShimTemplate, IsValidAsItStands) {
  for (const char* name : {"Marlow 1.6, job 0117", "quote \" and \\", ""}) {
    const auto task = read(shim_template(name));
    ASSERT_TRUE(task) << to_string(task.problems());
    EXPECT_TRUE(task.problems().empty());
    EXPECT_EQ(plan_shims(*task).outside, 0U);
  }
}

TEST(IsShimFile, TellsItFromAnEngine) {
  EXPECT_TRUE(is_shim_file(*read_toml(shim_template("a"), "a.toml")));
  EXPECT_FALSE(is_shim_file(*read_toml(kSquareFour, "a.toml")));
}

}  // namespace
}  // namespace headjoint::machining
