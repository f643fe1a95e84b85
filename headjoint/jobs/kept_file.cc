#include "headjoint/jobs/kept_file.h"

#include "headjoint/jobs/document_store.h"

namespace headjoint::jobs {
namespace {

constexpr std::size_t kLongestName = 60;

Document without_nothing_in_lists(Document document) {
  if (document.is_table()) {
    for (auto& [key, member] : document.table()) member = without_nothing_in_lists(std::move(member));
  } else if (document.is_array()) {
    for (Document& item : document.array()) item = item.is_null() ? Document("") : without_nothing_in_lists(std::move(item));
  }
  return document;
}

}  // namespace

std::string kept_file_text(const Document& document, const std::string& format) {
  if (format == "json" || !document.is_table()) return write_json(document) + "\n";
  return write_toml(without_nothing_in_lists(document));
}

std::string kept_file_name(const std::string& noun, const std::string& name, const std::string& format) {
  std::string plain = noun + "-";
  for (const char c : folded(name)) {
    const bool is_kept = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z');
    if (is_kept && plain.size() < kLongestName)
      plain += c;
    else if (plain.back() != '-')
      plain += '-';
  }
  if (plain.back() == '-') plain.pop_back();
  return plain + "." + format;
}

}  // namespace headjoint::jobs
