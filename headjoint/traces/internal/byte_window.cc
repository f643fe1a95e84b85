#include "headjoint/traces/internal/byte_window.h"

#include <cstring>

namespace headjoint::traces {

std::string_view ByteWindow::look() {
  if (!is_last_ && end_ - begin_ < kSize) {
    std::memmove(buffer_.data(), buffer_.data() + begin_, end_ - begin_);
    end_ -= begin_;
    begin_ = 0;
    const std::span<char> room(buffer_.data() + end_, kSize - end_);
    const std::size_t count = bytes_.read(room);
    digest_.add(room.first(count));
    is_last_ = count < room.size();
    end_ += count;
    passed_ += count;
    const auto size = bytes_.size();
    is_stopped_ = is_stopped_ || !wishes_.progress(size && *size > 0 ? static_cast<double>(passed_) / static_cast<double>(*size) : -1);
  }
  return {buffer_.data() + begin_, end_ - begin_};
}

void ByteWindow::drain() {
  while (!is_stopped_) {
    take(look().size());
    if (is_last_) return;
  }
}

}  // namespace headjoint::traces
