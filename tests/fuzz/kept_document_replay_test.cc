// What people type is kept, searched, compared and written to files whatever it is: junk, scripts, emoji, huge texts, nothing.
#include <gtest/gtest.h>

#include <random>
#include <string>

#include "headjoint/base/document.h"
#include "headjoint/base/text.h"
#include "headjoint/jobs/document_changes.h"
#include "headjoint/jobs/document_store.h"
#include "headjoint/jobs/kept_file.h"

namespace headjoint::jobs {
namespace {

constexpr std::uint32_t kSeed = 20261125;
constexpr int kDocuments = 400;
constexpr int kTexts = 4000;

const char* const kJunk[] = {"",
                             " ",
                             "<script>alert(1)</script>",
                             "\"><img src=x onerror=alert(1)>",
                             "'; DROP TABLE job; --",
                             "../../etc/passwd",
                             "😀👨‍🔧 größer 缸盖",
                             "=1+1",
                             "0,05 mm",
                             "-1e309",
                             "NaN",
                             "line\nline\r\n\ttab",
                             "\x01\x02\x7f",
                             "\"\"\"'''\\u0041"};

using Random = std::mt19937;

std::string any_text(Random& random) {
  if (random() % 50 == 0) return std::string(1U << 16U, 'x');
  return kJunk[random() % std::size(kJunk)];
}

Document any_document(Random& random, int depth) {
  switch (depth == 0 ? random() % 5 : random() % 7) {
    case 0:
      return {};
    case 1:
      return random() % 2 == 0;
    case 2:
      return static_cast<int>(random() % 2000) - 1000;
    case 3:
      return (static_cast<double>(random()) - 2e9) / 7.0;
    case 4:
      return any_text(random);
    case 5: {
      Array list;
      for (auto n = random() % 5; n > 0; --n) list.push_back(any_document(random, depth - 1));
      return list;
    }
    default: {
      Document table = Table{};
      for (auto n = random() % 5; n > 0; --n) table.set("key" + std::to_string(random() % 4), any_document(random, depth - 1));
      return table;
    }
  }
}

/// A byte, or a letter of one or two bytes.
std::string any_letter(Random& random, bool is_byte) {
  if (is_byte) return std::string(1, static_cast<char>(random() % 256));
  const auto code = random() % 0x600;
  if (code < 0x80) return std::string(1, static_cast<char>(code));
  return {static_cast<char>(0xC0U | (code >> 6U)), static_cast<char>(0x80U | (code & 0x3FU))};
}

TEST(KeptDocumentReplay, AnyTextCanBeSearchedFor) {
  Random random(kSeed);
  for (int i = 0; i < kTexts; ++i) {
    std::string text;
    for (auto n = random() % 40; n > 0; --n) text += any_letter(random, i % 2 == 0);
    const std::string once = folded(text);
    if (!is_utf8(text)) continue;
    ASSERT_TRUE(is_utf8(once)) << "seed " << kSeed << ", text " << i;
    ASSERT_EQ(folded(once), once) << "seed " << kSeed << ", text " << i;
  }
}

TEST(KeptDocumentReplay, AnyDocumentHasAListEntry) {
  Random random(kSeed);
  for (int i = 0; i < kDocuments; ++i) {
    const Document document = any_document(random, 3);
    for (const auto kind : {DocumentStore::Kind::kJob, DocumentStore::Kind::kEngine}) {
      ASSERT_TRUE(list_entry(kind, document).shown.is_table()) << "seed " << kSeed << ", document " << i;
    }
  }
}

TEST(KeptDocumentReplay, ADocumentDoesNotDifferFromItselfAndDiffersFromAnother) {
  Random random(kSeed);
  for (int i = 0; i < kDocuments; ++i) {
    const Document one = any_document(random, 3);
    const Document other = any_document(random, 3);
    ASSERT_TRUE(changes_between(one, one).empty()) << "seed " << kSeed << ", document " << i;
    for (const DocumentChange& change : changes_between(one, other)) {
      ASSERT_FALSE(change.before == change.after) << "seed " << kSeed << ", document " << i << ", " << change.path;
    }
  }
}

TEST(KeptDocumentReplay, AnyDocumentWrittenAsJsonComesBack) {
  Random random(kSeed);
  for (int i = 0; i < kDocuments; ++i) {
    const Document document = any_document(random, 3);
    const Result<Document> back = read_json(kept_file_text(document, "json"), "job.json");
    ASSERT_TRUE(back) << to_string(back.problems());
    ASSERT_EQ(*back, document) << "seed " << kSeed << ", document " << i;
  }
}

TEST(KeptDocumentReplay, AnyTableWrittenAsTomlReads) {
  Random random(kSeed);
  for (int i = 0; i < kDocuments; ++i) {
    Document document = Table{};
    for (int n = 0; n < 4; ++n) document.set("key" + std::to_string(n), any_document(random, 3));
    const Result<Document> back = read_toml(kept_file_text(document, "toml"), "job.toml");
    ASSERT_TRUE(back) << "seed " << kSeed << ", document " << i << "\n" << to_string(back.problems());
  }
}

}  // namespace
}  // namespace headjoint::jobs
