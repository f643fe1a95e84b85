#pragma once

#include <memory>
#include <span>
#include <string>

namespace headjoint::traces {

/// SHA-256 of bytes that come piece after piece: says later whether a file is still the one a result was made from.
/// @par Source  FIPS 180-4
class Digest {
 public:
  Digest();
  ~Digest();
  Digest(const Digest&) = delete;
  Digest& operator=(const Digest&) = delete;

  void add(std::span<const char> bytes);

  /// 64 hexadecimal digits of all bytes added; nothing may be added afterwards.
  [[nodiscard]] std::string hex();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace headjoint::traces
