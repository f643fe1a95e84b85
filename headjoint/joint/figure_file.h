#pragma once

#include <functional>
#include <string>
#include <vector>

#include "headjoint/base/table_reader.h"
#include "headjoint/base/table_writer.h"
#include "headjoint/joint/figure.h"

/// Figures and lists of figures in files, read and written by functions of the same name.
namespace headjoint::joint {

/// A figure with a unit: "80.0 mm" or { value = "80.0 mm", source = "...", status = "measured" }.
///
/// Works for every quantity that units/quantity_text.h reads, and for Share ("12 %").
/// @param least, most  the range any engine keeps, written as a person would: "20 mm", "1000 mm"
template <class T>
void figure(TableReader& reader, const std::string& key, OptionalFigure<T>& into, const char* least, const char* most);
template <class T>
void figure(TableWriter& writer, const std::string& key, const OptionalFigure<T>& value, const char* least, const char* most);

/// A figure without a unit: 0.33 or { value = 0.33, source = "..." }.
void figure(TableReader& reader, const std::string& key, OptionalFigure<double>& into, double least, double most);
void figure(TableWriter& writer, const std::string& key, const OptionalFigure<double>& value, double least, double most);

/// "12 %" -> 0.12; the unit is compulsory.
[[nodiscard]] Result<Share> parse_share(std::string_view text);

/// Text of a figure: as typed, else its value in the first unit of its kind.
template <class T>
[[nodiscard]] std::string figure_text(const Figure<T>& figure);

/// Content of a file that stands beside the one being read; the argument is the relative path as written there.
/// May throw EnvironmentError: the reader turns it into a problem where the path is written.
using ReadBeside = std::function<std::string(const std::string& relative_path)>;

using NumberPairs = std::vector<std::pair<double, double>>;

/// What a list of pairs holds, and the range of its numbers.
struct PairColumns {
  std::string first;   ///< "x_mm"
  std::string second;  ///< "y_mm"
  double least;
  double most;
};

/// A list of pairs, [[15, 15], [115, 15]], or the name of a CSV with these two columns ("bolts.csv");
/// a column `number` beside them must count 1, 2, 3.
void pairs(TableReader& reader, const std::string& key, NumberPairs& into, const PairColumns& columns, const ReadBeside& read_beside);
void pairs(TableWriter& writer, const std::string& key, const NumberPairs& values);

/// Content of the file that a key names; problems at that key.
[[nodiscard]] std::optional<std::string> text_beside(TableReader& reader, const Document& path, const std::string& key,
                                                     const ReadBeside& read_beside);

}  // namespace headjoint::joint
