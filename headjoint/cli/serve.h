#pragma once

#include <iosfwd>
#include <span>
#include <string>

#include "headjoint/base/embedded.h"

namespace headjoint::cli {

struct ServeOptions {
  int port = 8137;
  std::string data_folder;  ///< "" = $XDG_DATA_HOME/headjoint or ~/.local/share/headjoint
  std::string web_folder;   ///< "" = the page linked into the program
};

/// Serves the workbench on 127.0.0.1 until SIGINT or SIGTERM; the first line written is the address.
/// @returns an exit code; @throws EnvironmentError when the port or the data folder cannot be used
[[nodiscard]] int serve(const ServeOptions& options, std::span<const EmbeddedFile> page, std::ostream& out, std::ostream& err);

}  // namespace headjoint::cli
