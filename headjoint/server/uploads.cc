#include "headjoint/server/uploads.h"

#include <algorithm>
#include <random>
#include <utility>

#include "headjoint/base/error.h"

namespace headjoint::server {
namespace {

std::string new_id() {
  static constexpr char kLetters[] = "0123456789abcdefghjkmnpqrstvwxyz";
  std::random_device random;
  std::string id(24, '0');
  for (char& letter : id) letter = kLetters[random() % 32];
  return id;
}

}  // namespace

Uploads::Uploads(std::size_t most) : most_(most) { require(most >= 1, "one file at least is kept"); }

std::string Uploads::add(std::shared_ptr<const SpooledFile> file, std::string name) {
  const std::lock_guard lock(mutex_);
  kept_.push_front({new_id(), std::move(name), std::move(file)});
  if (kept_.size() > most_) {
    if (kept_.back().id == drawn_) window_ = {};
    kept_.pop_back();
  }
  return kept_.front().id;
}

Uploads::Upload Uploads::find(const std::string& id) {
  const std::lock_guard lock(mutex_);
  const auto found = std::find_if(kept_.begin(), kept_.end(), [&](const Upload& one) { return one.id == id; });
  if (found == kept_.end()) return {};
  kept_.splice(kept_.begin(), kept_, found);
  return kept_.front();
}

bool Uploads::drop(const std::string& id) {
  const std::lock_guard lock(mutex_);
  if (id == drawn_) window_ = {};
  return std::erase_if(kept_, [&](const Upload& one) { return one.id == id; }) > 0;
}

void Uploads::keep_window(const std::string& id, Window window) {
  const std::lock_guard lock(mutex_);
  drawn_ = id;
  window_ = std::move(window);
}

Uploads::Window Uploads::window_of(const std::string& id) {
  const std::lock_guard lock(mutex_);
  return id == drawn_ ? window_ : Window();
}

}  // namespace headjoint::server
