#pragma once

#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "headjoint/clamp/clamp_model.h"
#include "headjoint/clamp/internal/plan_grid.h"

namespace headjoint::clamp {

/// A load spread over nodes: node and share.
struct SpreadLoad {
  std::vector<std::pair<std::size_t, double>> shares;
  [[nodiscard]] double mean(std::span<const double> u) const;  ///< sum of share x w: mean movement when the shares sum to 1
  void add(double force, std::span<double> load) const;
};

/// What a point of the gasket belongs to.
enum class SealKind : std::uint8_t { kBody, kRing, kBead };

/// One region of the gasket with its law.
struct SealRegion {
  SealKind kind = SealKind::kBody;
  int owner = 0;  ///< index of bore or passage
  const PressureCurve* curve = nullptr;
  double exact_area = 0;  ///< from the whole shape, to check the points against
};

/// The gasket as points: every piece of a region inside a cell stands as four points with its exact area, centre and second moments.
///
/// Sorted by cell, so that a change of contact tells the first column of the matrix that changes.
struct GasketPoints {
  std::vector<std::uint32_t> cell;
  std::vector<std::uint16_t> region;
  std::vector<double> area;
  std::vector<std::array<double, 4>> weights;  ///< of the cell's nodes
  std::vector<double> greatest;                ///< closure, mm: the gasket's memory
  std::vector<SealRegion> regions;

  [[nodiscard]] std::size_t size() const { return area.size(); }
  [[nodiscard]] double total_area() const;
  [[nodiscard]] const PressureCurve& curve(std::size_t point) const { return *regions[region[point]].curve; }
};

/// Geometry of the model on a grid. `model` must outlive what is made from it.
class DeckLayout {
 public:
  DeckLayout(const ClampModel& model, const PlanGrid& grid);
  [[nodiscard]] GasketPoints gasket_points() const;
  /// Share of every cell that has metal, and the sums of thickness^3 and thickness over it (head or block metal).
  struct CellMetal {
    double share = 0, cubed = 0, plain = 0;
  };
  [[nodiscard]] std::vector<CellMetal> metal(double outside_zones_mm, bool with_zones) const;
  [[nodiscard]] SpreadLoad washer(const PlanPoint& bolt) const;                 ///< shares sum to 1
  [[nodiscard]] SpreadLoad disc(const PlanPoint& centre, double radius) const;  ///< shares sum to the area, mm2
  [[nodiscard]] double exact_area() const;

 private:
  struct Piece {
    std::uint32_t cell;
    std::uint16_t region;
    AreaMoments moments;
  };
  /// Calls visit(cell, moments) for every cell that a disc (or polygon) shares with the outline.
  template <class Visit>
  void over_disc(const PlanPoint& centre, double radius, Visit visit) const;
  template <class Visit>
  void over_polygon(const Polygon& polygon, Visit visit) const;
  template <class Visit>
  void over_box(const Rectangle& box, Visit visit) const;
  const ClampModel& model_;
  PlanGrid grid_;
  Polygon outline_;
  std::vector<Polygon> cut_cells_;  ///< outline inside the cell where it runs through; empty for whole or empty cells
  std::vector<AreaMoments> cells_;  ///< outline inside every cell
};

}  // namespace headjoint::clamp
