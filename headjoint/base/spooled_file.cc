#include "headjoint/base/spooled_file.h"

#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <utility>

#include "headjoint/base/error.h"

namespace headjoint {
namespace {

[[noreturn]] void fail(const std::string& what) {
  throw EnvironmentError(EnvironmentError::Kind::kInputOutput, what + ": " + std::strerror(errno));
}

class SpooledBytes final : public ByteSource {
 public:
  SpooledBytes(std::shared_ptr<const SpooledFile> file, int descriptor) : file_(std::move(file)), descriptor_(descriptor) {}

  std::size_t read(std::span<char> buffer) override {
    std::size_t filled = 0;
    while (filled < buffer.size()) {
      const ssize_t count = ::pread(descriptor_, buffer.data() + filled, buffer.size() - filled, static_cast<off_t>(done_));
      if (count < 0 && errno == EINTR) continue;
      if (count < 0) fail("a file that was sent");
      if (count == 0) break;
      filled += static_cast<std::size_t>(count);
      done_ += static_cast<std::uint64_t>(count);
    }
    return filled;
  }
  [[nodiscard]] std::optional<std::uint64_t> size() const override { return file_->size(); }

 private:
  std::shared_ptr<const SpooledFile> file_;
  int descriptor_;
  std::uint64_t done_ = 0;
};

}  // namespace

std::shared_ptr<SpooledFile> SpooledFile::make(const std::string& folder) {
  std::error_code error;
  const std::filesystem::path place = folder.empty() ? std::filesystem::temp_directory_path(error) : std::filesystem::path(folder);
  std::filesystem::create_directories(place, error);
  std::string pattern = (place / "headjoint-XXXXXX").string();
  const int descriptor = ::mkstemp(pattern.data());
  if (descriptor < 0) fail(place.string());
  std::filesystem::remove(pattern, error);
  return std::shared_ptr<SpooledFile>(new SpooledFile(descriptor));
}

SpooledFile::~SpooledFile() { ::close(descriptor_); }

void SpooledFile::add(std::span<const char> bytes) {
  while (!bytes.empty()) {
    const ssize_t count = ::write(descriptor_, bytes.data(), bytes.size());
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) fail("keeping a file that is being sent");
    bytes = bytes.subspan(static_cast<std::size_t>(count));
    size_ += static_cast<std::uint64_t>(count);
  }
}

std::unique_ptr<ByteSource> SpooledFile::open() const { return std::make_unique<SpooledBytes>(shared_from_this(), descriptor_); }

}  // namespace headjoint
