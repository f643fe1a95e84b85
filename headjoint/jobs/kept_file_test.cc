#include "headjoint/jobs/kept_file.h"

#include <gtest/gtest.h>

namespace headjoint::jobs {
namespace {

TEST(KeptFile, ABlankInAListStaysInItsPlace) {
  const Document document = Table{{"values", Array{"12 bar", Document(nullptr), "9 bar"}}, {"nothing", Document(nullptr)}};
  const std::string text = kept_file_text(document, "toml");
  const auto back = read_toml(text, "job.toml");
  ASSERT_TRUE(back) << text;
  EXPECT_EQ(*back, Document(Table{{"values", Array{"12 bar", "", "9 bar"}}}));
}

TEST(KeptFile, JsonHoldsEverythingAsItIs) {
  const Document document = Table{{"values", Array{Document(nullptr), 0.1}}, {"title", "größer \"0,05\" mm <script>"}};
  EXPECT_EQ(*read_json(kept_file_text(document, "json"), ""), document);
}

TEST(KeptFile, NamesHoldNothingASystemCouldTakeAmiss) {
  EXPECT_EQ(kept_file_name("job", "0117", "toml"), "job-0117.toml");
  EXPECT_EQ(kept_file_name("engine", "Marlow 1.6 / Süd", "json"), "engine-marlow-1-6-sud.json");
  EXPECT_EQ(kept_file_name("job", "../../etc/passwd\r\nX: y", "toml"), "job-etc-passwd-x-y.toml");
  EXPECT_EQ(kept_file_name("job", "", "toml"), "job.toml");
  EXPECT_LT(kept_file_name("job", std::string(5000, 'a'), "toml").size(), 80U);
}

}  // namespace
}  // namespace headjoint::jobs
