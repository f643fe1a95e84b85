#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace headjoint {

/// Whole content of a file; "-" reads standard input.
/// @throws EnvironmentError kNoSuchFile, or kInputOutput when it cannot be read or is larger than `limit` bytes
[[nodiscard]] std::string read_file(const std::string& path, std::size_t limit = 64U << 20U);

/// Writes to a temporary name beside `path`, flushes it to disk, renames it into place: the old file stays whole until then.
/// @throws EnvironmentError kInputOutput
void write_file(const std::string& path, std::string_view content);

}  // namespace headjoint
