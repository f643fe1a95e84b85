#include "headjoint/joint/places.h"

#include <gmock/gmock.h>

#include "headjoint/base/file.h"
#include "headjoint/joint/engine_file.h"

namespace headjoint::joint {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

Engine engine_of(int cylinders, Layout layout, HeadArrangement heads) {
  Engine engine;
  engine.general.cylinders = cylinders;
  engine.general.layout = layout;
  engine.general.heads = heads;
  return engine;
}

Engine with_bores(std::vector<PlanPoint> places) {
  Engine engine = engine_of(static_cast<int>(places.size()), Layout::kInline, HeadArrangement::kOne);
  for (std::size_t i = 0; i < places.size(); ++i) engine.bores.push_back({static_cast<int>(i) + 1, places[i], std::nullopt});
  return engine;
}

std::vector<std::string> bridge_names(const Engine& engine) { return place_names(engine).bridges; }

TEST(Bridges, JoinEachCylinderOfARowToTheNext) {
  EXPECT_THAT(bridge_names(engine_of(4, Layout::kInline, HeadArrangement::kOne)), ElementsAre("1-2", "2-3", "3-4"));
  EXPECT_THAT(bridge_names(engine_of(1, Layout::kSingle, HeadArrangement::kOne)), IsEmpty());
}

TEST(Bridges, NeverCrossFromBankToBankOrHeadToHead) {
  EXPECT_THAT(bridge_names(engine_of(8, Layout::kVee, HeadArrangement::kPerBank)), ElementsAre("1-2", "2-3", "3-4", "5-6", "6-7", "7-8"));
  EXPECT_THAT(bridge_names(engine_of(4, Layout::kFlat, HeadArrangement::kPerBank)), ElementsAre("1-2", "3-4"));
  EXPECT_THAT(bridge_names(engine_of(6, Layout::kInline, HeadArrangement::kPerCylinder)), IsEmpty());
}

TEST(Bridges, FollowTheBoresWhereTheyHavePlaces) {
  // numbered from the other end in the middle, uneven pitch
  EXPECT_THAT(bridge_names(with_bores({{0, 0}, {300, 0}, {90, 0}, {210, 0}})), ElementsAre("1-3", "2-4", "3-4"));
  // staggered row
  EXPECT_THAT(bridge_names(with_bores({{0, 0}, {45, 30}, {90, 0}, {135, 30}})), ElementsAre("1-2", "2-3", "3-4"));
}

TEST(Bridges, DoNotChangeWhenTheEngineIsMirroredOrMoved) {
  const std::vector<PlanPoint> places = {{0, 0}, {91, 12}, {180, 3}, {275, 14}, {360, 2}};
  const auto expected = bridge_names(with_bores(places));
  std::vector<PlanPoint> mirrored;
  for (const PlanPoint& p : places) mirrored.push_back({1000 - p.x_mm, 37 - p.y_mm});
  EXPECT_EQ(bridge_names(with_bores(mirrored)), expected);
}

TEST(Heads, ComeFromTheBoresOfTheFile) {
  const auto engine =
      read_engine_text(read_file(std::string(HEADJOINT_SOURCE_DIR) + "/data/engines/ostery-v30.toml"), "ostery-v30.toml", nothing_beside());
  ASSERT_TRUE(engine) << to_string(engine.problems());
  EXPECT_EQ(head_count(*engine), 2);
  EXPECT_THAT(cylinders_of_head(*engine, 1), ElementsAre(1, 3, 5));
  EXPECT_THAT(cylinders_of_head(*engine, 2), ElementsAre(2, 4, 6));
  EXPECT_THAT(bridge_names(*engine), ElementsAre("1-3", "2-4", "3-5", "4-6"));
}

TEST(Heads, HoldEveryCylinderOnce) {
  for (const auto heads : {HeadArrangement::kOne, HeadArrangement::kPerBank, HeadArrangement::kPerCylinder}) {
    for (int cylinders = 1; cylinders <= 16; ++cylinders) {
      const Engine engine = engine_of(cylinders, Layout::kVee, heads);
      std::vector<int> all;
      for (int head = 1; head <= head_count(engine); ++head)
        for (const int cylinder : cylinders_of_head(engine, head)) all.push_back(cylinder);
      std::sort(all.begin(), all.end());
      ASSERT_EQ(static_cast<int>(all.size()), cylinders);
      for (int i = 0; i < cylinders; ++i) EXPECT_EQ(all[static_cast<std::size_t>(i)], i + 1);
    }
  }
}

TEST(HeadPlans, CanBeDrawnFromTheNumberOfCylindersAlone) {
  for (int cylinders = 1; cylinders <= 16; ++cylinders) {
    const auto plans = head_plans(engine_of(cylinders, Layout::kInline, HeadArrangement::kOne));
    ASSERT_EQ(plans.size(), 1U);
    const HeadPlan& plan = plans[0];
    EXPECT_TRUE(plan.assumed_outline);
    EXPECT_TRUE(plan.assumed_bores);
    ASSERT_EQ(static_cast<int>(plan.bores.size()), cylinders);
    ASSERT_EQ(plan.outline.size(), 4U);
    for (std::size_t i = 0; i < plan.bores.size(); ++i) {
      EXPECT_GT(plan.bores[i].centre.x_mm - plan.bores[i].radius_mm, plan.outline[0].x_mm);
      EXPECT_LT(plan.bores[i].centre.x_mm + plan.bores[i].radius_mm, plan.outline[2].x_mm);
      if (i == 0) continue;
      EXPECT_GT(plan.bores[i].centre.x_mm - plan.bores[i - 1].centre.x_mm, 2 * plan.fire_ring_radius_mm);
    }
  }
  EXPECT_THAT(head_plans(engine_of(0, Layout::kInline, HeadArrangement::kOne)), IsEmpty());
}

TEST(HeadPlans, ShowWhatTheFileSays) {
  const auto engine =
      read_engine_text(read_file(std::string(HEADJOINT_SOURCE_DIR) + "/data/engines/marlow-16.toml"), "marlow-16.toml", nothing_beside());
  ASSERT_TRUE(engine) << to_string(engine.problems());
  const auto plans = head_plans(*engine);
  ASSERT_EQ(plans.size(), 1U);
  EXPECT_FALSE(plans[0].assumed_outline);
  EXPECT_FALSE(plans[0].assumed_bores);
  EXPECT_EQ(plans[0].bores.size(), 4U);
  EXPECT_EQ(plans[0].bolts.size(), 10U);
  EXPECT_EQ(plans[0].passages.size(), 28U);
  EXPECT_NEAR(plans[0].bores[0].radius_mm, 40, 1e-9);
  EXPECT_NEAR(plans[0].fire_ring_radius_mm, 42.5, 1e-9);
}

}  // namespace
}  // namespace headjoint::joint
