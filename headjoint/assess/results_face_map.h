#pragma once

#include <array>
#include <string>
#include <utility>
#include <vector>

#include "headjoint/joint/engine.h"

/// A measured face as it is drawn: bands of height, contours, and the sections on which a straightedge would lie.
namespace headjoint::assess {

/// All of the face between two heights from the middle of the minimum zone.
struct MapBand {
  double low_mm = 0;
  double high_mm = 0;
  double area_mm2 = 0;
  std::vector<std::vector<joint::PlanPoint>> patches;
};

struct MapContour {
  double level_mm = 0;
  bool is_closed = false;
  std::vector<joint::PlanPoint> line;
};

/// A straightedge laid over the face. Between points the face is taken as straight.
struct FaceSection {
  std::string name;
  std::vector<std::pair<double, double>> profile;  ///< distance along, height from the middle of the zone; mm
  double straightness_mm = 0;
  double touch_from_mm = 0;  ///< the edge rests here
  double touch_to_mm = 0;    ///< and here
  double largest_gap_mm = 0;
  double gap_at_mm = 0;
};

struct FaceMap {
  std::vector<MapBand> bands;                 ///< lowest first; empty when nothing can be drawn
  std::vector<MapContour> contours;           ///< between the bands
  std::vector<std::array<int, 3>> triangles;  ///< places in the face's points, from 0
  std::vector<FaceSection> sections;
};

/// A point that stands alone among its neighbours, or holds the zone.
struct NamedPoint {
  std::string name;
  double value_mm = 0;
};

/// Flatness within a window that may lie anywhere.
struct LocalFigure {
  double window_mm = 0;  ///< 0 = not asked
  std::string status;    ///< "every position" | "sampled positions" | "pattern too wide for this window"
  double flatness_mm = 0;
  double at_x_mm = 0, at_y_mm = 0;  ///< low corner of the worst window
  double limit_mm = 0;              ///< 0 = none
  std::string limit_source;
  std::string decision;  ///< "pass" | "undecided" | "fail" | ""
  std::string decision_text;
};

/// What a face's figures are uncertain by.
struct UncertaintyPart {
  std::string name;
  double half_width_mm = 0;
  std::string source;
};

}  // namespace headjoint::assess
