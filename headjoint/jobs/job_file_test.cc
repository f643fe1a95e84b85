#include "headjoint/jobs/job_file.h"

#include <gmock/gmock.h>

#include <algorithm>
#include <string>
#include <vector>

#include "headjoint/base/file.h"

namespace headjoint::jobs {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

const std::string kSource = HEADJOINT_SOURCE_DIR;
const std::vector<std::string> kShipped = {"/data/examples/0117-two-cylinders.toml",
                                           "/data/examples/0118-coolant-pushed-out.toml",
                                           "/data/examples/0119-cream-under-the-cap.toml",
                                           "/data/examples/0120-proof-after-a-repair.toml",
                                           "/tests/stories/f031.toml",
                                           "/tests/stories/r49.toml",
                                           "/tests/stories/r90.toml"};

/// Nine lines: a job for an inline four with its engine inside.
const std::string kLeast =
    "format = 1\nnumber = \"7\"\n\n[engine]\nformat = 1\nname = \"e\"\n[engine.engine]\ncylinders = 4\nfuel = \"petrol\"\n";

Result<Job> read(const std::string& text) { return read_job_text(text, "j.toml", joint::nothing_beside()); }

Result<Job> read_shipped(const std::string& path) {
  return read_job_text(read_file(kSource + path), path, joint::beside_file(kSource + path));
}

const Sign* sign_of(const Job& job, const std::string& name, const std::string& where = {}) {
  const auto found = std::find_if(job.signs.begin(), job.signs.end(), [&](const Sign& s) { return s.name == name && s.where == where; });
  return found == job.signs.end() ? nullptr : &*found;
}

TEST(ReadJob, NeedsOnlyFormatAndEngine) {
  EXPECT_TRUE(read(kLeast));
  const auto empty = read("title = \"nothing\"\n");
  ASSERT_FALSE(empty);
  EXPECT_EQ(empty.problems().size(), 2U) << to_string(empty.problems());
}

TEST(ReadJob, ReadsTheShippedJobsWithoutAWarningAndBackAgain) {
  for (const std::string& path : kShipped) {
    const auto job = read_shipped(path);
    ASSERT_TRUE(job) << to_string(job.problems());
    EXPECT_TRUE(job.problems().empty()) << to_string(job.problems());
    const Document written = write_job(*job);
    for (const std::string& text : {write_toml(written), write_json(written)}) {
      const auto back = read_job_text(text, "back", joint::beside_file(kSource + path));
      ASSERT_TRUE(back) << to_string(back.problems()) << text;
      EXPECT_EQ(write_job(*back), written) << path;
    }
  }
}

TEST(ReadJob, KeepsTheFirstDemonstrationJobAsItWasTyped) {
  const auto job = read_shipped(kShipped[0]);
  ASSERT_TRUE(job) << to_string(job.problems());
  EXPECT_EQ(job->number, "0117");
  EXPECT_EQ(job->engine.name, "Marlow 1.6");
  EXPECT_EQ(job->engine_file, "../engines/marlow-16.toml");
  EXPECT_TRUE(job->head_off);
  EXPECT_NEAR(job->history.outside_temperature->value.celsius(), 4, 1e-9);
  EXPECT_DOUBLE_EQ(job->history.ambient_pressure->value.pascal(), 100800);
  ASSERT_NE(sign_of(*job, "air_at_neighbour", "2-3"), nullptr);
  EXPECT_EQ(sign_of(*job, "air_at_neighbour", "2-3")->state, "seen");
  EXPECT_EQ(sign_of(*job, "power_lost")->note, "all at once");
  EXPECT_EQ(sign_of(*job, "dye_at_joint"), nullptr);
  ASSERT_EQ(job->readings.size(), 2U);
  EXPECT_EQ(job->readings[0].values[1].text, "9.4 bar");
  EXPECT_NEAR(job->readings[0].values[1].pressure.pascal(), 9.4e5, 1e-6);
  EXPECT_NEAR(job->readings[0].values[1].step_si, 1e4, 1e-6);
  EXPECT_DOUBLE_EQ(job->readings[1].orifice->value.si(), 0.040 * 0.0254);
  ASSERT_EQ(job->faces.size(), 1U);
  EXPECT_THAT(job->faces[0].table, HasSubstr("x_mm"));
  EXPECT_GT(sign_of(*job, "air_at_neighbour", "2-3")->place.line, 0);
}

TEST(ReadJob, ReadsEveryKey) {
  const auto job = read(kLeast + R"toml([history]
mileage = "3500 h"
outside_temperature = { value = "40 degF", source = "dash", status = "measured" }
ambient_pressure = "1008 mbar"
facts = ["overheated_before", "short_trips"]
notes = "n"
[signs]
colour_test = "partial"
pressure_hold = "void"
starter_current = { 2 = "very weak" }
white_smoke = { state = "seen", note = "only when cold" }
plug_washed = { 2 = "absent", 3 = { state = "seen", note = "shining" } }
[[reading]]
test = "leak_down"
values = ["12 %", "", "inaccessible", "3.5 %"]
resolution = "1 %"
tool = "t"
engine = "hot"
plugs = "one out"
throttle = "closed"
piston = "down"
strokes = 6
taken = "2026-11-24"
note = "n"
void = "wet"
[[reading]]
test = "leak_down"
supply = "80 psi"
orifice = "1.0 mm"
values = ["75 psi", "60 psi", "0 psi", "80 psi"]
[[face]]
part = "block"
head = 1
table = """
x_mm,y_mm,z_um
0,0,0
100,0,-25
"""
uncertainty = "0.01 mm"
tool = "t"
taken = "t"
note = "n"
void = "dirty"
[cut]
head = "0.15 mm"
deck = "0 mm"
gasket = "0.051 in"
[[decision]]
what = "a"
why = "b"
when = "c"
[workshop]
hour_price = 60
currency = "crowns"
)toml");
  ASSERT_TRUE(job) << to_string(job.problems());
  EXPECT_TRUE(job.problems().empty()) << to_string(job.problems());
  EXPECT_EQ(job->signs.size(), 6U);
  EXPECT_TRUE(sign_of(*job, "pressure_hold")->is_void());
  EXPECT_EQ(sign_of(*job, "plug_washed", "3")->note, "shining");
  EXPECT_EQ(sign_of(*job, "starter_current", "2")->state, "very weak");
  const Reading& reading = job->readings[0];
  EXPECT_EQ(reading.values[0].kind, ReadingValue::Kind::kLoss);
  EXPECT_DOUBLE_EQ(reading.values[0].loss, 0.12);
  EXPECT_DOUBLE_EQ(reading.values[3].step_si, 0.001);
  EXPECT_EQ(reading.values[1].kind, ReadingValue::Kind::kNotTaken);
  EXPECT_EQ(reading.values[2].kind, ReadingValue::Kind::kInaccessible);
  EXPECT_DOUBLE_EQ(reading.loss_resolution->value.fraction, 0.01);
  EXPECT_FALSE(reading.counts());
  EXPECT_EQ(reading.piston, "down");
  EXPECT_EQ(job->faces[0].table, "x_mm,y_mm,z_um\n0,0,0\n100,0,-25\n");
  EXPECT_EQ(job->faces[0].part, FacePart::kBlock);
  EXPECT_FALSE(job->faces[0].counts());
  EXPECT_EQ(job->history.outside_temperature->source, "dash");
  EXPECT_THAT(job->history.facts, ElementsAre("overheated_before", "short_trips"));
  EXPECT_DOUBLE_EQ(job->cut.head->value.si(), 0.15e-3);
  EXPECT_DOUBLE_EQ(job->cut.deck->value.si(), 0);
  EXPECT_NEAR(job->cut.gasket->value.si(), 1.2954e-3, 1e-9);
  EXPECT_EQ(job->decisions[0].when, "c");
  EXPECT_EQ(job->workshop.hour_price, 60);
  const auto back = read_job(write_job(*job), joint::nothing_beside());
  ASSERT_TRUE(back) << to_string(back.problems());
  EXPECT_EQ(write_job(*back), write_job(*job));
}

TEST(ReadJob, ReadsTheSameKeysAsJson) {
  const auto job = read(R"({"format": 1, "engine": {"format": 1, "name": "e", "engine": {"cylinders": 2}},
    "signs": {"milky_oil": "absent", "air_at_neighbour": {"1-2": "seen"}}, "reading": [{"test": "compression", "values": ["170 psi", ""]}]})");
  ASSERT_TRUE(job) << to_string(job.problems());
  EXPECT_EQ(sign_of(*job, "air_at_neighbour", "1-2")->state, "seen");
  EXPECT_NEAR(job->readings[0].values[0].pressure.bar(), 11.72, 0.01);
}

