#include "headjoint/diagnosis/internal/contraction.h"

#include <algorithm>
#include <type_traits>

namespace headjoint::diagnosis::internal {
namespace {

constexpr std::size_t kStretch = 64;  // runs whose starts are listed once and used again and again

/// Steps in a table when each variable of the joint table moves on by one; 0 where the table lacks it.
std::vector<std::uint32_t> steps_in(const std::vector<Variable>& joint, const std::vector<Variable>& table,
                                    const std::vector<std::size_t>& states) {
  std::vector<std::uint32_t> steps(joint.size(), 0);
  std::uint32_t step = 1;
  for (std::size_t i = joint.size(), j = table.size(); i-- > 0 && j > 0;) {
    if (joint[i] != table[j - 1]) continue;
    steps[i] = step;
    step *= static_cast<std::uint32_t>(states[joint[i]]);
    --j;
  }
  return steps;
}

/// result += a * b along one run; which of them walk is known at compile time.
template <bool kResult, bool kA, bool kB, class Length>
inline void along(double* __restrict result, const double* __restrict a, const double* __restrict b, Length length) {
  if constexpr (kResult) {
    for (std::size_t i = 0; i < length; ++i) result[i] += a[kA ? i : 0] * b[kB ? i : 0];
  } else {
    double sum = 0;
    for (std::size_t i = 0; i < length; ++i) sum += a[kA ? i : 0] * b[kB ? i : 0];
    result[0] += sum;
  }
}

/// Calls body with the run's length, known at compile time where it is short.
template <class Body>
void with_length(std::size_t length, const Body& body) {
  switch (length) {
    case 1:
      return body(std::integral_constant<std::size_t, 1>{});
    case 2:
      return body(std::integral_constant<std::size_t, 2>{});
    case 4:
      return body(std::integral_constant<std::size_t, 4>{});
    case 8:
      return body(std::integral_constant<std::size_t, 8>{});
    default:
      return body(length);
  }
}

/// Calls body with a yes or no known at compile time.
template <class Body>
void with_flag(bool flag, const Body& body) {
  if (flag)
    body(std::true_type{});
  else
    body(std::false_type{});
}

}  // namespace

Contraction::Contraction(const std::vector<Variable>& joint, const std::vector<Variable>& out, const std::vector<Variable>& left,
                         const std::vector<Variable>& right, const std::vector<std::size_t>& states) {
  const std::array<std::vector<std::uint32_t>, 3> steps{steps_in(joint, out, states), steps_in(joint, left, states),
                                                        steps_in(joint, right, states)};
  std::size_t left_over = joint.size();
  const auto like_last = [&](std::size_t at) {
    return std::all_of(steps.begin(), steps.end(), [&](const auto& s) { return (s[at] != 0) == (s.back() != 0); });
  };
  while (left_over > 0 && like_last(left_over - 1)) run_ *= static_cast<std::uint32_t>(states[joint[--left_over]]);
  for (std::size_t side = 0; side < 3; ++side) step_[side] = !joint.empty() && steps[side].back() != 0 ? 1 : 0;

  inner_.push_back({});
  outer_.push_back({});
  const auto prepend = [&](std::vector<Offsets>& starts, std::size_t at) {
    const std::size_t count = starts.size();
    for (std::uint32_t s = 1; s < states[joint[at]]; ++s)
      for (std::size_t i = 0; i < count; ++i) {
        Offsets start = starts[i];
        for (std::size_t side = 0; side < 3; ++side) start[side] += s * steps[side][at];
        starts.push_back(start);
      }
  };
  while (left_over > 0 && inner_.size() < kStretch) prepend(inner_, --left_over);
  while (left_over > 0) prepend(outer_, --left_over);
}

void Contraction::sum_onto(Side into, std::span<double> result, std::span<const double> a, std::span<const double> b) const {
  const auto r = static_cast<std::size_t>(into);
  const std::size_t p = (r + 1) % 3;
  const std::size_t q = (r + 2) % 3;
  std::fill(result.begin(), result.end(), 0.0);
  const auto sweep = [&](auto result_walks, auto a_walks, auto b_walks, auto length) {
    for (const Offsets& outer : outer_) {
      double* const to = result.data() + outer[r];
      const double* const x = a.data() + outer[p];
      const double* const y = b.data() + outer[q];
      for (const Offsets& inner : inner_)
        along<decltype(result_walks)::value, decltype(a_walks)::value, decltype(b_walks)::value>(to + inner[r], x + inner[p], y + inner[q],
                                                                                                 length);
    }
  };
  with_length(run_, [&](auto length) {
    with_flag(step_[r] != 0, [&](auto result_walks) {
      with_flag(step_[p] != 0,
                [&](auto a_walks) { with_flag(step_[q] != 0, [&](auto b_walks) { sweep(result_walks, a_walks, b_walks, length); }); });
    });
  });
}

}  // namespace headjoint::diagnosis::internal
