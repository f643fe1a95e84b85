#include "headjoint/faces/internal/chebyshev_simplex.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace headjoint::faces::internal {
namespace {

using Vector4 = std::array<double, 4>;
using Matrix4 = std::array<Vector4, 4>;  // rows

constexpr double kPierced = 1e-13;     // least violation that counts, in units of the largest height
constexpr double kBelowZero = 1e-10;   // a weight so little below zero still counts as none
constexpr double kFirm = 0.01;         // share of the firmest pivot that Bland's rule may choose
constexpr double kLeastPivot = 1e-11;  // a smaller one would divide by rounding
constexpr double kNoProgress = 1e-14;  // a step that gains less counts as a tie
constexpr int kTiesBeforeBland = 12;
constexpr int kMostSteps = 2000;

/// Inverse by Gauss-Jordan elimination with row pivoting; empty when singular.
std::optional<Matrix4> inverse(Matrix4 m) {
  Matrix4 inverted{{{1, 0, 0, 0}, {0, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, 1}}};
  for (std::size_t c = 0; c < 4; ++c) {
    std::size_t pivot = c;
    for (std::size_t r = c + 1; r < 4; ++r)
      if (std::abs(m[r][c]) > std::abs(m[pivot][c])) pivot = r;
    if (!(std::abs(m[pivot][c]) > kLeastPivot)) return std::nullopt;
    std::swap(m[c], m[pivot]);
    std::swap(inverted[c], inverted[pivot]);
    const double scale = 1 / m[c][c];
    for (std::size_t k = 0; k < 4; ++k) {
      m[c][k] *= scale;
      inverted[c][k] *= scale;
    }
    for (std::size_t r = 0; r < 4; ++r) {
      if (r == c) continue;
      const double factor = m[r][c];
      for (std::size_t k = 0; k < 4; ++k) {
        m[r][k] -= factor * m[c][k];
        inverted[r][k] -= factor * inverted[c][k];
      }
    }
  }
  return inverted;
}

/// The exchange on points scaled to about 1.
class Exchange {
 public:
  Exchange(std::vector<Vector3> points, const std::optional<ContactBasis>& previous) : points_(std::move(points)) {
    if (previous) basis_ = *previous;
    if (previous && refactor() && *std::min_element(weight_.begin(), weight_.end()) >= -kBelowZero) return;
    basis_ = {{0, 0, 1, 2}, {true, false, true, true}};  // one point on both planes: height 0, always feasible
    is_ready_ = refactor();
  }

  /// Steps until no point pierces a plane. @returns false when it could not get there
  bool run() {
    if (!is_ready_) return false;
    int ties = 0;
    for (int step = 0; step < kMostSteps; ++step) {
      const bool bland = ties >= kTiesBeforeBland;
      const auto entering = worst(bland);
      if (!entering) return true;
      const auto gain = exchange(*entering, bland);
      if (!gain) return false;
      ties = *gain > kNoProgress ? 0 : ties + 1;
    }
    return false;
  }

  [[nodiscard]] const ContactBasis& basis() const { return basis_; }
  [[nodiscard]] const Vector4& weight() const { return weight_; }
  /// upper offset, minus lower offset, slopes a and b
  [[nodiscard]] const Vector4& planes() const { return planes_; }

 private:
  struct Entering {
    std::size_t point = 0;
    bool is_upper = false;
    double violation = 0;
  };

  [[nodiscard]] Vector4 column(std::size_t point, bool is_upper) const {
    const Vector3& p = points_[point];
    return is_upper ? Vector4{1, 0, p[0], p[1]} : Vector4{0, 1, -p[0], -p[1]};
  }

  /// Weights and planes of the present basis. @returns false when its contacts determine no plane
  bool refactor() {
    Matrix4 matrix;
    for (std::size_t c = 0; c < 4; ++c) {
      const Vector4 contact = column(basis_.point[c], basis_.is_upper[c]);
      for (std::size_t r = 0; r < 4; ++r) matrix[r][c] = contact[r];
    }
    const auto inverted = inverse(matrix);
    if (!inverted) return false;
    inverse_ = *inverted;
    planes_ = {};
    for (std::size_t r = 0; r < 4; ++r) {
      weight_[r] = inverse_[r][0] + inverse_[r][1];
      const double w = points_[basis_.point[r]][2];
      for (std::size_t c = 0; c < 4; ++c) planes_[c] += (basis_.is_upper[r] ? w : -w) * inverse_[r][c];
    }
    return true;
  }

