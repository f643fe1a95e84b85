#include "headjoint/report/joint_plan.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <limits>

#include "headjoint/base/file.h"
#include "headjoint/base/text.h"
#include "headjoint/joint/engine_file.h"
#include "headjoint/joint/places.h"
#include "headjoint/report/internal/breach_lines.h"
#include "headjoint/report/internal/invented_jobs.h"
#include "headjoint/report/internal/well_formed.h"

namespace headjoint::report {
namespace {

using joint::HeadArrangement;
using joint::Layout;
using ::testing::HasSubstr;
using ::testing::Not;

constexpr double kTouch_mm = 1e-6;

struct Shape {
  int cylinders;
  Layout layout;
  HeadArrangement heads;
};

/// Engines from one to sixteen cylinders in every arrangement.
std::vector<Shape> all_shapes() {
  std::vector<Shape> shapes = {{1, Layout::kSingle, HeadArrangement::kOne}};
  for (int n = 1; n <= 16; ++n) {
    shapes.push_back({n, Layout::kInline, HeadArrangement::kOne});
    shapes.push_back({n, Layout::kInline, HeadArrangement::kPerCylinder});
    if (n % 2 != 0) continue;
    shapes.push_back({n, Layout::kVee, HeadArrangement::kPerBank});
    shapes.push_back({n, Layout::kFlat, HeadArrangement::kPerBank});
    shapes.push_back({n, Layout::kVee, HeadArrangement::kPerCylinder});
  }
  return shapes;
}

/// Every cylinder leaks to the coolant, every bridge to its neighbour.
assess::Finding everything_leaks(const joint::Engine& engine) {
  assess::Finding finding;
  finding.status = "done";
  for (int n = 1; n <= engine.general.cylinders; ++n) {
    finding.paths.push_back(invented::suspect("gas_to_coolant", std::to_string(n), "gas into the coolant", 0.95 - 0.05 * n));
  }
  for (const joint::Bridge& bridge : joint::bridges(engine))
    finding.paths.push_back(invented::suspect("gas_to_neighbour", joint::to_string(bridge), "gas between", 0.5));
  return finding;
}

std::vector<xml::Element> of_class(const xml::Reading& reading, const std::string& name) {
  std::vector<xml::Element> out;
  for (const xml::Element& element : reading.elements) {
    const auto found = element.attributes.find("class");
    if (found != element.attributes.end() && found->second == name) out.push_back(element);
  }
  return out;
}

double number(const xml::Element& element, const std::string& attribute) { return parse_number(element.attributes.at(attribute)).value(); }

struct Box {
  double left, right, top, bottom;
};

Box box_of(const xml::Element& text) {
  const double size = number(text, "font-size");
  const double half = text_width(text.text, size, text.attributes.contains("font-weight")) / 2;
  return {number(text, "x") - half, number(text, "x") + half, number(text, "y") - 0.75 * size, number(text, "y") + 0.2 * size};
}

bool overlap(const Box& a, const Box& b) {
  return a.left < b.right - kTouch_mm && b.left < a.right - kTouch_mm && a.top < b.bottom - kTouch_mm && b.top < a.bottom - kTouch_mm;
}

void expect_apart(const std::vector<xml::Element>& texts, const std::string& what) {
  for (std::size_t i = 0; i < texts.size(); ++i) {
    for (std::size_t j = i + 1; j < texts.size(); ++j) {
      EXPECT_FALSE(overlap(box_of(texts[i]), box_of(texts[j]))) << what << ": " << texts[i].text << " over " << texts[j].text;
    }
  }
}

void expect_sound(const std::string& svg) {
  const xml::Reading reading = xml::read(svg);
  EXPECT_EQ(reading.problem, "");
  EXPECT_THAT(svg, Not(HasSubstr(" style=")));
  EXPECT_THAT(svg, Not(HasSubstr("<style")));
  EXPECT_THAT(svg, Not(HasSubstr("nan")));
  EXPECT_THAT(svg, Not(HasSubstr("inf\"")));
  EXPECT_EQ(reading.elements.front().attributes.at("role"), "img");
  EXPECT_EQ(reading.elements.at(1).name, "title");
  EXPECT_EQ(reading.elements.at(2).name, "desc");
}

TEST(JointPlan, EveryEngineIsDrawnSoundly) {
  for (const Shape& shape : all_shapes()) {
    const joint::Engine engine = invented::without_places(shape.cylinders, shape.layout, shape.heads);
    SCOPED_TRACE(std::to_string(shape.cylinders) + " cylinders");
    const std::string svg = joint_plan_svg(engine);
    expect_sound(svg);
    EXPECT_EQ(of_class(xml::read(svg), "jp-bore").size(), static_cast<std::size_t>(shape.cylinders));
  }
}

TEST(JointPlan, EverySuspectPathIsDrawnOnceAndTaggedOnce) {
  for (const Shape& shape : all_shapes()) {
    const joint::Engine engine = invented::without_places(shape.cylinders, shape.layout, shape.heads);
    const assess::Finding finding = everything_leaks(engine);
    const xml::Reading reading = xml::read(breach_plan_svg(engine, finding));
    std::size_t expected = 0;
    for (const assess::Suspect& path : finding.paths) expected += path.chance.value > kLeastDrawnChance ? 1 : 0;
    SCOPED_TRACE(std::to_string(shape.cylinders) + " cylinders");
    EXPECT_EQ(of_class(reading, "jp-path").size(), expected);
    EXPECT_EQ(of_class(reading, "jp-tag").size(), expected);
    std::set<std::string> labels;
    for (const xml::Element& tag : of_class(reading, "jp-tag")) labels.insert(tag.text);
    EXPECT_EQ(labels.size(), expected);
  }
}

TEST(JointPlan, TagsNeverLieOverEachOtherNorLeaveTheDrawing) {
  for (const Shape& shape : all_shapes()) {
    const joint::Engine engine = invented::without_places(shape.cylinders, shape.layout, shape.heads);
    const xml::Reading reading = xml::read(breach_plan_svg(engine, everything_leaks(engine)));
    const auto tags = of_class(reading, "jp-tag");
    expect_apart(tags, std::to_string(shape.cylinders) + " cylinders");
    const auto view = split(reading.elements.front().attributes.at("viewBox"), ' ');
    const double left = parse_number(view[0]).value();
    const double width = parse_number(view[2]).value();
    for (const xml::Element& tag : tags) {
      EXPECT_GE(box_of(tag).left, left) << shape.cylinders << " " << tag.text;
      EXPECT_LE(box_of(tag).right, left + width) << shape.cylinders << " " << tag.text;
    }
  }
}

TEST(JointPlan, TheLikelierThePathTheHeavierItsLine) {
  assess::Finding finding;
  finding.paths = {invented::suspect("gas_to_neighbour", "1-2", "", 0.9), invented::suspect("gas_to_neighbour", "2-3", "", 0.4),
                   invented::suspect("gas_to_neighbour", "3-4", "", 0.15)};
  const auto lines = of_class(xml::read(breach_plan_svg(invented::inline_four(), finding)), "jp-breach");
  ASSERT_EQ(lines.size(), 3U);
  EXPECT_GT(number(lines[0], "stroke-width"), number(lines[1], "stroke-width"));
  EXPECT_GT(number(lines[1], "stroke-width"), number(lines[2], "stroke-width"));
}

TEST(JointPlan, UnlikelyPathsAreLeftOutAndTheDescriptionSaysSo) {
  assess::Finding finding;
  finding.paths = {invented::suspect("gas_to_neighbour", "1-2", "", 0.02)};
  const std::string svg = breach_plan_svg(invented::inline_four(), finding);
  EXPECT_THAT(svg, Not(HasSubstr("jp-path")));
  EXPECT_THAT(svg, HasSubstr("No seal path is likelier than 0.10"));
}

TEST(JointPlan, PathsOfTheWholeEngineAreListedUnderTheDrawing) {
  assess::Finding finding;
  finding.paths = {invented::suspect("coolant_to_outside", "", "coolant to the outside", 0.15)};
  const auto listed = of_class(xml::read(breach_plan_svg(invented::inline_four(), finding)), "jp-listed");
  ASSERT_EQ(listed.size(), 1U);
  EXPECT_THAT(listed[0].text, HasSubstr("coolant to the outside"));
  EXPECT_THAT(listed[0].text, HasSubstr("0.15"));
}

TEST(JointPlan, APathAtAPlaceThatIsNotThereIsListedNotLost) {
  assess::Finding finding;
  finding.paths = {invented::suspect("gas_to_coolant", "9", "gas into the coolant at cylinder 9", 0.5),
                   invented::suspect("gas_to_neighbour", "x-y", "nowhere", 0.4)};
  const xml::Reading reading = xml::read(breach_plan_svg(invented::inline_four(), finding));
  EXPECT_EQ(of_class(reading, "jp-listed").size(), 2U);
  EXPECT_EQ(of_class(reading, "jp-path").size(), 0U);
}

TEST(JointPlan, GasToCoolantEndsAtTheNearestCoolantHole) {
  const DeckSheet sheet = deck_sheet(invented::inline_four(), 0.03);
  assess::Finding finding;
  finding.paths = {invented::suspect("gas_to_coolant", "2", "", 0.5)};
  const auto lines = breach_lines(sheet, finding);
  ASSERT_EQ(lines.size(), 1U);
  // Holes of 9 mm at (165, 26) and (165, 144), 59 mm from the bore's centre at (165, 85): straight up or down the page.
  EXPECT_NEAR(lines[0].to.x, 165, kTouch_mm);
  EXPECT_NEAR(std::abs(lines[0].to.y - 85), 59 - 4.5, kTouch_mm);
}

TEST(JointPlan, TwoPathsOfOneBoreTakeDifferentWays) {
  const DeckSheet sheet = deck_sheet(invented::inline_four(), 0.03);
  assess::Finding finding;
  finding.paths = {invented::suspect("gas_to_coolant", "2", "", 0.5), invented::suspect("coolant_to_cylinder", "2", "", 0.4),
                   invented::suspect("gas_to_outside", "2", "", 0.3)};
  const auto lines = breach_lines(sheet, finding);
  ASSERT_EQ(lines.size(), 3U);
  for (std::size_t i = 0; i < 3; ++i) {
    for (std::size_t j = i + 1; j < 3; ++j) EXPECT_GT(std::hypot(lines[i].to.x - lines[j].to.x, lines[i].to.y - lines[j].to.y), 10.0);
  }
}

TEST(JointPlan, TheLeftSideOfTheEngineLiesAtTheBottom) {
  const xml::Reading reading = xml::read(joint_plan_svg(invented::inline_four()));
  // The pressure oil holes stand 12 mm from the left side, the drains 11 mm from the right.
  EXPECT_GT(number(of_class(reading, "jp-oil").front(), "y"), number(of_class(reading, "jp-drain").front(), "y"));
}

TEST(JointPlan, TheDimensionIsTheOutlinesLength) {
  EXPECT_THAT(joint_plan_svg(invented::inline_four()), HasSubstr("430 mm · front at left"));
  EXPECT_THAT(joint_plan_svg(invented::without_places(4, Layout::kInline, HeadArrangement::kOne)), HasSubstr("plan assumed, not to scale"));
}

TEST(JointPlan, HeadsOfAVeeStandOneAboveTheOtherWithTheirNames) {
  const xml::Reading reading = xml::read(joint_plan_svg(invented::without_places(6, Layout::kVee, HeadArrangement::kPerBank)));
  const auto names = of_class(reading, "jp-head");
  ASSERT_EQ(names.size(), 2U);
  EXPECT_EQ(names[0].text, "Head 1");
  EXPECT_EQ(names[1].text, "Head 2");
  EXPECT_LT(number(names[0], "y"), number(names[1], "y"));
}

TEST(JointPlan, IdsCarryThePrefixSoThatTwoDrawingsMayShareAPage) {
  PlanOptions first;
  first.id_prefix = "a\"><script>";
  PlanOptions second;
  second.id_prefix = "b";
  const std::string both =
      "<div>" + joint_plan_svg(invented::inline_four(), first) + joint_plan_svg(invented::inline_four(), second) + "</div>";
  EXPECT_EQ(xml::read(both).problem, "");
}

TEST(JointPlan, HostileNamesStayText) {
  joint::Engine engine = invented::inline_four();
  engine.name = "<script>alert(1)</script> \" ' & \xE2\x80\xAE" + std::string(3000, 'x') + "\xFF";
  assess::Finding finding = invented::finding();
  finding.paths[4].text = "</svg><img src=x onerror=alert(1)>" + std::string(500, 'y');
  const std::string svg = breach_plan_svg(engine, finding);
  expect_sound(svg);
  EXPECT_THAT(svg, Not(HasSubstr("<script")));
  EXPECT_THAT(svg, Not(HasSubstr("<img")));
  EXPECT_THAT(svg, Not(HasSubstr("\xE2\x80\xAE")));
}

TEST(JointPlan, AnEngineOfUnknownSizeGivesADrawingThatSaysSo) {
  const std::string svg = breach_plan_svg(invented::without_places(0, Layout::kInline, HeadArrangement::kOne), invented::finding());
  expect_sound(svg);
  EXPECT_THAT(svg, HasSubstr("number of cylinders not known"));
}

TEST(JointPlan, EveryEngineThatComesWithTheProgramIsDrawnWithAllItsParts) {
  for (const auto& entry : std::filesystem::directory_iterator(std::filesystem::path(HEADJOINT_SOURCE_DIR) / "data" / "engines")) {
    const std::string path = entry.path().string();
    SCOPED_TRACE(path);
    const auto engine = joint::read_engine_text(read_file(path), path, joint::beside_file(path));
    ASSERT_TRUE(engine) << to_string(engine.problems());
    std::size_t bores = 0;
    std::size_t bolts = 0;
    for (const joint::HeadPlan& plan : joint::head_plans(*engine)) {
      bores += plan.bores.size();
      bolts += plan.bolts.size();
    }
    const std::string svg = joint_plan_svg(*engine);
    expect_sound(svg);
    EXPECT_EQ(of_class(xml::read(svg), "jp-bore").size(), bores);
    EXPECT_EQ(of_class(xml::read(svg), "jp-bolt").size(), bolts);
  }
}

TEST(FacePlan, EveryPointIsMarkedAndContactPointsAreRinged) {
  const std::string svg = face_plan_svg(invented::inline_four(), invented::face());
  expect_sound(svg);
  const xml::Reading reading = xml::read(svg);
  std::size_t marks = 0;
  for (int band = 1; band <= 5; ++band) marks += of_class(reading, "jp-band" + std::to_string(band)).size();
  EXPECT_EQ(marks, 15U + 5U);  // points and legend
  EXPECT_EQ(of_class(reading, "jp-contact").size(), 3U);
}

TEST(FacePlan, NumbersAreHundredthsOfAMillimetreAndStandApart) {
  const xml::Reading reading = xml::read(face_plan_svg(invented::inline_four(), invented::face()));
  const auto heights = of_class(reading, "jp-height");
  EXPECT_EQ(heights.size(), 15U);
  expect_apart(heights, "heights");
  EXPECT_THAT(face_plan_svg(invented::inline_four(), invented::face()), HasSubstr(">+3.2<"));  // 0.0322 mm
}

TEST(FacePlan, WithoutAPlanThePointsStandInAFrame) {
  const std::string svg = face_plan_svg(invented::without_places(4, Layout::kInline, HeadArrangement::kOne), invented::face());
  expect_sound(svg);
  EXPECT_EQ(of_class(xml::read(svg), "jp-facebore").size(), 0U);
}

TEST(FacePlan, NoFiguresNoNumbersButStillADrawing) {
  assess::Flatness face;
  expect_sound(face_plan_svg(invented::inline_four(), face));
  const double nan = std::numeric_limits<double>::quiet_NaN();
  face.face = {{0, 0, 0, nan}, {nan, 10, 0, 0.01}};
  face.minimum_zone_FLTt_mm = nan;
  expect_sound(face_plan_svg(joint::Engine{}, face));
}

TEST(PlanTables, TellTheSameAsTheDrawings) {
  const std::string html = "<div>" + joint_plan_table_html(invented::inline_four()) + breach_plan_table_html(invented::finding()) +
                           face_plan_table_html(invented::face()) + "</div>";
  EXPECT_EQ(xml::read(html).problem, "");
  EXPECT_THAT(html, HasSubstr("<bdi>bore 4</bdi>"));
  EXPECT_THAT(html, HasSubstr("pressure oil hole 25"));
  EXPECT_THAT(html, HasSubstr("bolt 10"));
  EXPECT_THAT(html, HasSubstr("gas between cylinders 2 and 3"));
  EXPECT_THAT(html, HasSubstr("very probable"));
  EXPECT_THAT(html, HasSubstr("upper plane"));
}

}  // namespace
}  // namespace headjoint::report
