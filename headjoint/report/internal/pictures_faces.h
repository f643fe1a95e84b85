#pragma once

#include <vector>

#include "headjoint/report/pictures.h"

namespace headjoint::report {

/// The map from above, the straightedge on it, the relief.
/// @param name  file stem of the first; the others stand beside it
[[nodiscard]] std::vector<Picture> face_pictures(const joint::Engine& engine, const assess::Flatness& face, const std::string& name);

[[nodiscard]] std::vector<Picture> draw(const assess::FlatnessReply& reply);
[[nodiscard]] std::vector<Picture> draw(const assess::Straightedge& lines);
[[nodiscard]] std::vector<Picture> draw(const assess::Skim& skim);

}  // namespace headjoint::report
