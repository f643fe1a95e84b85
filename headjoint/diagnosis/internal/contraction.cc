#include "headjoint/diagnosis/internal/contraction.h"

#include <algorithm>
#include <type_traits>

#if defined(__x86_64__) && defined(__GNUC__)
#define HEADJOINT_HAS_WIDE_VECTORS 1
#endif

namespace headjoint::diagnosis::internal {
namespace {

constexpr std::size_t kStretch = 64;  // entries of the inner list of starts; the outer list shifts it again and again

using Starts = Contraction::Starts;

/// Variables that follow each other and lie in the same tables, taken as one.
struct Dimension {
  std::uint32_t extent = 1;
  Starts step{};  ///< in out, left, right; 0 where the table lacks it
};

std::vector<Dimension> dimensions_of(const std::vector<Variable>& joint, const std::array<const std::vector<Variable>*, 3>& tables,
                                     const std::vector<std::size_t>& states) {
  std::vector<Dimension> fastest_first;
  Starts step{1, 1, 1};
  std::array<std::size_t, 3> left{tables[0]->size(), tables[1]->size(), tables[2]->size()};
  for (std::size_t i = joint.size(); i-- > 0;) {
    const auto extent = static_cast<std::uint32_t>(states[joint[i]]);
    Dimension dimension{extent, {}};
    for (std::size_t side = 0; side < 3; ++side) {
      if (left[side] == 0 || (*tables[side])[left[side] - 1] != joint[i]) continue;
      dimension.step[side] = step[side];
      step[side] *= extent;
      --left[side];
    }
    const auto same_tables = [&](const Dimension& other) {
      for (std::size_t side = 0; side < 3; ++side)
        if ((other.step[side] != 0) != (dimension.step[side] != 0)) return false;
      return true;
    };
    if (!fastest_first.empty() && same_tables(fastest_first.back()))
      fastest_first.back().extent *= extent;
    else
      fastest_first.push_back(dimension);
  }
  return fastest_first;
}

/// Repeats a list of starts for every value of one more dimension, in the order result, a, b.
void repeat(std::vector<Starts>& starts, const Dimension& dimension, std::size_t result) {
  const std::size_t count = std::max<std::size_t>(starts.size(), 1);
  starts.reserve(count * dimension.extent);
  if (starts.empty()) starts.push_back({});
  for (std::uint32_t value = 1; value < dimension.extent; ++value)
    for (std::size_t i = 0; i < count; ++i) {
      Starts start = starts[i];
      for (std::size_t side = 0; side < 3; ++side) start[side] += value * dimension.step[(result + side) % 3];
      starts.push_back(start);
    }
}

#define HEADJOINT_INLINE inline __attribute__((always_inline))

/// One or more runs that are summed onto one run of the result. Which of the tables walk is known at compile time.
/// kAdd: on top of what stands there.
template <bool kA, bool kB, bool kAdd, std::size_t kCount, class Length>
HEADJOINT_INLINE void combine(double* __restrict result, const std::array<const double*, kCount>& a,
                              const std::array<const double*, kCount>& b, Length length) {
  for (std::size_t i = 0; i < length; ++i) {
    double sum = kAdd ? result[i] : 0.0;
    for (std::size_t k = 0; k < kCount; ++k) sum += a[k][kA ? i : 0] * b[k][kB ? i : 0];
    result[i] = sum;
  }
}

template <bool kA, bool kB, class Length>
HEADJOINT_INLINE double dot(const double* a, const double* b, Length length) {
  constexpr std::size_t kLanes = 16;
  std::array<double, kLanes> lanes{};
  std::size_t i = 0;
  for (; i + kLanes <= length; i += kLanes)
    for (std::size_t lane = 0; lane < kLanes; ++lane) lanes[lane] += a[kA ? i + lane : 0] * b[kB ? i + lane : 0];
  double sum = 0;
  for (; i < length; ++i) sum += a[kA ? i : 0] * b[kB ? i : 0];
  for (double lane : lanes) sum += lane;
  return sum;
}

/// All runs that are summed onto one run of the result.
template <bool kResult, bool kA, bool kB, class Length>
HEADJOINT_INLINE void onto_one(double* result, const double* a, const double* b, std::span<const Starts> summed, Length length) {
  if constexpr (!kResult) {
    double sum = 0;
    for (const Starts& start : summed) sum += dot<kA, kB>(a + start[1], b + start[2], length);
    *result = sum;
  } else {
    std::size_t k = 0;
    const auto x = [&](std::size_t i) { return a + summed[i][1]; };
    const auto y = [&](std::size_t i) { return b + summed[i][2]; };
    if (summed.size() == 2) {
      combine<kA, kB, false, 2>(result, {x(0), x(1)}, {y(0), y(1)}, length);
      k = 2;
    } else if (summed.size() >= 3) {
      combine<kA, kB, false, 3>(result, {x(0), x(1), x(2)}, {y(0), y(1), y(2)}, length);
      k = 3;
    } else {
      combine<kA, kB, false, 1>(result, {x(0)}, {y(0)}, length);
      k = 1;
    }
    for (; k + 2 <= summed.size(); k += 2) combine<kA, kB, true, 2>(result, {x(k), x(k + 1)}, {y(k), y(k + 1)}, length);
    if (k < summed.size()) combine<kA, kB, true, 1>(result, {x(k)}, {y(k)}, length);
  }
}

/// One contraction, ready to be walked.
struct Job {
  double* result;
  const double* a;
  const double* b;
  std::span<const Starts> outer;
  std::span<const Starts> inner;
  std::span<const Starts> summed;
  std::size_t length;
};

template <bool kResult, bool kA, bool kB, class Length>
HEADJOINT_INLINE void walk(const Job& job, Length length) {
  for (const Starts& outer : job.outer)
    for (const Starts& inner : job.inner)
      onto_one<kResult, kA, kB>(job.result + outer[0] + inner[0], job.a + outer[1] + inner[1], job.b + outer[2] + inner[2], job.summed,
                                length);
}

/// With the run's length known at compile time where it is short.
template <bool kResult, bool kA, bool kB>
HEADJOINT_INLINE void walk_any(const Job& job) {
  switch (job.length) {
    case 1:
      return walk<kResult, kA, kB>(job, std::integral_constant<std::size_t, 1>{});
    case 2:
      return walk<kResult, kA, kB>(job, std::integral_constant<std::size_t, 2>{});
    case 3:
      return walk<kResult, kA, kB>(job, std::integral_constant<std::size_t, 3>{});
    case 4:
      return walk<kResult, kA, kB>(job, std::integral_constant<std::size_t, 4>{});
    default:
      return walk<kResult, kA, kB>(job, job.length);
  }
}

// The same walk compiled for several kinds of processor. A run of which nothing walks has one cell and goes as one of which all do.
using Walker = void (*)(const Job&);
struct Walkers {
  std::array<Walker, 8> by_pattern;  ///< result walks: 4, a walks: 2, b walks: 1
};

#define HEADJOINT_WALKERS(name, target)                                                                                      \
  target void walk_001_##name(const Job& job) { walk_any<false, false, true>(job); }                                         \
  target void walk_010_##name(const Job& job) { walk_any<false, true, false>(job); }                                         \
  target void walk_011_##name(const Job& job) { walk_any<false, true, true>(job); }                                          \
  target void walk_100_##name(const Job& job) { walk_any<true, false, false>(job); }                                         \
  target void walk_101_##name(const Job& job) { walk_any<true, false, true>(job); }                                          \
  target void walk_110_##name(const Job& job) { walk_any<true, true, false>(job); }                                          \
  target void walk_111_##name(const Job& job) { walk_any<true, true, true>(job); }                                           \
  constexpr Walkers kWalkers_##name = {{walk_111_##name, walk_001_##name, walk_010_##name, walk_011_##name, walk_100_##name, \
                                        walk_101_##name, walk_110_##name, walk_111_##name}};

HEADJOINT_WALKERS(plain, )
#if defined(HEADJOINT_HAS_WIDE_VECTORS)
HEADJOINT_WALKERS(avx2, __attribute__((target("avx2,fma"))))
HEADJOINT_WALKERS(avx512, __attribute__((target("avx512f,avx512vl,avx512dq,avx2,fma,prefer-vector-width=512"))))
#endif

const Walkers& walkers() {
#if defined(HEADJOINT_HAS_WIDE_VECTORS)
  static const Walkers& kBest =
      __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512vl") && __builtin_cpu_supports("avx512dq") ? kWalkers_avx512
      : __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")                                             ? kWalkers_avx2
                                                                                                                    : kWalkers_plain;
  return kBest;
#else
  return kWalkers_plain;
#endif
}

}  // namespace

Contraction::Contraction(const std::vector<Variable>& joint, const std::vector<Variable>& out, const std::vector<Variable>& left,
                         const std::vector<Variable>& right, const std::vector<std::size_t>& states) {
  const std::vector<Dimension> dimensions = dimensions_of(joint, {&out, &left, &right}, states);
  for (const Dimension& dimension : dimensions) cells_ *= dimension.extent;
  if (!dimensions.empty()) {
    run_ = dimensions[0].extent;
    for (std::size_t side = 0; side < 3; ++side) walks_along_[side] = dimensions[0].step[side] != 0;
  }
  for (std::size_t result = 0; result < 3; ++result) {
    Walk& walk = walks_[result];
    for (std::size_t d = 1; d < dimensions.size(); ++d) {
      if (dimensions[d].step[result] == 0)
        repeat(walk.summed, dimensions[d], result);
      else
        repeat(walk.inner.size() < kStretch ? walk.inner : walk.outer, dimensions[d], result);
    }
  }
}

void Contraction::sum_onto(Side into, std::span<double> result, std::span<const double> a, std::span<const double> b) const {
  const auto r = static_cast<std::size_t>(into);
  const Walk& walk = walks_[r];
  const std::size_t pattern = (walks_along_[r] ? 4U : 0U) + (walks_along_[(r + 1) % 3] ? 2U : 0U) + (walks_along_[(r + 2) % 3] ? 1U : 0U);
  static constexpr std::array<Starts, 1> kOne{};
  const auto list = [](const std::vector<Starts>& starts) {
    return starts.empty() ? std::span<const Starts>(kOne) : std::span<const Starts>(starts);
  };
  walkers().by_pattern[pattern]({result.data(), a.data(), b.data(), list(walk.outer), list(walk.inner), list(walk.summed), run_});
}

}  // namespace headjoint::diagnosis::internal