struct Refusal {
  const char* text;  ///< after kLeast
  const char* what;
  int line;
};

TEST(ReadJob, RefusesWithPlaceAndWayToMend) {
  const Refusal kRefusals[] = {
      {"[sings]\n", "did you mean \"signs\"?", 10},
      {"[signs]\nmilky_oil = true\n", "write \"seen\"", 11},
      {"[signs]\nmilky_oil = \"Seen!\"\n", "is no state", 11},
      {"[signs]\nmilky_oil = { state = \"seen\", nota = \"x\" }\n", "did you mean \"note\"?", 11},
      {"[signs]\nplug_washed = { 5 = \"seen\" }\n", "cylinders 1, 2, 3, 4", 11},
      {"[signs]\nair_at_neighbour = { \"3-2\" = \"seen\" }\n", "the lower number first: \"2-3\"", 11},
      {"[signs]\nair_at_neighbour = { \"1-3\" = \"seen\" }\n", "bridges 1-2, 2-3, 3-4", 11},
      {"[signs]\n\"Milky Oil\" = \"seen\"\n", "no name of a finding", 11},
      {"[history]\noutside_temperature = \"4\"\n", "no unit", 11},
      {"[history]\nambient_pressure = \"1 mbar\"\n", "500 mbar to 1100 mbar", 11},
      {"[cut]\nhead = \"0.15\"\n", "no unit", 11},
      {"[cut]\nhead = \"15 mm\"\n", "0 mm to 5 mm", 11},
      {"[history]\nmileage = \"far\"\n", "km, mi or h", 11},
      {"[history]\nfacts = [\"short_trip\"]\n", "did you mean \"short_trips\"?", 11},
      {"[[reading]]\ntest = \"compresion\"\nvalues = [\"\", \"\", \"\", \"\"]\n", "did you mean \"compression\"?", 11},
      {"[[reading]]\ntest = \"compression\"\nvalues = [\"12 bar\"]\n", "1 values for 4 cylinders", 12},
      {"[[reading]]\ntest = \"compression\"\nvalues = [\"170 bar\", \"\", \"\", \"\"]\n", "did you mean \"170 psi\"?", 12},
      {"[[reading]]\ntest = \"compression\"\nvalues = [12, \"\", \"\", \"\"]\n", "write \"12 bar\"", 12},
      {"[[reading]]\ntest = \"compression\"\nvalues = [\"12 %\", \"\", \"\", \"\"]\n", "in per cent", 12},
      {"[[reading]]\ntest = \"compression\"\nvalues = [\"12 mm\", \"\", \"\", \"\"]\n", "of cylinder 1", 12},
      {"[[reading]]\ntest = \"compression\"\n", "\"values\" is missing", 10},
      {"[[reading]]\ntest = \"leak_down\"\nvalues = [\"70 psi\", \"\", \"\", \"\"]\n", "no `supply`", 12},
      {"[[reading]]\ntest = \"leak_down\"\nsupply = \"80 psi\"\nvalues = [\"90 psi\", \"\", \"\", \"\"]\n", "above the supply", 13},
      {"[[reading]]\ntest = \"leak_down\"\nsupply = \"80 psi\"\nvalues = [\"70 psi\", \"10 %\", \"\", \"\"]\n", "mixes", 13},
      {"[[reading]]\ntest = \"compression\"\nengine = \"warmish\"\nvalues = [\"\", \"\", \"\", \"\"]\n", "cold, warm, hot", 12},
      {"[[face]]\npart = \"head\"\n", "`points`", 10},
      {"[[face]]\npart = \"head\"\npoints = \"none.csv\"\n", "none.csv", 12},
      {"[[face]]\npart = \"head\"\nhead = 2\ntable = \"x_mm,y_mm,z_mm\\n0,0,0\"\n", "no head 2", 12},
      {"[workshop]\nhour_price = \"60\"\n", "without quotes", 11},
  };
  for (const Refusal& refusal : kRefusals) {
    const auto job = read(kLeast + refusal.text);
    ASSERT_FALSE(job) << refusal.text;
    ASSERT_EQ(job.problems().size(), 1U) << refusal.text << to_string(job.problems());
    EXPECT_THAT(to_string(job.problems()), HasSubstr(refusal.what)) << refusal.text;
    EXPECT_EQ(job.problems()[0].place.line, refusal.line) << refusal.text << to_string(job.problems());
  }
}

