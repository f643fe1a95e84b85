#include "headjoint/diagnosis/internal/table_map.h"

namespace headjoint::diagnosis::internal {
namespace {

/// Steps in the small table when one variable of the large table moves on by one; 0 where the small table lacks it.
std::vector<std::size_t> strides_in(const std::vector<Variable>& large, const std::vector<Variable>& small,
                                    const std::vector<std::size_t>& states) {
  std::vector<std::size_t> strides(large.size(), 0);
  std::size_t stride = 1;
  for (std::size_t i = large.size(), j = small.size(); i-- > 0 && j > 0;) {
    if (large[i] != small[j - 1]) continue;
    strides[i] = stride;
    stride *= states[large[i]];
    --j;
  }
  return strides;
}

/// Calls body(large run, small run start) for every run, with the run length known at compile time where it is short.
template <class Body>
void for_runs(const TableMap& map, const Body& body) {
  const std::size_t count = map.offset.size();
  const auto loop = [&](auto length) {
    for (std::size_t r = 0; r < count; ++r) body(r * length, map.offset[r], length);
  };
  switch (map.run) {
    case 1:
      return loop(std::integral_constant<std::size_t, 1>{});
    case 2:
      return loop(std::integral_constant<std::size_t, 2>{});
    case 4:
      return loop(std::integral_constant<std::size_t, 4>{});
    case 8:
      return loop(std::integral_constant<std::size_t, 8>{});
    default:
      return loop(map.run);
  }
}

}  // namespace

std::size_t table_size(const std::vector<Variable>& scope, const std::vector<std::size_t>& states) {
  std::size_t size = 1;
  for (Variable v : scope) size *= states[v];
  return size;
}

TableMap::TableMap(const std::vector<Variable>& large, const std::vector<Variable>& small, const std::vector<std::size_t>& states) {
  const std::vector<std::size_t> strides = strides_in(large, small, states);
  std::size_t inner = large.size();
  walks = inner > 0 && strides[inner - 1] != 0;
  while (inner > 0 && (strides[inner - 1] != 0) == walks) run *= states[large[--inner]];

  offset.assign(1, 0);
  for (std::size_t i = 0; i < inner; ++i) {
    std::vector<std::uint32_t> wider;
    wider.reserve(offset.size() * states[large[i]]);
    for (std::uint32_t start : offset)
      for (std::size_t s = 0; s < states[large[i]]; ++s) wider.push_back(start + static_cast<std::uint32_t>(s * strides[i]));
    offset = std::move(wider);
  }
}

void multiply(std::span<double> large, const TableMap& map, std::span<const double> small) {
  double* __restrict a = large.data();
  const double* __restrict b = small.data();
  if (map.walks)
    for_runs(map, [=](std::size_t at, std::size_t from, std::size_t length) {
      for (std::size_t i = 0; i < length; ++i) a[at + i] *= b[from + i];
    });
  else
    for_runs(map, [=](std::size_t at, std::size_t from, std::size_t length) {
      const double factor = b[from];
      for (std::size_t i = 0; i < length; ++i) a[at + i] *= factor;
    });
}

void add_up_product(std::span<const double> left, std::span<const double> right, const TableMap& map, std::span<double> small) {
  const double* __restrict a = left.data();
  const double* __restrict c = right.data();
  double* __restrict b = small.data();
  if (map.walks)
    for_runs(map, [=](std::size_t at, std::size_t from, std::size_t length) {
      for (std::size_t i = 0; i < length; ++i) b[from + i] += a[at + i] * c[at + i];
    });
  else
    for_runs(map, [=](std::size_t at, std::size_t from, std::size_t length) {
      double sum = 0;
      for (std::size_t i = 0; i < length; ++i) sum += a[at + i] * c[at + i];
      b[from] += sum;
    });
}

}  // namespace headjoint::diagnosis::internal
