#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/assess/results_cranking.h"

/// Readings and faces in the words and figures that terminal and paper share.
namespace headjoint::report {

struct ReadingColumn {
  std::string heading;        ///< paper
  std::string short_heading;  ///< terminal
  bool is_number = false;
};

/// One test on every cylinder, ready to be set as a table.
struct ReadingRows {
  std::string verdict;  ///< one line: what the test says
  std::string how;      ///< what it was done with, and the least it could have shown
  std::vector<ReadingColumn> columns;
  std::vector<std::vector<std::string>> rows;
  std::vector<std::string> notes;
};

[[nodiscard]] ReadingRows leak_down_rows(const assess::LeakDown& leak_down);
[[nodiscard]] ReadingRows compression_rows(const assess::Compression& compression);
[[nodiscard]] ReadingRows cranked_rows(const assess::CrankedEngine& cranked);

struct FaceFigure {
  std::string name;
  std::string value;   ///< millimetres
  std::string origin;  ///< how it comes about
};
struct FaceWords {
  std::string verdict;
  std::string how;
  std::vector<FaceFigure> figures;
};
[[nodiscard]] FaceWords face_words(const assess::Flatness& face);

}  // namespace headjoint::report
