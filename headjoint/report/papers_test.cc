#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "headjoint/base/text.h"
#include "headjoint/report/internal/driving_advice.h"
#include "headjoint/report/internal/invented_jobs.h"
#include "headjoint/report/internal/well_formed.h"
#include "headjoint/report/owner_sheet.h"
#include "headjoint/report/record.h"

namespace headjoint::report {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

const PaperStamp kStamp{"2026-11-25"};
const std::string kHostile =
    "<script>alert('1')</script>\" onload=\"x\" & \xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D \xE2\x80\xAE" + std::string(2000, 'x');

assess::Assessment hostile() {
  assess::Assessment all = invented::assessment();
  for (std::string* text : {&all.job.number,
                            &all.job.title,
                            &all.job.owner,
                            &all.job.mechanic,
                            &all.job.history.notes,
                            &all.job.history.mileage,
                            &all.job.engine.name,
                            &all.version,
                            &all.finding.sentence,
                            &all.finding.paths[0].text,
                            &all.finding.for_and_against[0].text,
                            &all.finding.not_counted[0],
                            &all.next_checks[0].text,
                            &all.next_checks[0].cautions[0].level,
                            &all.next_checks[0].cautions[0].hazard,
                            &all.faces[0].source,
                            &all.faces[0].limit_source,
                            &all.faces[0].part,
                            &all.options[0].text,
                            &all.leak_down->notes[0],
                            &all.warnings[0].what,
                            &all.job.signs[0].note}) {
    *text = kHostile;
  }
  jobs::Reading reading;
  reading.tool = reading.taken = reading.note = reading.void_reason = kHostile;
  reading.values.push_back({jobs::ReadingValue::Kind::kPressure, {}, 0, kHostile, 0, {}});
  all.job.readings.push_back(reading);
  all.job.decisions.push_back({kHostile, kHostile, kHostile});
  return all;
}

void expect_sound(const std::string& html) {
  const xml::Reading reading = xml::read(html);
  EXPECT_EQ(reading.problem, "");
  for (const xml::Element& element : reading.elements) {
    EXPECT_NE(element.name, "script");
    EXPECT_NE(element.name, "link");
    EXPECT_NE(element.name, "img");
    for (const auto& [name, value] : element.attributes) {
      EXPECT_NE(name, "style") << element.name;
      EXPECT_NE(name, "src");
      EXPECT_NE(name, "href");
      EXPECT_FALSE(name.starts_with("on")) << name;
    }
  }
  EXPECT_THAT(html, Not(HasSubstr("nan")));
}

/// Headings go down one level at a time and there is one h1.
void expect_headings_in_order(const std::string& html) {
  int level = 0;
  int tops = 0;
  for (const xml::Element& element : xml::read(html).elements) {
    if (element.name.size() != 2 || element.name[0] != 'h' || element.name[1] < '1' || element.name[1] > '6') continue;
    const int next = element.name[1] - '0';
    EXPECT_LE(next, level + 1) << element.text;
    tops += next == 1 ? 1 : 0;
    level = next;
  }
  EXPECT_EQ(tops, 1);
}

/// Every table of figures has a caption and headings with a scope.
void expect_tables_with_headings(const std::string& html) {
  const auto elements = xml::read(html).elements;
  for (std::size_t i = 0; i < elements.size(); ++i) {
    const xml::Element& element = elements[i];
    EXPECT_TRUE(element.name != "th" || element.attributes.contains("scope"));
    const bool is_data = element.name == "table" && !element.attributes.contains("role");
    EXPECT_TRUE(!is_data || elements.at(i + 1).name == "caption");
  }
}

TEST(Papers, AreSoundHtmlThatNeedsNothingElse) {
  for (const std::string& html : {record_html(invented::assessment(), kStamp), owner_sheet_html(invented::assessment(), kStamp)}) {
    expect_sound(html);
    expect_headings_in_order(html);
    expect_tables_with_headings(html);
    EXPECT_THAT(html, HasSubstr("<html lang=\"en\">"));
  }
}

TEST(Papers, HostileTextStaysText) {
  for (const std::string& html : {record_html(hostile(), kStamp), owner_sheet_html(hostile(), kStamp)}) {
    expect_sound(html);
    EXPECT_THAT(html, Not(HasSubstr("\xE2\x80\xAE")));
    EXPECT_THAT(html, Not(HasSubstr(std::string(200, 'x') + "</bdi>"))) << "a long word has nowhere to break";
  }
}

TEST(Papers, AnEmptyAssessmentStillMakesAPaper) {
  const assess::Assessment nothing;
  for (const std::string& html : {record_html(nothing, {}), owner_sheet_html(nothing, {})}) {
    expect_sound(html);
    expect_headings_in_order(html);
    EXPECT_THAT(html, HasSubstr("not run"));
  }
}

TEST(Papers, NumbersThatAreNoneAreNeverPrinted) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  assess::Assessment all = invented::assessment();
  all.finding.joint_failed = {nan, nan, nan};
  all.finding.paths[0].chance = {nan, nan, nan};
  all.finding.rivals[0].before = nan;
  all.faces[0].minimum_zone_FLTt_mm = nan;
  all.leak_down->cylinders[1].high_mm2 = nan;
  all.options[0].put_right = nan;
  expect_sound(record_html(all, kStamp));
  expect_sound(owner_sheet_html(all, kStamp));
}

