#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/assess/results.h"

/// What lines under a straightedge and the cut of a face answer.
namespace headjoint::assess {

/// One spot of a line with where the face can be.
struct LineSpotFigure {
  double along_mm = 0;
  double low_mm = 0;   ///< gap under the edge, or height for tilts
  double high_mm = 0;  ///< infinite without a blade that stops
  std::string state;   ///< "measured" | "not measured" | "not accessible"
};

struct LineFigure {
  std::string name;
  double length_mm = 0;
  double low_mm = 0;                           ///< straightness
  double high_mm = 0;                          ///< infinite when a gap has no upper limit
  std::string bend;                            ///< "hollow" | "crown" | "wavy" | "straight as far as the readings tell"
  double local_low_mm = 0, local_high_mm = 0;  ///< over the worst stretch of the window; 0 without one
  double gap_low_mm = 0, gap_high_mm = 0;      ///< largest gap under the edge
  std::string decision;                        ///< against the limit: "pass" | "undecided" | "fail" | ""
  std::vector<LineSpotFigure> spots;
};

struct Straightedge {
  std::string source;
  std::string method;  ///< "straightedge and feelers" | "tilts of a stepped foot"
  std::vector<LineFigure> lines;
  double worst_line_low_mm = 0, worst_line_high_mm = 0;
  std::string join_status;  ///< "joined" or why not
  double flatness_low_mm = 0;
  double flatness_high_mm = 0;        ///< infinite: these lines set no upper limit
  std::string band_status;            ///< "exact" | "outer limits" | "no upper limit"
  std::vector<std::string> not_seen;  ///< shapes in words
  std::vector<std::string> loose;     ///< lines that float
  int closures = 0;
  double closure_rms_mm = 0, largest_closure_mm = 0;
  std::string largest_closure_at;
  double contradiction_mm = 0;
  double joined_FLTt_mm = 0;  ///< of the heights by least squares; 0 when not joined
  double window_mm = 0;
  double limit_mm = 0, local_limit_mm = 0;
  std::string limit_source;
  double uncertainty_mm = 0;  ///< of blade, straightedge and dirt, without the steps of the blades; k = 2
  std::string decision;       ///< of the whole face
  std::string decision_text;
  std::string lines_decision;  ///< of the lines alone, as a straightedge limit is meant in most manuals
  std::string lines_decision_text;
  std::vector<std::string> to_settle;
  std::vector<std::string> notes;
  std::vector<UncertaintyPart> budget;
  std::vector<FacePoint> face;  ///< joined heights, deviation from the middle of their minimum zone
  FaceMap map;
};

/// One way of cutting a face.
struct CutFigure {
  std::string held;    ///< "free: the machine may tilt the part" | "parallel to the measuring plane" ...
  std::string status;  ///< "proved least" | "cleans the face, least not proved"
  double depth_mm = 0;
  double at_least_mm = 0;
  double mean_depth_mm = 0;
  double out_of_parallel_mm = 0;
  std::vector<std::string> highest;  ///< points
  std::vector<std::string> deepest;
};

struct CutIsland {
  double area_mm2 = 0;
  double deepest_mm = 0;
  double x_mm = 0, y_mm = 0;
  std::vector<std::string> points;
};

struct CheckEntry {
  std::string check;
  std::string why;
  std::string limit;
  std::string source;
  std::string recorded;
  std::string state;  ///< "to do" | "good" | "bad"
  bool stops_the_cut = false;
};

struct Skim {
  std::string engine;
  std::string part;
  Flatness face;
  CutFigure least;
  CutFigure parallel;
  std::string datum;        ///< what the parallel cut is held to, in words
  double allowance_mm = 0;  ///< out of parallel that is allowed
  double finish_mm = 0;
  double total_mm = 0;  ///< parallel cut and finish pass: what to order
  int passes = 0;
  double asked_depth_mm = 0;       ///< 0 = none asked
  std::vector<CutIsland> islands;  ///< left by the asked depth
  double height_mm = 0;            ///< before; 0 = not known
  std::string height_origin;
  double least_height_mm = 0;    ///< 0 = not given
  double height_left_mm = 0;     ///< not a number when not known
  double removed_before_mm = 0;  ///< not a number when not known
  double total_removed_mm = 0;   ///< not a number when not known
  double may_still_go_mm = 0;    ///< not a number without a limit
  std::string cut_needed;        ///< "yes" | "no" | "undecided" | "not known"
  std::string decision;          ///< "pass" | "undecided" | "fail" | "not known"
  std::string decision_text;
  std::vector<std::string> because;
  std::vector<std::string> missing;
  std::vector<std::string> assumed;  ///< figures the result rests on that nobody measured
  std::vector<CheckEntry> checks;
  std::vector<std::string> notes;
  std::optional<AfterSkim> after;  ///< what the ordered cut changes; empty when no cut is needed or the engine's file cannot say
  joint::Engine plan;              ///< to draw the face on
};

}  // namespace headjoint::assess
