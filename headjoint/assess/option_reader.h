#pragma once

#include <optional>
#include <string>
#include <utility>

#include "headjoint/assess/operation.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::assess {

/// Reads an operation's options and collects every problem.
class OptionReader {
 public:
  explicit OptionReader(const Request& request) : request_(request) {}

  /// A quantity, or empty when it was not given or does not read.
  template <class T>
  std::optional<Typed<T>> quantity(const std::string& name) {
    const std::string text = request_.option(name);
    if (text.empty()) return std::nullopt;
    auto parsed = parse_typed<T>(text);
    if (parsed) return *parsed;
    for (Problem problem : parsed.problems()) {
      problem.place.pointer = "--" + name;
      problems_.push_back(std::move(problem));
    }
    return std::nullopt;
  }

  /// A quantity greater than zero.
  template <class T>
  std::optional<T> positive(const std::string& name) {
    const auto typed = quantity<T>(name);
    if (!typed) return std::nullopt;
    if (!(typed->value > zero<T>())) {
      refuse("--" + name, "must be greater than zero, got " + typed->text, "more than 0");
      return std::nullopt;
    }
    return typed->value;
  }

  void refuse(const std::string& where, std::string what, std::string allowed) {
    problems_.push_back({{{}, 0, 0, where}, std::move(what), std::move(allowed), {}});
  }
  void add(const Problems& problems) { problems_.insert(problems_.end(), problems.begin(), problems.end()); }

  [[nodiscard]] const Problems& problems() const { return problems_; }

 private:
  template <class T>
  static constexpr T zero() {
    if constexpr (requires { T::from_si(0.0); })
      return T::from_si(0);
    else if constexpr (requires { T::from_rpm(0.0); })
      return T::from_rpm(0);
    else
      return T::from_pascal(0);
  }

  const Request& request_;
  Problems problems_;
};

}  // namespace headjoint::assess