TEST(Papers, CarryJobDateProgramBasisAndWhoComesFirst) {
  for (const std::string& html : {record_html(invented::assessment(), kStamp), owner_sheet_html(invented::assessment(), kStamp)}) {
    for (const char* part :
         {"Job 0117", "Marlow 1.6", "2026-11-25", "headjoint 0.1.0", "common practice, not measured", "local law and licensed practice"}) {
      EXPECT_THAT(html, HasSubstr(part));
    }
  }
}

TEST(Record, EveryCheckFollowsItsCautions) {
  const std::string html = record_html(invented::assessment(), kStamp);
  EXPECT_LT(html.find("Cranking engine."), html.find("Look into cylinder 2 with a camera"));
  EXPECT_LT(html.find("Stretched bolts can break."), html.find("Note the torque at which"));
}

TEST(Record, ShowsReadingsAsTypedAndWhatTheyMean) {
  assess::Assessment all = invented::assessment();
  jobs::Reading reading;
  reading.test = jobs::ReadingTest::kLeakDown;
  reading.tool = "tester with a 1 mm orifice";
  reading.values.push_back({jobs::ReadingValue::Kind::kPressure, GaugePressure::from_pascal(5.17e5), 0, "75 psi", 0, {}});
  reading.values.push_back({});
  all.job.readings.push_back(reading);
  const std::string html = record_html(all, kStamp);
  EXPECT_THAT(html, HasSubstr("1: 75 psi; 2: not taken"));
  EXPECT_THAT(html, HasSubstr("tester with a 1 mm orifice"));
  EXPECT_THAT(html, HasSubstr("0.012 mm² could not have been seen"));
}

TEST(Record, EngineFiguresCarryTheirOrigin) {
  assess::Assessment all = invented::assessment();
  all.job.engine.general.stroke =
      joint::Figure<Length>{Length::from_si(0.08), "80.0 mm", 1e-4, joint::FigureStatus::kPublished, "workshop manual p. 3", {}};
  const std::string html = record_html(all, kStamp);
  EXPECT_THAT(html, HasSubstr("80.0 mm"));
  EXPECT_THAT(html, HasSubstr("published: workshop manual p. 3"));
}

assess::Finding only(const std::string& path, double chance) {
  assess::Finding finding;
  finding.status = "done";
  finding.joint_failed = {chance, chance, chance};
  finding.paths = {invented::suspect(path, path == "gas_to_neighbour" ? "2-3" : "", path, chance)};
  return finding;
}

// Common practice, no source.
TEST(OwnerSheet, SaysDoNotRunItForEveryBreachThatRuinsAnEngine) {
  for (const std::string path : {"gas_to_neighbour", "coolant_to_cylinder", "coolant_with_oil", "gas_to_oil"}) {
    for (const double chance : {0.9, 0.4, 0.12}) {
      assess::Assessment all = invented::assessment();
      all.finding = only(path, chance);
      EXPECT_THAT(owner_sheet_html(all, kStamp), HasSubstr("Do not run it")) << path << " " << chance;
    }
  }
}

