#include <gmock/gmock.h>

#include "headjoint/report/internal/invented_jobs.h"
#include "headjoint/report/internal/well_formed.h"
#include "headjoint/report/measuring_sheets.h"
#include "headjoint/report/owner_sheet.h"
#include "headjoint/report/record.h"
#include "headjoint/report/repair_plan_sheet.h"
#include "headjoint/report/seen_plan.h"
#include "headjoint/report/warranty_record.h"

namespace headjoint::report {
namespace {

using testing::HasSubstr;
using testing::Not;

const PaperStamp kStamp{.date = "2026-11-25"};

/// A job stripped, repaired and read again.
assess::Assessment repaired() {
  assess::Assessment all = invented::assessment();
  all.job_hash = std::string(64, 'a');
  all.job.seen = {{"gasket", "2-3", {}, "burnt_track", "all the way", {}, {}}, {"gasket", "1", {}, "sound", {}, {}, {}}};
  all.job.repair.emplace();
  all.job.repair->gasket = "steel, lot 7";
  all.job.repair->warranty = "12 months";
  all.plan.sentence = "The repair";
  all.plan.sections = {{"strip", "Taking apart", {{"Loosen the bolts.", "", "common practice", {"stretched_bolts"}}}}};
  assess::Proof proof;
  proof.is_repaired = proof.is_anything_read = true;
  proof.sentence = "Proven as far as these checks see.";
  proof.checks = {
      {"compression of cylinder 1", "compression", "1", "bar", 12.5, 11.2, 13.8, "12.5 bar", "why", "12.4 bar", 12.4, "within"}};
  proof.fault_remains = 0.02;
  all.proof = proof;
  return all;
}

std::vector<std::string> papers(const assess::Assessment& all) {
  return {owner_sheet_html(all, kStamp), record_html(all, kStamp), measuring_sheets_html(all, kStamp), repair_plan_html(all, kStamp),
          warranty_record_html(all, kStamp)};
}

TEST(RepairPapers, AreWellFormedWithOutsideTextThatTriesToBeMarkup) {
  assess::Assessment all = repaired();
  const std::string hostile = "<script>alert(1)</script>\"&\u202e";
  all.job.seen[0].note = hostile;
  all.job.repair->gasket = hostile;
  all.job.repair->warranty = hostile;
  all.job.repair->parts = {hostile};
  all.proof->checks[0].reading = hostile;
  for (const std::string& html : papers(all)) {
    EXPECT_EQ(xml::read(html).problem, "");
    EXPECT_THAT(html, Not(HasSubstr("<script>")));
  }
}

TEST(RepairPapers, CarryWhatWasFittedReadAndPromised) {
  const std::string html = warranty_record_html(repaired(), kStamp);
  for (const char* part : {"steel, lot 7", "12 months", "12.4 bar", "11.20 to 13.80 bar", "within", "SHA-256"})
    EXPECT_THAT(html, HasSubstr(part));
  EXPECT_THAT(record_html(repaired(), kStamp), HasSubstr("burnt track"));
}

TEST(RepairPapers, NothingIsPromisedBeforeARepair) {
  EXPECT_THAT(warranty_record_html(invented::assessment(), kStamp), HasSubstr("nothing to promise"));
}

TEST(RepairPapers, ACautionStandsBeforeItsStep) {
  const std::string html = repair_plan_html(repaired(), kStamp);
  EXPECT_LT(html.find("class=\"caution\""), html.find("Loosen the bolts."));
}

TEST(OwnerSheet, AfterARepairSaysWhatWasDoneAndNoLongerNotToDrive) {
  const std::string html = owner_sheet_html(repaired(), kStamp);
  EXPECT_THAT(html, HasSubstr("What to watch"));
  EXPECT_THAT(html, Not(HasSubstr("Do not run it")));
  assess::Assessment bad = repaired();
  bad.proof->checks[0].verdict = "below";
  EXPECT_THAT(owner_sheet_html(bad, kStamp), HasSubstr("leave the engine with us"));
}

TEST(OwnerSheet, HasNoWordOfTheTradeThatADriverDoesNotKnow) {
  for (const assess::Assessment& all : {invented::assessment(), repaired()}) {
    const std::string html = owner_sheet_html(all, kStamp);
    for (const char* word : {"fire ring", "preload", "skim", "flatness deviation", "leak-down", "likelihood", "posterior"})
      EXPECT_THAT(html, Not(HasSubstr(word)));
  }
}

TEST(SeenPlan, MarksWhatWasSeenAndListsTheRest) {
  assess::Assessment all = repaired();
  all.job.seen.push_back({"head", "", {}, "soft", {}, {}, {}});
  const std::string svg = seen_plan_svg(all.job.engine, all.job.seen);
  EXPECT_EQ(xml::read(svg).problem, "");
  EXPECT_THAT(svg, HasSubstr("of the whole part: 3"));
  EXPECT_THAT(seen_table_html(all.job.seen), HasSubstr("burnt track"));
}

}  // namespace
}  // namespace headjoint::report
