#pragma once

#include <atomic>
#include <map>
#include <memory>
#include <mutex>
#include <string>

namespace headjoint::server {

/// Calculations under way that somebody may want to watch or stop, by the name their page gave them. Safe from any thread.
class Runs {
 public:
  struct Run {
    std::atomic<double> share = 0;  ///< done, 0 to 1
    std::atomic<bool> is_stopped = false;
  };

  /// Known from here until the returned pointer is the last one. A run of the same name that is still under way is stopped.
  [[nodiscard]] std::shared_ptr<Run> start(const std::string& name);

  /// @returns the run, or null pointer when none of that name is under way
  [[nodiscard]] std::shared_ptr<Run> find(const std::string& name);

 private:
  std::mutex mutex_;
  std::map<std::string, std::weak_ptr<Run>> runs_;
};

}  // namespace headjoint::server
