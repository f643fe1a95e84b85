#include "headjoint/jobs/document_store.h"

#include <cstdint>

#include "headjoint/base/error.h"

namespace headjoint::jobs {
namespace {

/// Letters of U+00C0 to U+00FF and of U+0100 to U+017F without their accents.
constexpr std::string_view kLatin1 = "aaaaaaaceeeeiiiidnoooooxouuuuytsaaaaaaaceeeeiiiidnooooo/ouuuuyty";
constexpr std::string_view kLatinExtended =
    "aaaaaaccccccccddddeeeeeeeeeegggggggghhhhiiiiiiiiiiiijjkkkllllllllllnnnnnnnnnoooooooorrrrrrssssssssttttttuuuuuuuuuuuuwwyyyzzzzzzs";
static_assert(kLatin1.size() == 64 && kLatinExtended.size() == 128);

struct Letter {
  std::uint32_t code = 0;
  std::size_t bytes = 1;
};

/// One letter of two bytes; all else goes through byte by byte.
Letter letter_at(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  if (byte(at) < 0xC2 || byte(at) > 0xDF || at + 1 >= text.size() || (byte(at + 1) & 0xC0U) != 0x80) return {byte(at), 1};
  return {((byte(at) & 0x1FU) << 6U) | (byte(at + 1) & 0x3FU), 2};
}

void append_two_bytes(std::string& out, std::uint32_t code) {
  out += static_cast<char>(0xC0U | (code >> 6U));
  out += static_cast<char>(0x80U | (code & 0x3FU));
}

/// Runs of blanks become one; none stands in front.
void append_blank(std::string& out) {
  if (!out.empty() && out.back() != ' ') out += ' ';
}

void append_folded(std::string& out, std::uint32_t code) {
  if (code == 0xA0) return append_blank(out);
  if (code >= 0xC0 && code <= 0xFF) return out.push_back(kLatin1[code - 0xC0]);
  if (code >= 0x100 && code <= 0x17F) return out.push_back(kLatinExtended[code - 0x100]);
  if (code >= 0x300 && code <= 0x36F) return;  // accents standing alone
  const bool is_greek_capital = code >= 0x391 && code <= 0x3A9;
  if (is_greek_capital || (code >= 0x410 && code <= 0x42F)) code += 0x20;
  if (code >= 0x400 && code <= 0x40F) code += 0x50;
  append_two_bytes(out, code);
}

std::string text_of(const Document* node) {
  if (node == nullptr) return {};
  if (node->is_text()) return node->text();
  return node->is_integer() ? std::to_string(node->integer()) : std::string();
}

/// Members of a table as texts, with the keys a list shows them under.
class Shown {
 public:
  explicit Shown(const Document& document) : document_(document) {}

  Shown& take(const char* key) { return put(key, text_of(document_.find(key))); }
  Shown& put(const char* key, const std::string& text) {
    words_ += text + " ";
    entry_.emplace_back(key, text);
    return *this;
  }
  Shown& find_by(const Document* node) {
    words_ += text_of(node) + " ";
    return *this;
  }
  [[nodiscard]] ListEntry done() { return {Document(std::move(entry_)), folded(words_)}; }

 private:
  const Document& document_;
  Table entry_;
  std::string words_;
};

ListEntry job_entry(const Document& job) {
  const Document* engine = job.find("engine");
  const Document* history = job.find("history");
  return Shown(job)
      .take("number")
      .take("title")
      .put("engine", text_of(engine != nullptr && engine->is_table() ? engine->find("name") : engine))
      .take("owner")
      .take("opened")
      .find_by(job.find("mechanic"))
      .find_by(history == nullptr ? nullptr : history->find("notes"))
      .done();
}

ListEntry engine_entry(const Document& engine) {
  static const Document kNothing;
  const Document* general = engine.find("engine");
  const Document& said = general == nullptr ? kNothing : *general;
  return Shown(engine)
      .take("name")
      .put("cylinders", text_of(said.find("cylinders")))
      .put("layout", text_of(said.find("layout")))
      .put("fuel", text_of(said.find("fuel")))
      .find_by(engine.find("note"))
      .done();
}

}  // namespace

std::string folded(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    const Letter letter = letter_at(text, i);
    const char plain = text[i];
    i += letter.bytes;
    if (letter.bytes == 2) {
      append_folded(out, letter.code);
    } else if (static_cast<unsigned char>(plain) <= ' ') {
      append_blank(out);
    } else {
      out += plain >= 'A' && plain <= 'Z' ? static_cast<char>(plain - 'A' + 'a') : plain;
    }
  }
  while (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

ListEntry list_entry(DocumentStore::Kind kind, const Document& document) {
  switch (kind) {
    case DocumentStore::Kind::kJob:
      return job_entry(document);
    case DocumentStore::Kind::kEngine:
      return engine_entry(document);
    case DocumentStore::Kind::kShop:
      break;
  }
  return {Document(Table{}), {}};
}

Document DocumentStore::Stored::document() const {
  Result<Document> read = read_json(json, id);
  if (!read)
    throw EnvironmentError(EnvironmentError::Kind::kInputOutput, "document " + id + " cannot be read back: " + to_string(read.problems()));
  return std::move(read).value();
}

}  // namespace headjoint::jobs
