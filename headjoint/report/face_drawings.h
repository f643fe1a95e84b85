#pragma once

#include <string>

#include "headjoint/assess/results_faces.h"

/// Drawings of a measured face beside its plan: an exaggerated view, and lines with the straightedge on them. Each has a table twin.
namespace headjoint::report {

/// The face seen from its front left corner above, heights exaggerated by a round factor that the drawing names. Triangles between the
/// measured points, the lowest and the highest marked with their heights.
[[nodiscard]] std::string face_view_svg(const assess::Flatness& face, const std::string& id_prefix = "view");

/// The usual sections one under the other: the profile, the straightedge where it rests, the largest gap with its figure.
[[nodiscard]] std::string sections_svg(const assess::FaceMap& map, const std::string& id_prefix = "sections");
[[nodiscard]] std::string sections_table_html(const assess::FaceMap& map);

/// Measured lines one under the other: the edge, and under it at every spot the interval in which the face lies.
[[nodiscard]] std::string measured_lines_svg(const assess::Straightedge& lines, const std::string& id_prefix = "lines");
[[nodiscard]] std::string measured_lines_table_html(const assess::Straightedge& lines);

}  // namespace headjoint::report
