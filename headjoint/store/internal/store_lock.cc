#include "headjoint/store/internal/store_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "headjoint/base/error.h"

namespace headjoint::store::internal {

StoreLock::StoreLock(const std::string& path, Hold hold)
    : file_(::open((path + ".lock").c_str(), O_RDWR | O_CREAT | O_CLOEXEC, S_IRUSR | S_IWUSR)) {
  if (file_ < 0)
    throw EnvironmentError(EnvironmentError::Kind::kInputOutput, path + ": cannot be opened or made (" + std::strerror(errno) + ")");
  if (::flock(file_, (hold == Hold::kAlone ? LOCK_EX : LOCK_SH) | LOCK_NB) == 0) return;
  ::close(file_);
  throw EnvironmentError(EnvironmentError::Kind::kBusy,
                         path + (hold == Hold::kAlone ? ": a workbench has it open; end that first, or restore from its page"
                                                      : ": it is being restored from a copy; try again in a moment"));
}

StoreLock::~StoreLock() { ::close(file_); }

}  // namespace headjoint::store::internal