TEST(OwnerSheet, GetsNeverMilderAsAPathBecomesLikelier) {
  for (const std::string path : {"gas_to_neighbour", "gas_to_coolant", "coolant_to_outside", "coolant_with_oil", "unheard_of"}) {
    auto level = DrivingAdvice::Level::kNothingAgainst;
    for (int percent = 0; percent <= 100; ++percent) {
      const auto next = driving_advice(only(path, percent / 100.0), joint::CooledBy::kLiquid).level;
      EXPECT_LE(next, level) << path << " " << percent;
      level = next;
    }
  }
}

TEST(OwnerSheet, WithoutAFindingTheEngineIsNotToBeRun) {
  EXPECT_EQ(driving_advice({}, joint::CooledBy::kLiquid).level, DrivingAdvice::Level::kDoNotRun);
  EXPECT_LE(driving_advice(only("gas_to_coolant", std::nan("")), joint::CooledBy::kLiquid).level, DrivingAdvice::Level::kDoNotDrive);
}

TEST(OwnerSheet, StopLeakIsAWayHomeAndTheCapStaysShut) {
  const std::string html = owner_sheet_html(invented::assessment(), kStamp);
  EXPECT_THAT(html, HasSubstr("a way home, not a repair"));
  EXPECT_THAT(html, HasSubstr("Never open the cap of a hot engine"));
  assess::Assessment air_cooled = invented::assessment();
  air_cooled.job.engine.general.cooling = joint::CooledBy::kAir;
  EXPECT_THAT(owner_sheet_html(air_cooled, kStamp), Not(HasSubstr("poured into the coolant")));
}

/// Value of a colour token in the n-th :root block of the style sheet.
std::string token(const std::string& name, int block) {
  const std::string_view style = paper_style();
  std::size_t at = 0;
  for (int i = 0; i <= block; ++i) at = style.find(":root{", at) + 6;
  at = style.find("--" + name + ":#", at) + name.size() + 4;
  return std::string(style.substr(at, style.find_first_of(";}", at) - at));
}

double luminance(const std::string& hex) {
  const auto channel = [&](std::size_t i) {
    const std::string digits = hex.size() == 3 ? std::string(2, hex[i]) : hex.substr(2 * i, 2);
    const double c = std::stoi(digits, nullptr, 16) / 255.0;
    return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
  };
  return 0.2126 * channel(0) + 0.7152 * channel(1) + 0.0722 * channel(2);
}

double contrast(const std::string& a, const std::string& b) {
  const double la = luminance(a);
  const double lb = luminance(b);
  return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

// WCAG 2.2, 1.4.3 (text 4.5:1) and 1.4.11 (graphics 3:1); relative luminance as defined there (from memory).
TEST(PaperStyle, TextAndLinesKeepTheContrastOfWcag) {
  EXPECT_NEAR(contrast("ffffff", "000000"), 21.0, 1e-9);
  for (const int block : {0, 1, 2}) {
    const std::string sheet = token("sheet", block);
    EXPECT_GE(contrast(token("ink", block), sheet), 7.0) << block;
    EXPECT_GE(contrast(token("soft", block), sheet), 4.5) << block;
    EXPECT_GE(contrast(token("blue", block), sheet), 3.0) << block;
    EXPECT_GE(contrast(token("breach", block), sheet), 3.0) << block;
  }
}

// A4 is 210 x 297 mm (ISO 216); Letter is 8.5 x 11 in = 215.9 x 279.4 mm (ANSI/ASME Y14.1, size A): both sizes from memory.
TEST(PaperStyle, ThePrintedWidthFitsA4AndLetter) {
  EXPECT_THAT(std::string(paper_style()), HasSubstr("@page{margin:10mm"));
  EXPECT_THAT(std::string(paper_style()), HasSubstr("max-width:190mm"));
  EXPECT_LE(190.0 + 2 * 10.0, 210.0);
  EXPECT_LE(190.0 + 2 * 10.0, 215.9);
}

}  // namespace
}  // namespace headjoint::report
