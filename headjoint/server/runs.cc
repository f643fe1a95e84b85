#include "headjoint/server/runs.h"

namespace headjoint::server {

std::shared_ptr<Runs::Run> Runs::start(const std::string& name) {
  auto run = std::make_shared<Run>();
  const std::lock_guard lock(mutex_);
  std::erase_if(runs_, [](const auto& entry) { return entry.second.expired(); });
  if (const auto before = runs_[name].lock()) before->is_stopped = true;
  runs_[name] = run;
  return run;
}

std::shared_ptr<Runs::Run> Runs::find(const std::string& name) {
  const std::lock_guard lock(mutex_);
  const auto found = runs_.find(name);
  return found == runs_.end() ? nullptr : found->second.lock();
}

}  // namespace headjoint::server
