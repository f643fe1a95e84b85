#pragma once

#include <string>

#include "headjoint/base/document.h"

namespace headjoint::jobs {

/// A kept document as a file for people. TOML has no nothing: members that are nothing are left out, in a list an empty text stands
/// for it, as in a job file written by hand. What TOML cannot hold at all (a document that is no table) is written as JSON.
/// @param format  "toml" or "json"
[[nodiscard]] std::string kept_file_text(const Document& document, const std::string& format);

/// "job-0117.toml": what it is, then letters and digits of its name, so that any system takes it.
[[nodiscard]] std::string kept_file_name(const std::string& noun, const std::string& name, const std::string& format);

}  // namespace headjoint::jobs
