#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "headjoint/joint/engine.h"

/// What a photograph of a gasket gives, with the words that go with it.
namespace headjoint::assess {

/// A hole found in the picture, or placed by hand.
struct PhotoCircle {
  int number = 0;            ///< among its kind, from 1
  std::string kind;          ///< "bore" | "bolt" | a kind of passage
  bool may_be_used = false;  ///< otherwise only kind, number and status count
  std::string status;        ///< "found" | "partly seen" | "cut off" | "not found" | "off the plan" | "placed by hand"
  joint::PlanPoint at;
  double at_uncertainty_mm = 0;  ///< two standard deviations, as all uncertainties here
  double diameter_mm = 0;        ///< 0 = not known
  double uncertainty_mm = 0;     ///< of the diameter
  double seen_share = 0;         ///< of the rim
  std::pair<double, double> centre_px;
  std::vector<std::pair<double, double>> rim_px;
};

struct GasketPhoto {
  std::string name;
  int width_px = 0;
  int height_px = 0;
  std::string map_kind;        ///< "one scale" | "two scales" | "perspective"
  double mm_per_px_least = 0;  ///< over the picture
  double mm_per_px_most = 0;
  std::string error_unit;         ///< "px" from known points, "mm" from known distances
  double error = 0;               ///< rms of what the map leaves unexplained; not a number when nothing is left over to judge by
  double error_band = 0;          ///< what it would stay below if taps and measurements are as sure as stated
  int freedom = 0;                ///< known figures beyond the least number
  std::vector<double> residuals;  ///< one a known figure
  std::vector<PhotoCircle> circles;
  std::vector<joint::PlanPoint> outline;
  joint::Engine engine;     ///< only what the picture gives
  std::string engine_toml;  ///< the same as lines for an engine file
  std::string sentence;
  std::vector<std::string> doubts;
  std::vector<std::string> notes;
};

/// What one calculation needs of an engine file.
struct CalculationNeeds {
  std::string calculation;  ///< the operation's name
  std::string what;         ///< in a few words
  bool can_run = false;
  struct Key {
    std::string key;      ///< "bending_thickness in [head]"
    std::string example;  ///< "bending_thickness = \"25 mm\""; may be empty
  };
  std::vector<Key> missing;      ///< without which it does not run
  std::vector<Key> better_with;  ///< with which it says more
};

struct Completeness {
  std::string name;
  std::vector<CalculationNeeds> calculations;
  std::string sentence;
};

}  // namespace headjoint::assess
