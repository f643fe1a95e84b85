#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/results.h"

/// What the forward run of the cranking cycle answers.
namespace headjoint::assess {

struct CrankedCylinder {
  int cylinder = 0;
  double leak_area_mm2 = 0;
  double peak_bar_abs = 0;
  double peak_bar = 0;  ///< gauge
  double peak_angle_deg = 0;
  double mass_left = 1;
  std::vector<double> gauge_bar;  ///< what the fitted gauge shows after each stroke; empty without one
};

struct CrankedBridge {
  std::string bridge;  ///< "1-2"
  double leak_area_mm2 = 0;
};

/// A second test of one cylinder judged: with oil, or at another speed.
struct CompressionRepeat {
  int cylinder = 0;
  std::string test;    ///< "wet" | "two speeds"
  std::string answer;  ///< "no rise" | "volume only" | "rings" | "leak" | "low by shape" | "sound" | "undecided" | "disagrees"
  std::string text;
  double leak_area_mm2 = 0;  ///< sealed by the oil, or leaking in all
  double low_mm2 = 0;
  double high_mm2 = 0;
  double by_volume_bar = 0;  ///< wet: what the oil's volume alone would make of the dry reading; 0 otherwise
};

struct CrankedEngine {
  std::string engine;
  double speed_rpm = 0;
  double ambient_bar = 0;
  double temperature_degC = 0;
  double intake_bar = 0;
  std::string heat_loss;  ///< "none" | "woschni" | "hohenberg"
  double heat_multiplier = 1;
  std::string plugs;     ///< "in" | "out"
  double maker_bar = 0;  ///< the maker's figure for a sound cylinder; 0 = not in the file
  std::vector<CrankedCylinder> cylinders;
  std::vector<CrankedBridge> bridges;
  std::vector<CompressionRepeat> repeats;
  std::vector<PressureTrace> traces;
  bool is_trace_asked = false;  ///< the traces are part of the answer, not only of its drawing
  std::vector<std::string> notes;
  std::vector<Caution> cautions;
};

}  // namespace headjoint::assess
