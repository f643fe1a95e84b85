#pragma once

#include <cstddef>
#include <string_view>

namespace headjoint {

/// A file whose bytes were linked into the program by cmake/headjoint_embed.cmake.
struct EmbeddedFile {
  std::string_view path;  ///< relative to the embedding root, e.g. "networks/head_joint/links.csv"
  const char* begin;
  const char* end;

  [[nodiscard]] std::string_view content() const { return {begin, static_cast<std::size_t>(end - begin)}; }
};

}  // namespace headjoint
