#pragma once

#include <iosfwd>
#include <span>
#include <string>

#include "headjoint/base/embedded.h"

namespace headjoint::cli {

struct DoctorOptions {
  std::string data_folder;  ///< "" = as `serve`
  int port = 8137;
  bool json = false;
};

/// Looks over everything the workbench needs and changes nothing: the program itself, its page, the folder, the store, the disk, the
/// clock, the port. Each finding says how to mend it.
/// @returns kDone, kUnavailable (the machine or the store does not do its part) or kConfiguration (something is set up wrongly)
[[nodiscard]] int doctor(const DoctorOptions& options, std::span<const EmbeddedFile> page, std::ostream& out);

}  // namespace headjoint::cli
