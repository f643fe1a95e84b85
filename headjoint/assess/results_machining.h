#pragma once

#include <optional>
#include <string>
#include <vector>

/// What the cut changes and which shim goes where, with the words that go with it.
namespace headjoint::assess {

/// One thing that a cut changes. Numbers in `unit`.
struct CutLine {
  std::string line;  ///< word of machining::Matter: "compression_ratio"
  std::string name;  ///< for people: "compression ratio"
  std::string unit;  ///< "" | "mm" | "deg" | "degC"
  std::optional<double> before;
  std::optional<double> after;
  double band = 0;  ///< of `after`, k = 2
  std::optional<double> least;
  std::optional<double> most;
  std::string limit_source;             ///< "limits.squish_least: invented (assumed)"
  std::string verdict;                  ///< word of machining::Verdict
  std::optional<double> at_deg_before;  ///< crank angle of the smallest gap, after top dead centre
  std::optional<double> at_deg_after;
  std::optional<double> with_cam_set_back;
  std::optional<double> gasket_to_restore_mm;
  std::optional<double> gasket_to_suffice_mm;
  std::vector<std::string> missing;  ///< keys of the engine file
  std::vector<std::string> assumed;
  std::vector<std::string> limit_keys;  ///< where a limit would stand
  std::vector<std::string> remedies;    ///< sentences without the gasket ones
  std::string note;
};

/// Everything a cut changes.
struct AfterSkim {
  std::string engine;
  double head_mm = 0;
  double deck_mm = 0;
  std::optional<double> gasket_before_mm;
  std::optional<double> gasket_after_mm;
  double lowered_mm = 0;  ///< how much nearer the head comes to the crank
  double scatter_mm = 0;
  std::string sentence;
  std::vector<CutLine> lines;
  std::optional<double> cam_deg;  ///< retard; 0 with the cam in the block
  std::optional<double> crank_deg;
  std::optional<double> lash_change_mm;
  std::optional<double> preload_change_mm;
  std::string grade;                  ///< which graded gasket the pistons ask for; empty when there is no table
  std::vector<std::string> hints;     ///< beside the lines
  std::vector<std::string> warnings;  ///< the lines that need a word, then the hints
  bool is_out_of_limit = false;

  [[nodiscard]] const CutLine* find(const std::string& line) const;
};

/// What one valve gets.
struct ShimLine {
  std::string valve;
  double fitted_mm = 0;
  std::optional<double> lash_mm;
  double least_mm = 0;
  double most_mm = 0;
  double target_mm = 0;
  double fit_mm = 0;
  std::optional<double> lash_after_mm;
  std::string from;  ///< "own" | "drawer" | "buy" | "valve 2 intake"
  bool is_inside = false;
  double shim_least_mm = 0;  ///< a shim from here to shim_most_mm would bring it inside
  double shim_most_mm = 0;
};

struct ShimPurchase {
  double size_mm = 0;
  int count = 0;
};

struct ShimAnswer {
  std::string name;
  std::string sentence;
  std::vector<ShimLine> valves;
  std::vector<ShimPurchase> buy;
  std::vector<ShimPurchase> left_over;  ///< into the drawer afterwards
  std::size_t outside = 0;
  std::size_t moved = 0;
  bool is_proven = false;
  std::vector<std::string> notes;
};

}  // namespace headjoint::assess