TEST(ReadJob, WarnsButReads) {
  const auto job = read(kLeast + "[[reading]]\ntest = \"compression\"\nvalues = [\"30 bar\", \"12 bar\", \"12 bar\", \"12 bar\"]\n");
  ASSERT_TRUE(job) << to_string(job.problems());
  EXPECT_THAT(to_string(job.problems()), HasSubstr("more than a petrol engine reaches"));
  const auto fact = read(kLeast + "[history]\nfacts = [\"struck by lightning\"]\n");
  ASSERT_TRUE(fact);
  EXPECT_THAT(to_string(fact.problems()), HasSubstr("it changes nothing"));
}

TEST(ReadJob, TellsTheProblemsOfTheEngineFileInThatFile) {
  const joint::ReadBeside files = [](const std::string& path) -> std::string {
    if (path == "../engines/a.toml") return "format = 1\nname = \"a\"\n[engine]\ncylinders = 4\n[bolts]\nat = \"bolts.csv\"\n";
    if (path == "../engines/bolts.csv") return "x_mm,y_mm\n1,wrong\n";
    throw EnvironmentError(EnvironmentError::Kind::kNoSuchFile, "no such file: " + path);
  };
  const auto job = read_job_text("format = 1\nengine = \"../engines/a.toml\"\n[signs]\nmilky_oil = 3\n", "j.toml", files);
  ASSERT_FALSE(job);
  ASSERT_EQ(job.problems().size(), 2U) << to_string(job.problems());
  EXPECT_EQ(job.problems()[0].place.source, "bolts.csv");
  EXPECT_EQ(job.problems()[1].place.source, "j.toml");
  const auto missing = read_job_text("format = 1\nengine = \"gone.toml\"\n", "j.toml", files);
  ASSERT_FALSE(missing);
  EXPECT_EQ(missing.problems()[0].place.line, 2);
}

