#pragma once

#include <string>

#include "headjoint/assess/results.h"

/// A measured face seen otherwise than from above.
namespace headjoint::report {

/// The face from the front left above, heights exaggerated; the title says how many times. Empty when it has no triangles.
[[nodiscard]] std::string face_relief_svg(const assess::Flatness& face, const std::string& id_prefix);

/// Every section as a line with the straightedge resting on it and its largest gap. Empty without sections.
[[nodiscard]] std::string face_sections_svg(const std::vector<assess::FaceSection>& sections, const std::string& id_prefix);
[[nodiscard]] std::string face_sections_table_html(const std::vector<assess::FaceSection>& sections);

}  // namespace headjoint::report
