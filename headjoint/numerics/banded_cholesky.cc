#include "headjoint/numerics/banded_cholesky.h"

#include <algorithm>
#include <cmath>
#include <cstring>

#include "headjoint/base/error.h"

namespace headjoint::numerics {
namespace {

constexpr std::size_t kWidestTile = 24;  // rows a tile may reach beyond the band
constexpr std::size_t kWidestBlock = 8;  // columns of a block

#define HEADJOINT_INLINE inline __attribute__((always_inline))

/// `kLanes` doubles; loads and stores need no alignment.
template <int kLanes>
struct VectorOf {
  typedef double type __attribute__((vector_size(kLanes * sizeof(double)), aligned(8), may_alias));
};

struct Band {
  double* values;
  std::size_t stride;
  std::size_t half_band;
  std::size_t size;
  double* inverse_diagonal;
  [[nodiscard]] HEADJOINT_INLINE double* at(std::size_t row, std::size_t column) const { return values + column * stride + row; }
};

/// The block of columns first .. first + kColumns - 1 on the diagonal: summed, factored, written back (lower half only).
template <int kColumns>
HEADJOINT_INLINE bool factor_diagonal(const Band& band, std::size_t first, double (&block)[kColumns][kColumns]) {
  for (int j = 0; j < kColumns; ++j)
    for (int i = j; i < kColumns; ++i) block[j][i] = *band.at(first + static_cast<std::size_t>(i), first + static_cast<std::size_t>(j));
  for (std::size_t k = first > band.half_band ? first - band.half_band : 0; k < first; ++k) {
    const double* column = band.at(first, k);
    for (int j = 0; j < kColumns; ++j)
      for (int i = 0; i < kColumns; ++i) block[j][i] -= column[i] * column[j];
  }
  for (int j = 0; j < kColumns; ++j) {
    for (int k = 0; k < j; ++k)
      for (int i = j; i < kColumns; ++i) block[j][i] -= block[k][i] * block[k][j];
    if (!(block[j][j] > 0)) return false;
    const double root = std::sqrt(block[j][j]);
    band.inverse_diagonal[first + static_cast<std::size_t>(j)] = 1 / root;
    block[j][j] = root;
    for (int i = j + 1; i < kColumns; ++i) block[j][i] /= root;
    for (int i = j; i < kColumns; ++i) *band.at(first + static_cast<std::size_t>(i), first + static_cast<std::size_t>(j)) = block[j][i];
  }
  return true;
}

/// One tile below the diagonal block: kVectors x kLanes rows by kColumns columns, summed over all earlier columns, then divided by the
/// block.
template <int kLanes, int kVectors, int kColumns>
HEADJOINT_INLINE void finish_tile(const Band& band, std::size_t row, std::size_t first, const double (&block)[kColumns][kColumns]) {
  using Vector = typename VectorOf<kLanes>::type;
  Vector sum[kColumns][kVectors];
  for (int j = 0; j < kColumns; ++j)
    for (int v = 0; v < kVectors; ++v)
      sum[j][v] = *reinterpret_cast<const Vector*>(band.at(row, first + static_cast<std::size_t>(j)) + v * kLanes);
  for (std::size_t k = row > band.half_band ? row - band.half_band : 0; k < first; ++k) {
    const double *rows = band.at(row, k), *columns = band.at(first, k);
    Vector a[kVectors];
    for (int v = 0; v < kVectors; ++v) a[v] = *reinterpret_cast<const Vector*>(rows + v * kLanes);
    for (int j = 0; j < kColumns; ++j)
      for (int v = 0; v < kVectors; ++v) sum[j][v] -= a[v] * columns[j];
  }
  for (int j = 0; j < kColumns; ++j) {
    for (int k = 0; k < j; ++k)
      for (int v = 0; v < kVectors; ++v) sum[j][v] -= sum[k][v] * block[k][j];
    const double inverse = band.inverse_diagonal[first + static_cast<std::size_t>(j)];
    for (int v = 0; v < kVectors; ++v) {
      sum[j][v] *= inverse;
      *reinterpret_cast<Vector*>(band.at(row, first + static_cast<std::size_t>(j)) + v * kLanes) = sum[j][v];
    }
  }
}

template <int kLanes, int kVectors, int kColumns>
HEADJOINT_INLINE bool factor_band(const Band& band, std::size_t from) {
  static_assert(kLanes * kVectors <= static_cast<int>(kWidestTile) && kColumns <= static_cast<int>(kWidestBlock));
  for (std::size_t first = from; first < band.size; first += kColumns) {
    double block[kColumns][kColumns];
    if (!factor_diagonal<kColumns>(band, first, block)) return false;
    const std::size_t end = std::min(first + kColumns + band.half_band, band.size);
    for (std::size_t row = first + kColumns; row < end; row += kLanes * kVectors)
      finish_tile<kLanes, kVectors, kColumns>(band, row, first, block);
  }
  return true;
}

/// Rows of right sides below one column: y -= column x row.
template <int kLanes>
HEADJOINT_INLINE void lower_block(const Band& band, double* y, std::size_t from) {
  using Vector = typename VectorOf<kLanes>::type;
  constexpr std::size_t kSides = BandedCholesky::kRightSides;
  constexpr int kVectors = static_cast<int>(kSides) / kLanes;
  for (std::size_t i = from; i < band.size; ++i) {
    Vector sum[kVectors], even[kVectors] = {};
    for (int v = 0; v < kVectors; ++v) sum[v] = *reinterpret_cast<const Vector*>(y + i * kSides + static_cast<std::size_t>(v * kLanes));
    std::size_t k = std::max(from, i > band.half_band ? i - band.half_band : 0);
    for (; k + 1 < i; k += 2) {
      const double l0 = *band.at(i, k), l1 = *band.at(i, k + 1);
      for (int v = 0; v < kVectors; ++v) {
        sum[v] -= *reinterpret_cast<const Vector*>(y + k * kSides + static_cast<std::size_t>(v * kLanes)) * l0;
        even[v] -= *reinterpret_cast<const Vector*>(y + (k + 1) * kSides + static_cast<std::size_t>(v * kLanes)) * l1;
      }
    }
    for (; k < i; ++k)
      for (int v = 0; v < kVectors; ++v)
        sum[v] -= *reinterpret_cast<const Vector*>(y + k * kSides + static_cast<std::size_t>(v * kLanes)) * *band.at(i, k);
    for (int v = 0; v < kVectors; ++v)
      *reinterpret_cast<Vector*>(y + i * kSides + static_cast<std::size_t>(v * kLanes)) = (sum[v] + even[v]) * band.inverse_diagonal[i];
  }
}

constexpr std::size_t kPanel = 4;  // columns walked together when solving

HEADJOINT_INLINE void lower_one(const Band& band, double* y, std::size_t from) {
  for (std::size_t j = from; j < band.size; j += kPanel) {
    double x[kPanel];
    for (std::size_t c = 0; c < kPanel; ++c) {
      x[c] = y[j + c];
      for (std::size_t b = 0; b < c; ++b) x[c] -= *band.at(j + c, j + b) * x[b];
      y[j + c] = x[c] *= band.inverse_diagonal[j + c];
    }
    const double *l0 = band.at(0, j), *l1 = band.at(0, j + 1), *l2 = band.at(0, j + 2), *l3 = band.at(0, j + 3);
    const std::size_t end = std::min(j + kPanel + band.half_band, band.size);
    for (std::size_t i = j + kPanel; i < end; ++i) y[i] -= l0[i] * x[0] + l1[i] * x[1] + l2[i] * x[2] + l3[i] * x[3];
  }
}

/// Sums over rows below four columns at once, in kLanes partial sums each.
template <int kLanes>
HEADJOINT_INLINE void upper_one(const Band& band, double* y) {
  using Vector = typename VectorOf<kLanes>::type;
  for (std::size_t j = band.size; j >= kPanel;) {
    j -= kPanel;
    Vector sum[kPanel] = {};
    double rest[kPanel] = {};
    const std::size_t begin = j + kPanel, end = std::min(begin + band.half_band, band.size);
    std::size_t i = begin;
    for (; i + kLanes <= end; i += kLanes) {
      const Vector x = *reinterpret_cast<const Vector*>(y + i);
      for (std::size_t c = 0; c < kPanel; ++c) sum[c] += *reinterpret_cast<const Vector*>(band.at(i, j + c)) * x;
    }
    for (; i < end; ++i)
      for (std::size_t c = 0; c < kPanel; ++c) rest[c] += *band.at(i, j + c) * y[i];
    for (std::size_t c = kPanel; c-- > 0;) {
      for (int lane = 0; lane < kLanes; ++lane) rest[c] += sum[c][lane];
      for (std::size_t b = c + 1; b < kPanel; ++b) rest[c] += *band.at(j + b, j + c) * y[j + b];
      y[j + c] = (y[j + c] - rest[c]) * band.inverse_diagonal[j + c];
    }
  }
}

/// The same four walks compiled for one kind of processor.
struct Walks {
  bool (*factor)(const Band&, std::size_t);
  void (*lower)(const Band&, double*, std::size_t);
  void (*lower_block)(const Band&, double*, std::size_t);
  void (*upper)(const Band&, double*);
};

#define HEADJOINT_WALKS(name, target, lanes, vectors, columns)                                                               \
  target bool factor_##name(const Band& band, std::size_t from) { return factor_band<lanes, vectors, columns>(band, from); } \
  target void lower_##name(const Band& band, double* y, std::size_t from) { lower_one(band, y, from); }                      \
  target void lower_block_##name(const Band& band, double* y, std::size_t from) { lower_block<lanes>(band, y, from); }       \
  target void upper_##name(const Band& band, double* y) { upper_one<lanes>(band, y); }                                       \
  constexpr Walks kWalks_##name = {factor_##name, lower_##name, lower_block_##name, upper_##name};

HEADJOINT_WALKS(plain, , 2, 2, 4)
#if defined(__x86_64__)
HEADJOINT_WALKS(avx2, __attribute__((target("avx2,fma"))), 4, 3, 4)
HEADJOINT_WALKS(avx512, __attribute__((target("avx512f,avx2,fma"))), 8, 3, 8)
#endif

const Walks& walks() {
#if defined(__x86_64__)
  static const Walks& kBest = __builtin_cpu_supports("avx512f")                                 ? kWalks_avx512
                              : __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma") ? kWalks_avx2
                                                                                                : kWalks_plain;
  return kBest;
#else
  return kWalks_plain;
#endif
}

std::size_t rounded_up(std::size_t value, std::size_t step) { return (value + step - 1) / step * step; }

}  // namespace

BandedMatrix::BandedMatrix(std::size_t size, std::size_t half_band)
    : size_(size), half_band_(std::min(half_band, size > 0 ? size - 1 : 0)), stride_(half_band_ + kWidestTile + kWidestBlock) {
  const std::size_t padded = rounded_up(size_, kWidestBlock);
  values_.assign(padded * (stride_ + 1) + stride_ + kWidestTile, 0.0);
  for (std::size_t i = size_; i < padded; ++i) values_[i * stride_ + i] = 1;
}

void BandedMatrix::fix(std::size_t unknown) {
  const std::size_t first = unknown > half_band_ ? unknown - half_band_ : 0, end = std::min(unknown + half_band_ + 1, size_);
  for (std::size_t other = first; other < end; ++other) values_[std::min(other, unknown) * stride_ + std::max(other, unknown)] = 0;
  values_[unknown * stride_ + unknown] = 1;
}

BandedCholesky::BandedCholesky(const BandedMatrix& shape)
    : factor_(shape.size(), shape.half_band()), inverse_diagonal_(rounded_up(shape.size(), kWidestBlock), 0.0) {}

namespace {
Band band_of(double* values, std::size_t stride, std::size_t half_band, std::vector<double>& inverse) {
  return {values, stride, half_band, inverse.size(), inverse.data()};
}
}  // namespace

bool BandedCholesky::factor(const BandedMatrix& matrix, std::size_t first_changed) {
  require(matrix.size() == factor_.size() && matrix.half_band() == factor_.half_band(), "a factor keeps the shape it was made for");
  const std::size_t from = std::min(first_changed, inverse_diagonal_.size()) / kWidestBlock * kWidestBlock;
  const std::size_t offset = from * (factor_.stride_ + 1);
  std::copy(matrix.values_.begin() + static_cast<std::ptrdiff_t>(offset), matrix.values_.end(),
            factor_.values_.begin() + static_cast<std::ptrdiff_t>(offset));
  return walks().factor(band_of(factor_.values_.data(), factor_.stride_, factor_.half_band_, inverse_diagonal_), from);
}

namespace {
/// Runs a walk on a vector padded to whole blocks.
template <class Walk>
void padded(std::span<double> values, std::size_t padded_size, std::size_t per_row, Walk&& walk) {
  std::vector<double> work(padded_size * per_row, 0.0);
  std::copy(values.begin(), values.end(), work.begin());
  walk(work.data());
  std::copy_n(work.begin(), values.size(), values.begin());
}
}  // namespace

void BandedCholesky::solve_lower(std::span<double> b, std::size_t first) const {
  require(b.size() == factor_.size(), "one right side per unknown");
  auto& self = const_cast<BandedCholesky&>(*this);
  padded(b, inverse_diagonal_.size(), 1, [&](double* y) {
    walks().lower(band_of(self.factor_.values_.data(), factor_.stride_, factor_.half_band_, self.inverse_diagonal_), y,
                  first / kPanel * kPanel);
  });
}

void BandedCholesky::solve_upper(std::span<double> y) const {
  require(y.size() == factor_.size(), "one right side per unknown");
  auto& self = const_cast<BandedCholesky&>(*this);
  padded(y, inverse_diagonal_.size(), 1, [&](double* x) {
    walks().upper(band_of(self.factor_.values_.data(), factor_.stride_, factor_.half_band_, self.inverse_diagonal_), x);
  });
}

void BandedCholesky::solve_lower_block(std::span<double> rows, std::size_t first) const {
  require(rows.size() == factor_.size() * kRightSides, "right sides for every unknown");
  auto& self = const_cast<BandedCholesky&>(*this);
  padded(rows, inverse_diagonal_.size(), kRightSides, [&](double* y) {
    walks().lower_block(band_of(self.factor_.values_.data(), factor_.stride_, factor_.half_band_, self.inverse_diagonal_), y, first);
  });
}

}  // namespace headjoint::numerics
