#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace headjoint::report {

/// Lines of at most `width` characters (code points). A word longer than a line is cut.
///
/// @param indent  blanks before the first line
/// @param hang    blanks before the following lines
[[nodiscard]] std::vector<std::string> wrapped(std::string_view text, std::size_t width, std::size_t indent, std::size_t hang);

/// Collects plain text for a terminal. Everything is cleaned of control characters on its way in.
class TerminalPage {
 public:
  TerminalPage(std::size_t width, bool bold) : width_(width), bold_(bold) {}

  void paragraph(std::string_view text, std::size_t indent = 0) { paragraph(text, indent, indent); }
  void paragraph(std::string_view text, std::size_t indent, std::size_t hang);
  /// A paragraph in bold, when bold was asked for.
  void strong(std::string_view text, std::size_t indent = 0);
  /// Blank line, then the heading in capitals.
  void heading(std::string_view text);
  void blank();
  /// As it is, not cleaned and not wrapped: for text that will become a file.
  void raw(std::string_view text) { out_ += text; }

  struct Column {
    std::string heading;
    bool is_number = false;  ///< set to the right
  };
  /// Columns as wide as their widest cell; the last one takes what is left and wraps.
  void table(const std::vector<Column>& columns, const std::vector<std::vector<std::string>>& rows);

  [[nodiscard]] const std::string& text() const { return out_; }
  [[nodiscard]] std::size_t width() const { return width_; }

 private:
  void lines(const std::vector<std::string>& lines, bool bold);

  std::size_t width_;
  bool bold_;
  std::string out_;
};

/// "[#########++---     ]": # up to the low end of the range, + up to the value, - up to the high end.
[[nodiscard]] std::string chance_bar(double low, double value, double high, int cells);

}  // namespace headjoint::report
