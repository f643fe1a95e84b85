#include "headjoint/faces/internal/line_system.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <set>

namespace headjoint::faces::internal {
namespace {

using Matrix = Eigen::MatrixXd;

constexpr double kSamePlace_mm = 2.0;  // spots written by hand for one crossing
constexpr double kNoRank = 1e-9;       // share of the largest singular value that counts as none
constexpr double kOnOneLine = 1e-3;    // width / length

Eigen::Index at(std::size_t i) { return static_cast<Eigen::Index>(i); }

/// Numbers for the unknowns: heights of the places first, then the free figures of each line.
class Unknowns {
 public:
  std::size_t place_of(const LineSpot& spot) {
    for (std::size_t i = 0; i < places_.size(); ++i)
      if (std::hypot(places_[i].x - spot.x_mm, places_[i].y - spot.y_mm) <= kSamePlace_mm) return i;
    places_.push_back({spot.x_mm, spot.y_mm});
    return places_.size() - 1;
  }
  [[nodiscard]] const std::vector<LinePlace>& places() const { return places_; }

 private:
  std::vector<LinePlace> places_;
};

/// A reading's coefficients before the number of places is known.
struct Row {
  LineReading reading;
  std::vector<std::pair<std::size_t, double>> heights;  ///< place, coefficient
  std::size_t slot = 0;                                 ///< of its line
  double along = 0;                                     ///< coefficient of the tilt of the line
  double offset = 0;                                    ///< coefficient of its height
};

bool is_measured(const LineSpot& spot) { return spot.state == LineSpot::State::kMeasured; }

void add_gap_rows(const MeasuredLine& line, std::size_t index, std::size_t slot, Unknowns& unknowns, std::vector<Row>& rows) {
  for (std::size_t i = 0; i < line.spots.size(); ++i) {
    const LineSpot& spot = line.spots[i];
    if (!is_measured(spot)) continue;
    rows.push_back({{index, i, spot.low_mm, spot.high_mm}, {{unknowns.place_of(spot), -1.0}}, slot, spot.along_mm, 1});
  }
}

void add_tilt_rows(const MeasuredLine& line, std::size_t index, std::size_t slot, Unknowns& unknowns, std::vector<Row>& rows) {
  for (std::size_t i = 1; i < line.spots.size(); ++i) {
    const LineSpot& spot = line.spots[i];
    const LineSpot& before = line.spots[i - 1];
    if (!is_measured(spot)) continue;
    const std::size_t from = unknowns.place_of(before);
    rows.push_back(
        {{index, i, spot.low_mm, spot.high_mm}, {{unknowns.place_of(spot), 1.0}, {from, -1.0}}, slot, before.along_mm - spot.along_mm, 0});
  }
}

Matrix plane_basis(const std::vector<LinePlace>& places) {
  double cx = 0;
  double cy = 0;
  for (const LinePlace& p : places) {
    cx += p.x / static_cast<double>(places.size());
    cy += p.y / static_cast<double>(places.size());
  }
  Matrix basis(at(places.size()), 3);
  for (std::size_t i = 0; i < places.size(); ++i) basis.row(at(i)) << 1, places[i].x - cx, places[i].y - cy;
  return basis;
}

/// Takes planes off each column.
Matrix off_planes(const std::vector<LinePlace>& places, const Matrix& columns) {
  const Matrix basis = plane_basis(places);
  const Eigen::ColPivHouseholderQR<Matrix> qr(basis);
  return columns - basis * qr.solve(columns);
}

std::vector<std::vector<double>> rows_of(const Matrix& m) {
  std::vector<std::vector<double>> rows(static_cast<std::size_t>(m.rows()));
  for (Eigen::Index r = 0; r < m.rows(); ++r) {
    rows[static_cast<std::size_t>(r)].resize(static_cast<std::size_t>(m.cols()));
    for (Eigen::Index c = 0; c < m.cols(); ++c) rows[static_cast<std::size_t>(r)][static_cast<std::size_t>(c)] = m(r, c);
  }
  return rows;
}

std::vector<std::size_t> shared_places_of(const std::vector<Row>& rows, std::size_t lines, std::size_t places) {
  std::vector<std::set<std::size_t>> lines_at(places);
  for (const Row& row : rows)
    for (const auto& [place, coefficient] : row.heights) lines_at[place].insert(row.reading.line);
  std::vector<std::size_t> shared(lines, 0);
  for (const auto& here : lines_at)
    if (here.size() > 1)
      for (const std::size_t line : here) ++shared[line];
  return shared;
}

Matrix matrix_of(const std::vector<Row>& rows, std::size_t places, std::size_t slots, double length) {
  Matrix m = Matrix::Zero(at(rows.size()), at(places + 2 * slots));
  for (std::size_t r = 0; r < rows.size(); ++r) {
    for (const auto& [place, coefficient] : rows[r].heights) m(at(r), at(place)) += coefficient;
    m(at(r), at(places + 2 * rows[r].slot)) = rows[r].along / length;
    m(at(r), at(places + 2 * rows[r].slot + 1)) = rows[r].offset;
  }
  return m;
}

/// Independent heights among the kernel of the readings, planes taken off.
Matrix free_shapes_of(const std::vector<LinePlace>& places, const Matrix& kernel) {
  const Matrix shapes = off_planes(places, kernel.topRows(at(places.size())));
  if (shapes.cols() == 0) return shapes;
  const Eigen::JacobiSVD<Matrix> svd(shapes, Eigen::ComputeThinU);
  Eigen::Index count = 0;
  while (count < svd.singularValues().size() && svd.singularValues()[count] > 1e-7) ++count;  // the kernel is orthonormal
  return svd.matrixU().leftCols(count);
}

}  // namespace

double LineReading::middle() const { return std::isfinite(high) ? (low + high) / 2 : low; }

LineSystem line_system(const MeasuredLines& measured) {
  Unknowns unknowns;
  std::vector<Row> rows;
  std::size_t slots = 0;
  double length = 1;
  for (std::size_t l = 0; l < measured.lines.size(); ++l) {
    const MeasuredLine& line = measured.lines[l];
    if (!line.has_places || std::count_if(line.spots.begin(), line.spots.end(), is_measured) < 2) continue;
    length = std::max(length, line.length_mm());
    if (measured.method == LineMethod::kFeelers)
      add_gap_rows(line, l, slots, unknowns, rows);
    else
      add_tilt_rows(line, l, slots, unknowns, rows);
    ++slots;
  }
  LineSystem system;
  system.places = unknowns.places();
  system.shared_places = shared_places_of(rows, measured.lines.size(), system.places.size());
  for (const Row& row : rows) system.readings.push_back(row.reading);
  if (!span_a_plane(system.places)) return system;

  const Matrix m = matrix_of(rows, system.places.size(), slots, length);
  const Eigen::BDCSVD<Matrix> svd(m, Eigen::ComputeFullU | Eigen::ComputeFullV);
  const auto& sigma = svd.singularValues();
  Eigen::Index rank = 0;
  while (rank < sigma.size() && sigma[rank] > kNoRank * sigma[0]) ++rank;
  const Matrix inverse =
      svd.matrixV().leftCols(rank) * sigma.head(rank).cwiseInverse().asDiagonal() * svd.matrixU().leftCols(rank).transpose();
  system.closures = rows_of(svd.matrixU().rightCols(m.rows() - rank).transpose());
  system.heights = rows_of(off_planes(system.places, inverse.topRows(at(system.places.size()))));
  system.free_shapes = rows_of(free_shapes_of(system.places, svd.matrixV().rightCols(m.cols() - rank)).transpose());
  return system;
}

std::vector<double> without_plane(const std::vector<LinePlace>& places, const std::vector<double>& values) {
  Matrix column(at(values.size()), 1);
  for (std::size_t i = 0; i < values.size(); ++i) column(at(i), 0) = values[i];
  const Matrix left = off_planes(places, column);
  std::vector<double> out(values.size());
  for (std::size_t i = 0; i < values.size(); ++i) out[i] = left(at(i), 0);
  return out;
}

bool span_a_plane(const std::vector<LinePlace>& places) {
  if (places.size() < 4) return false;
  const Matrix basis = plane_basis(places);
  const Matrix scatter = basis.rightCols(2).transpose() * basis.rightCols(2);
  const Eigen::SelfAdjointEigenSolver<Matrix> solver(scatter, Eigen::EigenvaluesOnly);
  return solver.eigenvalues()[0] > kOnOneLine * kOnOneLine * solver.eigenvalues()[1];
}

}  // namespace headjoint::faces::internal
