#pragma once

#include <vector>

#include "headjoint/assess/results_faces.h"
#include "headjoint/report/pictures.h"

namespace headjoint::report {

/// Plan with bands, exaggerated view and sections of one face; `name` begins the names of the drawings.
[[nodiscard]] std::vector<Picture> face_pictures(const joint::Engine& engine, const assess::Flatness& face, const std::string& name);

[[nodiscard]] std::vector<Picture> draw(const assess::FlatnessReply& reply);
[[nodiscard]] std::vector<Picture> draw(const assess::Straightedge& lines);
[[nodiscard]] std::vector<Picture> draw(const assess::Skim& skim);

}  // namespace headjoint::report
