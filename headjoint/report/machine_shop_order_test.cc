#include "headjoint/report/machine_shop_order.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "headjoint/report/internal/invented_jobs.h"
#include "headjoint/report/internal/well_formed.h"

namespace headjoint::report {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

const PaperStamp kStamp{"2026-11-25"};

joint::Figure<Length> typed(double mm, const char* text) { return {Length::from_si(mm * 1e-3), text, 0, {}, {}, {}}; }

assess::Assessment with_cut() {
  assess::Assessment all = invented::assessment();
  all.job.cut.head = typed(0.15, "0.15 mm");
  all.job.engine.head->height = typed(120, "120.0 mm");
  all.job.engine.head->least_height = typed(119.6, "119.6 mm");
  all.job.engine.head->material.name = "aluminium";
  all.job.engine.valves.emplace().drive = joint::ValveDrive::kOverheadCam;
  all.after_skim = invented::after_skim();
  return all;
}

TEST(MachineShopOrder, IsSoundHtmlThatNeedsNothingElse) {
  for (const std::string& html : {machine_shop_order_html(with_cut(), kStamp), machine_shop_order_html(invented::assessment(), kStamp),
                                  machine_shop_order_html({}, {})}) {
    const xml::Reading reading = xml::read(html);
    EXPECT_EQ(reading.problem, "");
    for (const xml::Element& element : reading.elements) {
      EXPECT_NE(element.name, "script");
      EXPECT_FALSE(element.attributes.contains("src") || element.attributes.contains("href") || element.attributes.contains("style"));
    }
    EXPECT_THAT(html, Not(HasSubstr("nan")));
    EXPECT_THAT(html, HasSubstr("The engine maker's limits and procedure come before"));
  }
}

TEST(MachineShopOrder, TellsDepthDatumHeightsAndRoughness) {
  const std::string html = machine_shop_order_html(with_cut(), kStamp);
  for (const char* part :
       {"0.15 mm", "line of the cam bearings", "after 119.85 mm", "least 119.6 mm", "0.05 mm end to end", "What the cut changes"})
    EXPECT_THAT(html, HasSubstr(part));
}

TEST(MachineShopOrder, AsksForHardnessBeforeTheCut) {
  const std::string html = machine_shop_order_html(with_cut(), kStamp);
  EXPECT_LT(html.find("Hardness first"), html.find("Set up parallel"));
  EXPECT_LT(html.find("Cracks:"), html.find("Set up parallel"));
}

TEST(MachineShopOrder, LeavesTheDepthOpenWhenNoneIsOrdered) {
  assess::Assessment all = invented::assessment();
  all.plan.least_cuts = {{"head", all.faces[0].head, 0.058, 0.062, 0.082, "yes", ""}};
  const std::string html = machine_shop_order_html(all, kStamp);
  EXPECT_THAT(html,
              HasSubstr("________, the least that cleans up: 0.062 mm parallel to the measuring plane, 0.082 mm with the finish pass"));
  all.plan.least_cuts[0].needed = "no";
  EXPECT_THAT(machine_shop_order_html(all, kStamp), HasSubstr("nothing: within the limit"));
}

TEST(MachineShopOrder, SaysWhenTheOrderedDepthCannotCleanUp) {
  assess::Assessment all = with_cut();
  all.plan.least_cuts = {{"head", all.faces[0].head, 0.19, 0.20, 0.22, "yes", ""}};
  EXPECT_THAT(machine_shop_order_html(all, kStamp), HasSubstr("0.15 mm: too little, 0.200 mm is the least that cleans up"));
}

TEST(MachineShopOrder, PutsTheLinesOutOfLimitFirst) {
  const std::string html = machine_shop_order_html(with_cut(), kStamp);
  EXPECT_LT(html.find("OUT OF LIMIT"), html.find("near the limit"));
}

}  // namespace
}  // namespace headjoint::report
