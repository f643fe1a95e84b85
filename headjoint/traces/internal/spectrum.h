#pragma once

#include <complex>
#include <cstddef>
#include <span>
#include <vector>

namespace headjoint::traces {

/// Discrete Fourier transform of real values, without scaling: element k belongs to k / size of the rate; up to half the rate.
[[nodiscard]] std::vector<std::complex<double>> spectrum(std::span<const double> values);

/// A size not below `size` that transforms fast: a product of 2, 3 and 5.
[[nodiscard]] std::size_t fast_size(std::size_t size);

}  // namespace headjoint::traces
