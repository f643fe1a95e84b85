#pragma once

#include <optional>
#include <utility>

#include "headjoint/base/error.h"
#include "headjoint/base/problem.h"

namespace headjoint {

/// A value read from outside, or the problems that prevented it. Warnings may accompany a value.
template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : value_(std::move(value)) {}  // NOLINT(google-explicit-constructor)
  Result(T value, Problems warnings) : value_(std::move(value)), problems_(std::move(warnings)) {}
  Result(Problems problems) : problems_(std::move(problems)) {  // NOLINT(google-explicit-constructor)
    require(has_errors(problems_), "a failed Result needs an error");
  }
  Result(Problem problem) : Result(Problems{std::move(problem)}) {}  // NOLINT(google-explicit-constructor)

  [[nodiscard]] bool has_value() const { return value_.has_value(); }
  explicit operator bool() const { return has_value(); }

  /// @throws ContractError when there is no value
  [[nodiscard]] const T& value() const& {
    require(has_value(), "Result without a value");
    return *value_;
  }
  [[nodiscard]] T&& value() && {
    require(has_value(), "Result without a value");
    return std::move(*value_);
  }
  const T& operator*() const& { return value(); }
  const T* operator->() const { return &value(); }

  /// Errors when there is no value, else warnings.
  [[nodiscard]] const Problems& problems() const { return problems_; }

 private:
  std::optional<T> value_;
  Problems problems_;
};

}  // namespace headjoint
