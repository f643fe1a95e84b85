#include "headjoint/assess/learnt_option.h"

#include <fmt/format.h>

#include "headjoint/assess/knowledge.h"
#include "headjoint/base/text.h"

namespace headjoint::assess {

OptionSpec learnt_option_spec() {
  return {"learnt", "FILE", "strengths counted from the shop's own closed jobs, as `shop-record` writes them", OptionKind::kFile};
}

Result<std::optional<diagnosis::Learnt>> learnt_of(const Request& request) {
  const auto file = request.files.find("learnt");
  if (file == request.files.end() || trimmed(file->second.text).empty()) return std::optional<diagnosis::Learnt>();
  const std::string source = file->second.source.empty() ? "--learnt" : file->second.source;
  const bool is_json = trimmed(file->second.text).starts_with('{');
  const auto document = is_json ? read_json(file->second.text, source) : read_toml(file->second.text, source);
  if (!document) return document.problems();
  auto learnt = diagnosis::read_learnt(*document, head_joint_pattern());
  if (!learnt) return learnt.problems();
  if (learnt->numbers.empty()) return std::optional<diagnosis::Learnt>();
  return std::optional<diagnosis::Learnt>(std::move(learnt).value());
}

std::string learnt_words(const diagnosis::Learnt& learnt) {
  if (learnt.numbers.empty()) return {};
  return fmt::format("{} of the strengths are this shop's own, counted from {} verified job{}; the others are common practice.",
                     learnt.numbers.size(), learnt.closures, learnt.closures == 1 ? "" : "s");
}

}  // namespace headjoint::assess