TEST(InlineEngine, MakesAJobThatStandsAlone) {
  for (const std::string& path : kShipped) {
    const auto document = read_toml(read_file(kSource + path), path);
    ASSERT_TRUE(document);
    const auto alone = inline_engine(*document, joint::beside_file(kSource + path));
    ASSERT_TRUE(alone) << to_string(alone.problems());
    const auto job = read_job(*alone, joint::nothing_beside());
    ASSERT_TRUE(job) << to_string(job.problems());
    const auto before = read_shipped(path);
    EXPECT_EQ(joint::write_engine(job->engine), joint::write_engine(before->engine));
    ASSERT_EQ(job->faces.size(), before->faces.size());
    for (std::size_t i = 0; i < job->faces.size(); ++i) EXPECT_EQ(job->faces[i].table, before->faces[i].table);
    const auto through_json = read_job_text(write_json(*alone), "stored", joint::nothing_beside());
    EXPECT_TRUE(through_json) << to_string(through_json.problems());
  }
}

TEST(InlineEngine, KeepsWhatDoesNotDecode) {
  auto document = read_toml("format = \"one\"\nscribble = [1, 2]\nengine = 7\n", "j");
  const auto alone = inline_engine(*document, joint::nothing_beside());
  ASSERT_TRUE(alone);
  EXPECT_EQ(*alone, *document);
}

TEST(JobTemplate, IsValidAsItStands) {
  for (const char* name : {"runs hot", "", "a \"quoted\" \\ title"}) {
    const auto job = read(job_template(name));
    EXPECT_TRUE(job) << to_string(job.problems());
    EXPECT_TRUE(job.problems().empty()) << to_string(job.problems());
  }
  EXPECT_EQ(read(job_template("runs hot"))->title, "runs hot");
}

TEST(JobTemplate, IsValidWithEveryCommentedKeyUncommented) {
  std::string open;
  std::string text = job_template("all");
  for (std::size_t start = 0; start < text.size();) {
    const std::size_t end = std::min(text.find('\n', start), text.size());
    std::string line = text.substr(start, end - start);
    const bool is_key =
        line.starts_with("# [") || (line.starts_with("# ") && !line.starts_with("#  ") && line.find(" = ") != std::string::npos);
    open += (is_key ? line.substr(2) : line) + "\n";
    start = end + 1;
  }
  const joint::ReadBeside face = [](const std::string&) { return std::string("x_mm,y_mm,z_mm\n0,0,0\n"); };
  const auto job = read_job_text(open, "t", face);
  ASSERT_TRUE(job) << to_string(job.problems()) << open;
  EXPECT_EQ(job->readings.size(), 4U);
  EXPECT_EQ(job->faces.size(), 1U);
}

