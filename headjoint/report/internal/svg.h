#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace headjoint::report {

/// A place on the drawing sheet in millimetres, y downwards.
struct Spot {
  double x = 0;
  double y = 0;
};

/// How a line or an area is drawn: a class for the page's style sheet, and attributes that hold where there is none.
struct Paint {
  std::string_view name;           ///< class
  std::string_view fill = "none";  ///< colour
  std::string_view stroke = "none";
  double width = 0;  ///< of the line, in `unit`s of the sheet
  double dash = 0;   ///< length of dash and gap, in `unit`s; 0 = solid
};

namespace paint {
inline constexpr std::string_view kInk = "#1c1f24";
inline constexpr std::string_view kSoft = "#5a5f66";
inline constexpr std::string_view kPaper = "#ffffff";
inline constexpr std::string_view kBlue = "#0a5688";
inline constexpr std::string_view kRust = "#a63a16";
inline constexpr Paint kDeck{"jp-deck", kPaper, kInk, 1.2, 0};
inline constexpr Paint kBore{"jp-bore", kPaper, kInk, 0.9, 0};
inline constexpr Paint kFireRing{"jp-ring", "none", kInk, 0.5, 1.4};
inline constexpr Paint kCoolant{"jp-coolant", "none", kBlue, 1.0, 0};
inline constexpr Paint kOil{"jp-oil", "none", kInk, 0.9, 0};
inline constexpr Paint kDrain{"jp-drain", "none", kSoft, 0.8, 0};
inline constexpr Paint kOtherHole{"jp-hole", "none", kSoft, 0.6, 1.0};
inline constexpr Paint kBolt{"jp-bolt", "none", kSoft, 0.8, 0};
inline constexpr Paint kCross{"jp-cross", "none", kSoft, 0.35, 0};
inline constexpr Paint kDimension{"jp-dim", "none", kInk, 0.5, 0};
inline constexpr Paint kLeader{"jp-lead", "none", kInk, 0.5, 0};
inline constexpr Paint kBreachHalo{"jp-halo", "none", kPaper, 0, 0};
inline constexpr Paint kBreach{"jp-breach", "none", kRust, 0, 0};
inline constexpr Paint kTagBack{"jp-back", kPaper, "none", 0, 0};
}  // namespace paint

/// Writes the elements of one SVG drawing. No style attributes, no style element: it may stand in a page with a strict policy.
class Svg {
 public:
  /// @param unit  millimetres of the sheet that one unit of line weight takes
  explicit Svg(double unit) : unit_(unit) {}

  void circle(Spot centre, double radius, const Paint& paint);
  void rectangle(Spot corner, double width, double height, double round, const Paint& paint);
  void polygon(const std::vector<Spot>& corners, const Paint& paint);
  void polyline(const std::vector<Spot>& points, const Paint& paint);

  enum class Anchor { kStart, kMiddle, kEnd };
  /// @param name  class; `text` is escaped here
  void text(Spot base, std::string_view text, double size, Anchor anchor, std::string_view name, bool bold = false,
            std::string_view fill = paint::kInk);

  void open_group(std::string_view name);
  void close_group();

  [[nodiscard]] double unit() const { return unit_; }

  /// The whole drawing. `title` and `description` are escaped here; `id_prefix` keeps its letters, digits and hyphens.
  [[nodiscard]] std::string drawing(Spot corner, double width, double height, std::string_view id_prefix, std::string_view title,
                                    std::string_view description) const;

 private:
  std::string attributes(const Paint& paint) const;

  double unit_;
  std::string body_;
};

/// Room that a text takes on the sheet, on the safe side for the usual sans-serif faces.
[[nodiscard]] double text_width(std::string_view text, double size, bool bold);

}  // namespace headjoint::report
