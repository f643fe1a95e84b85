#include "headjoint/base/byte_source.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <utility>

#include "headjoint/base/error.h"

namespace headjoint {
namespace {

using Kind = EnvironmentError::Kind;

class FileBytes final : public ByteSource {
 public:
  explicit FileBytes(const std::string& path)
      : path_(path), descriptor_(path == "-" ? STDIN_FILENO : ::open(path.c_str(), O_RDONLY | O_CLOEXEC)) {
    if (descriptor_ < 0) fail(errno == ENOENT || errno == ENOTDIR ? Kind::kNoSuchFile : Kind::kInputOutput);
    struct stat about {};
    if (::fstat(descriptor_, &about) == 0 && S_ISREG(about.st_mode)) size_ = static_cast<std::uint64_t>(about.st_size);
  }
  ~FileBytes() override {
    if (descriptor_ > STDERR_FILENO) ::close(descriptor_);
  }

  std::size_t read(std::span<char> buffer) override {
    std::size_t filled = 0;
    while (filled < buffer.size()) {
      const ssize_t count = ::read(descriptor_, buffer.data() + filled, buffer.size() - filled);
      if (count < 0 && errno == EINTR) continue;
      if (count < 0) fail(Kind::kInputOutput);
      if (count == 0) break;
      filled += static_cast<std::size_t>(count);
    }
    return filled;
  }

  [[nodiscard]] std::optional<std::uint64_t> size() const override { return size_; }

 private:
  [[noreturn]] void fail(Kind kind) const { throw EnvironmentError(kind, path_ + ": " + std::strerror(errno)); }

  std::string path_;
  int descriptor_;
  std::optional<std::uint64_t> size_;
};

class TextBytes final : public ByteSource {
 public:
  explicit TextBytes(std::string bytes) : bytes_(std::move(bytes)) {}

  std::size_t read(std::span<char> buffer) override {
    const std::size_t count = std::min(buffer.size(), bytes_.size() - done_);
    std::memcpy(buffer.data(), bytes_.data() + done_, count);
    done_ += count;
    return count;
  }
  [[nodiscard]] std::optional<std::uint64_t> size() const override { return bytes_.size(); }

 private:
  std::string bytes_;
  std::size_t done_ = 0;
};

}  // namespace

std::unique_ptr<ByteSource> open_byte_source(const std::string& path) { return std::make_unique<FileBytes>(path); }

std::unique_ptr<ByteSource> byte_source_of(std::string bytes) { return std::make_unique<TextBytes>(std::move(bytes)); }

}  // namespace headjoint
