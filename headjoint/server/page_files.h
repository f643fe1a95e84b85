#pragma once

#include <map>
#include <span>
#include <string>
#include <string_view>

#include "headjoint/base/embedded.h"
#include "headjoint/server/http.h"

namespace headjoint::server {

/// The files of the page: linked into the program, or read from a folder while the page is being worked on.
///
/// "x.js.gz" is the packed twin of "x.js" and is sent under its name to clients that take gzip; either may be there alone.
/// Below assets/ names change with their content, so those may be kept for ever; all else is asked for again with its ETag.
class PageFiles {
 public:
  /// @param folder when not empty, every request reads from there and `embedded` is not used
  PageFiles(std::span<const EmbeddedFile> embedded, std::string folder);

  /// @param path decoded, as in Target::path; "/" is index.html
  [[nodiscard]] Response answer(const Request& request, std::string_view path) const;

 private:
  struct Content {
    std::string bytes;
    bool is_packed = false;
    bool is_found = false;
  };
  [[nodiscard]] Content find(const std::string& name, bool takes_gzip) const;
  [[nodiscard]] bool read(const std::string& name, std::string& bytes) const;

  std::map<std::string_view, std::string_view> embedded_;
  std::string folder_;
};

/// "text/javascript; charset=utf-8" for "x.js"; "application/octet-stream" when not known.
[[nodiscard]] std::string_view content_type_of(std::string_view path);

}  // namespace headjoint::server
