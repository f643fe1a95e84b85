#include "headjoint/jobs/document_store.h"

#include <gtest/gtest.h>

namespace headjoint::jobs {
namespace {

using Kind = DocumentStore::Kind;

TEST(Folded, CapitalsAndAccentsDoNotMatter) {
  EXPECT_EQ(folded("MÜLLER"), "muller");
  EXPECT_EQ(folded("Łódź Škoda  x"), "lodz skoda x");
  EXPECT_EQ(folded("ЖИГУЛИ"), folded("жигули"));
  EXPECT_EQ(folded("e\xCC\x81t\xCC\x81"), "et") << "accents that stand alone";
}

TEST(Folded, LetsThroughWhatIsNoText) {
  EXPECT_EQ(folded(std::string("\xff\xfe\xc3", 3)), std::string("\xff\xfe\xc3", 3));
  EXPECT_EQ(folded("10 °C 🙂"), "10 °c 🙂");
}

TEST(ListEntry, ReadsWhatItCanOfAnyJob) {
  const auto document =
      read_toml("number = \"7\"\ntitle = 3\nowner = \"Ödön\"\n[engine]\nname = \"e\"\n[history]\nnotes = \"Boils\"\n", "j");
  const ListEntry entry = list_entry(Kind::kJob, *document);
  EXPECT_EQ(write_json(entry.shown, -1), R"({"number":"7","title":"3","engine":"e","owner":"Ödön","opened":""})");
  EXPECT_EQ(entry.words, "7 3 e odon boils");
  EXPECT_EQ(list_entry(Kind::kJob, Document(3)).words, "");
}

TEST(ListEntry, AnEngineIsFoundByItsLayout) {
  const auto document = read_toml("name = \"Ostery\"\n[engine]\ncylinders = 6\nlayout = \"vee\"\nfuel = \"petrol\"\n", "e");
  EXPECT_EQ(write_json(list_entry(Kind::kEngine, *document).shown, -1),
            R"({"name":"Ostery","cylinders":"6","layout":"vee","fuel":"petrol"})");
}

}  // namespace
}  // namespace headjoint::jobs
