#include "headjoint/traces/internal/spectrum.h"

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wconversion"
#pragma GCC diagnostic ignored "-Wshadow"
#pragma GCC diagnostic ignored "-Wsign-conversion"
#pragma GCC diagnostic ignored "-Wpedantic"
#include <cmath>
#include <kissfft/kissfft.hh>
#pragma GCC diagnostic pop

namespace headjoint::traces {

std::vector<std::complex<double>> spectrum(std::span<const double> values) {
  const std::size_t size = values.size();
  std::vector<std::complex<double>> in(values.begin(), values.end()), out(size);
  if (size < 2) return in;
  kissfft<double>(size, false).transform(in.data(), out.data());
  out.resize(size / 2 + 1);
  return out;
}

std::size_t fast_size(std::size_t size) {
  for (std::size_t candidate = size;; ++candidate) {
    std::size_t rest = candidate;
    for (const std::size_t factor : {std::size_t{2}, std::size_t{3}, std::size_t{5}})
      while (rest > 1 && rest % factor == 0) rest /= factor;
    if (rest <= 1) return candidate;
  }
}

}  // namespace headjoint::traces