TEST(JobFile, TestsTakenOnceAndBoltByBoltReadBackAsWritten) {
  const std::string text = R"toml(format = 1
[engine]
format = 1
name = "e"
[engine.engine]
cylinders = 2
layout = "inline"
[[reading]]
test = "pressure_hold"
start = "1.0 bar"
end = "13 psi"
duration = "10 min"
[[reading]]
test = "gas_in_coolant"
carbon_dioxide = "0.4 %"
hydrocarbons_ppm = 120
[[reading]]
test = "water_in_oil"
water = "0.2 %"
[[reading]]
test = "starter_current"
values = ["100 %", "71 %"]
leaks = [{}, { area = "1.8 mm2", low = "1.2 mm2", high = "2.4 mm2" }]
[[reading]]
test = "release_torque"
head = 1
torques = ["85 N.m", "60 lbf.ft", "40 N.m"]
)toml";
  const auto job = read(text);
  ASSERT_TRUE(job) << to_string(job.problems());
  const auto again = read_job(write_job(*job), {});
  ASSERT_TRUE(again) << to_string(again.problems());
  ASSERT_EQ(again->readings.size(), 5U);
  EXPECT_DOUBLE_EQ(again->readings[0].duration->value.si(), 600);
  EXPECT_DOUBLE_EQ(again->readings[1].carbon_dioxide->value.fraction, 0.004);
  EXPECT_DOUBLE_EQ(again->readings[1].hydrocarbons_ppm->value, 120);
  EXPECT_DOUBLE_EQ(again->readings[2].water->value.fraction, 0.002);
  EXPECT_DOUBLE_EQ(again->readings[3].values[1].loss, 0.71);
  ASSERT_EQ(again->readings[3].leaks.size(), 2U);
  EXPECT_FALSE(again->readings[3].leaks[0].area);
  EXPECT_DOUBLE_EQ(again->readings[3].leaks[1].high->value.si(), 2.4e-6);
  ASSERT_EQ(again->readings[4].torques.size(), 3U);
  EXPECT_NEAR(again->readings[4].torques[1].value.si(), 81.349, 1e-3);
}

TEST(JobFile, TheLeaksOfAStarterRecordingAreOneForEachCylinderAndInsideTheirBands) {
  const auto with = [](const std::string& leaks) {
    return to_string(read("format = 1\n[engine]\nformat = 1\nname = \"e\"\n[engine.engine]\ncylinders = 2\nlayout = \"inline\"\n"
                          "[[reading]]\ntest = \"starter_current\"\nvalues = [\"100 %\", \"71 %\"]\nleaks = " +
                          leaks + "\n")
                         .problems());
  };
  EXPECT_THAT(with("[{}]"), HasSubstr("1 entries for 2 values"));
  EXPECT_THAT(with("[{}, 3]"), HasSubstr("leaks"));
  EXPECT_THAT(with(R"([{}, { area = "3 mm2", low = "1 mm2", high = "2 mm2" }])"), HasSubstr("between its low and its high"));
}

TEST(JobFile, ATestTakenOnceNamesWhatItLacks) {
  const auto job = read(
      "format = 1\n[engine]\nformat = 1\nname = \"e\"\n[engine.engine]\ncylinders = 2\nlayout = \"inline\"\n"
      "[[reading]]\ntest = \"pressure_hold\"\nstart = \"1 bar\"\n[[reading]]\ntest = \"release_torque\"\nhead = 2\n"
      "torques = [\"80 N.m\", \"80 N.m\", \"80 N.m\"]\n");
  ASSERT_FALSE(job);
  EXPECT_THAT(to_string(job.problems()), HasSubstr("no `end`"));
  EXPECT_THAT(to_string(job.problems()), HasSubstr("no `duration`"));
  EXPECT_THAT(to_string(job.problems()), HasSubstr("head 2 is not on this engine"));
}

}  // namespace
}  // namespace headjoint::jobs