  /// The point that pierces a plane most, or with Bland's rule the first one.
  [[nodiscard]] std::optional<Entering> worst(bool bland) const {
    Entering found{0, false, kPierced};
    for (std::size_t i = 0; i < points_.size(); ++i) {
      const Vector3& p = points_[i];
      const double s = p[2] - planes_[2] * p[0] - planes_[3] * p[1];
      const double above = s - planes_[0];
      const double below = -s - planes_[1];
      if (above > found.violation) found = {i, true, above};
      if (below > found.violation) found = {i, false, below};
      if (bland && found.violation > kPierced) break;
    }
    if (found.violation > kPierced) return found;
    return std::nullopt;
  }

  /// A contact that may give way: how far the entering weight can grow before it does, and how firmly it would be replaced.
  struct Leaving {
    std::size_t row = 0;
    double ratio = 0;
    double pivot = 0;
  };

  /// Contacts that give way first, firmest replacement first. Weights may sink to -kBelowZero on the way: grids hold contacts that line up
  /// but for rounding, and to replace one of those would leave four contacts without a plane.
  [[nodiscard]] std::vector<Leaving> leaving_contacts(const Vector4& contact, bool bland) const {
    std::vector<Leaving> found;
    double bound = std::numeric_limits<double>::infinity();
    for (std::size_t r = 0; r < 4; ++r) {
      double change = 0;
      for (std::size_t c = 0; c < 4; ++c) change += inverse_[r][c] * contact[c];
      if (!(change > kLeastPivot)) continue;
      const double weight = std::max(weight_[r], 0.0);
      found.push_back({r, weight / change, change});
      bound = std::min(bound, (weight + kBelowZero) / change);
    }
    std::erase_if(found, [bound](const Leaving& l) { return l.ratio > bound; });
    std::sort(found.begin(), found.end(), [](const Leaving& a, const Leaving& b) { return a.pivot > b.pivot; });
    if (bland && !found.empty()) {
      const double firm = kFirm * found.front().pivot;
      std::erase_if(found, [firm](const Leaving& l) { return l.pivot < firm; });
      std::sort(found.begin(), found.end(),
                [this](const Leaving& a, const Leaving& b) { return basis_.point[a.row] < basis_.point[b.row]; });
    }
    return found;
  }

  /// Puts a point into the basis for a contact that gives way. @returns gain in height, empty when stuck
  std::optional<double> exchange(const Entering& entering, bool bland) {
    const ContactBasis before = basis_;
    for (const Leaving& leaving : leaving_contacts(column(entering.point, entering.is_upper), bland)) {
      basis_.point[leaving.row] = entering.point;
      basis_.is_upper[leaving.row] = entering.is_upper;
      if (refactor()) return leaving.ratio * entering.violation;
      basis_ = before;
    }
    return std::nullopt;
  }

  std::vector<Vector3> points_;
  ContactBasis basis_;
  Matrix4 inverse_{};
  Vector4 weight_{};
  Vector4 planes_{};
  bool is_ready_ = true;
};

}  // namespace

SlopedZone least_sloped_zone(std::span<const Vector3> points, const std::optional<ContactBasis>& previous) {
  double side = 0;
  double height = 0;
  for (const Vector3& p : points) {
    side = std::max({side, std::abs(p[0]), std::abs(p[1])});
    height = std::max(height, std::abs(p[2]));
  }
  if (height == 0) height = 1;
  std::vector<Vector3> scaled(points.begin(), points.end());
  for (Vector3& p : scaled) p = {p[0] / side, p[1] / side, p[2] / height};
  Exchange exchange(std::move(scaled), previous);
  SlopedZone zone;
  zone.is_solved = exchange.run();
  const Vector4& planes = exchange.planes();
  zone.a = planes[2] * height / side;
  zone.b = planes[3] * height / side;
  zone.upper = planes[0] * height;
  zone.lower = -planes[1] * height;
  zone.basis = exchange.basis();
  zone.weight = exchange.weight();
  return zone;
}

}  // namespace headjoint::faces::internal
