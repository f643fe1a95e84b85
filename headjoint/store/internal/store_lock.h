#pragma once

#include <string>

namespace headjoint::store::internal {

/// Says to other programs that the store at `path` is open: a lock on a file beside it, which the system takes back with the process.
class StoreLock {
 public:
  enum class Hold {
    kShared,  ///< in use
    kAlone,   ///< nobody else may have it open: the file itself is about to be replaced
  };

  /// @throws EnvironmentError kBusy when another program holds it so that both cannot be; kInputOutput when the lock cannot be made
  StoreLock(const std::string& path, Hold hold);
  ~StoreLock();
  StoreLock(const StoreLock&) = delete;
  StoreLock& operator=(const StoreLock&) = delete;

 private:
  int file_;
};

}  // namespace headjoint::store::internal
