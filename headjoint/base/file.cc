#include "headjoint/base/file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>

#include "headjoint/base/error.h"

namespace headjoint {
namespace {

using Kind = EnvironmentError::Kind;

[[noreturn]] void fail(const std::string& path, Kind kind = Kind::kInputOutput) {
  throw EnvironmentError(kind, path + ": " + std::strerror(errno));
}

class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() {
    if (number_ > STDERR_FILENO) ::close(number_);
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  [[nodiscard]] int number() const { return number_; }

 private:
  int number_;
};

}  // namespace

std::string read_file(const std::string& path, std::size_t limit) {
  const Descriptor file(path == "-" ? STDIN_FILENO : ::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (file.number() < 0) fail(path, errno == ENOENT || errno == ENOTDIR ? Kind::kNoSuchFile : Kind::kInputOutput);
  std::string content;
  char buffer[1U << 16U];
  for (;;) {
    const ssize_t count = ::read(file.number(), buffer, sizeof buffer);
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) fail(path);
    if (count == 0) return content;
    content.append(buffer, static_cast<std::size_t>(count));
    if (content.size() > limit) {
      throw EnvironmentError(Kind::kInputOutput,
                             path + ": larger than " + std::to_string(limit >> 20U) + " MiB, which no input of this kind is");
    }
  }
}

void write_file(const std::string& path, std::string_view content) {
  const std::string temporary = path + ".part" + std::to_string(::getpid());
  {
    const Descriptor file(::open(temporary.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0644));
    if (file.number() < 0) fail(temporary);
    while (!content.empty()) {
      const ssize_t count = ::write(file.number(), content.data(), content.size());
      if (count < 0 && errno == EINTR) continue;
      if (count < 0) {
        ::unlink(temporary.c_str());
        fail(temporary);
      }
      content.remove_prefix(static_cast<std::size_t>(count));
    }
    if (::fsync(file.number()) != 0 && errno != EINVAL) fail(temporary);
  }
  if (std::rename(temporary.c_str(), path.c_str()) != 0) {
    ::unlink(temporary.c_str());
    fail(path);
  }
}

}  // namespace headjoint
