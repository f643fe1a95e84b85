#pragma once

#include <stdexcept>
#include <string>

namespace headjoint {

/// A caller broke a function's contract: a fault of the program, never of the user.
class ContractError : public std::logic_error {
 public:
  explicit ContractError(const std::string& what, const char* file = __builtin_FILE(), int line = __builtin_LINE());
};

/// A calculation was called with a value a person could have typed. Names the argument.
class InputError : public std::invalid_argument {
 public:
  InputError(const std::string& argument, const std::string& what);
  [[nodiscard]] const std::string& argument() const { return argument_; }

 private:
  std::string argument_;
};

/// The machine did not do its part: disk, database, network.
class EnvironmentError : public std::runtime_error {
 public:
  enum class Kind { kNoSuchFile, kInputOutput, kBusy, kUnavailable, kConfiguration };
  EnvironmentError(Kind kind, const std::string& what) : std::runtime_error(what), kind_(kind) {}
  [[nodiscard]] Kind kind() const { return kind_; }

 private:
  Kind kind_;
};

/// @throws ContractError when `condition` does not hold
inline void require(bool condition, const char* what, const char* file = __builtin_FILE(), int line = __builtin_LINE()) {
  if (!condition) throw ContractError(what, file, line);
}

}  // namespace headjoint
