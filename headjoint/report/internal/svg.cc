#include "headjoint/report/internal/svg.h"

#include <cctype>

#include "headjoint/base/text.h"
#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

std::string attribute(std::string_view name, std::string_view value) { return " " + std::string(name) + "=\"" + std::string(value) + "\""; }
std::string attribute(std::string_view name, double value) { return attribute(name, coordinate(value)); }

std::string point_list(const std::vector<Spot>& points) {
  std::string out;
  for (const Spot& point : points) out += (out.empty() ? "" : " ") + coordinate(point.x) + "," + coordinate(point.y);
  return out;
}

std::string safe_id(std::string_view prefix) {
  std::string out = "p";
  for (const char c : prefix) {
    if (std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '-') out += c;
  }
  return out;
}

}  // namespace

std::string Svg::attributes(const Paint& paint) const {
  std::string out = attribute("class", paint.name) + attribute("fill", paint.fill);
  if (paint.stroke == "none") return out;
  out += attribute("stroke", paint.stroke) + attribute("stroke-width", paint.width * unit_);
  if (paint.dash > 0) out += attribute("stroke-dasharray", paint.dash * unit_);
  return out;
}

void Svg::circle(Spot centre, double radius, const Paint& paint) {
  body_ += "<circle" + attribute("cx", centre.x) + attribute("cy", centre.y) + attribute("r", radius) + attributes(paint) + "/>";
}

void Svg::rectangle(Spot corner, double width, double height, double round, const Paint& paint) {
  body_ += "<rect" + attribute("x", corner.x) + attribute("y", corner.y) + attribute("width", width) + attribute("height", height);
  if (round > 0) body_ += attribute("rx", round);
  body_ += attributes(paint) + "/>";
}

void Svg::polygon(const std::vector<Spot>& corners, const Paint& paint) {
  body_ += "<polygon" + attribute("points", point_list(corners)) + attribute("stroke-linejoin", "round") + attributes(paint) + "/>";
}

void Svg::polyline(const std::vector<Spot>& points, const Paint& paint) {
  body_ += "<polyline" + attribute("points", point_list(points)) + attribute("stroke-linejoin", "round") +
           attribute("stroke-linecap", "round") + attributes(paint) + "/>";
}

void Svg::text(Spot base, std::string_view text, double size, Anchor anchor, std::string_view name, bool bold, std::string_view fill) {
  body_ += "<text" + attribute("x", base.x) + attribute("y", base.y) + attribute("font-size", size) + attribute("class", name) +
           attribute("fill", fill);
  if (anchor != Anchor::kStart) body_ += attribute("text-anchor", anchor == Anchor::kMiddle ? "middle" : "end");
  if (bold) body_ += attribute("font-weight", "700");
  body_ += ">" + xml_text(text) + "</text>";
}

void Svg::open_group(std::string_view name) { body_ += "<g" + attribute("class", name) + ">"; }
void Svg::close_group() { body_ += "</g>"; }

std::string Svg::drawing(Spot corner, double width, double height, std::string_view id_prefix, std::string_view title,
                         std::string_view description) const {
  const std::string id = safe_id(id_prefix);
  std::string out = "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"joint-plan\" role=\"img\"";
  out += attribute("viewBox", coordinate(corner.x) + " " + coordinate(corner.y) + " " + coordinate(width) + " " + coordinate(height));
  out += attribute("font-family", "system-ui, DejaVu Sans, sans-serif");
  out += attribute("aria-labelledby", id + "-title " + id + "-desc") + ">";
  out += "<title" + attribute("id", id + "-title") + ">" + xml_text(title) + "</title>";
  out += "<desc" + attribute("id", id + "-desc") + ">" + xml_text(description) + "</desc>";
  return out + body_ + "</svg>";
}

double text_width(std::string_view text, double size, bool bold) {
  return static_cast<double>(width_of(text)) * size * (bold ? 0.68 : 0.6);
}

}  // namespace headjoint::report
