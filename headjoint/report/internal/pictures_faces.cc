#include "headjoint/report/internal/pictures_faces.h"

#include "headjoint/report/internal/face_views.h"
#include "headjoint/report/joint_plan.h"

namespace headjoint::report {

std::vector<Picture> face_pictures(const joint::Engine& engine, const assess::Flatness& face, const std::string& name) {
  std::vector<Picture> drawn = {
      {name, "Heights of the face", face_plan_svg(engine, face, {.id_prefix = name}), face_plan_table_html(face)}};
  if (std::string svg = face_sections_svg(face.map.sections, name + "-lines"); !svg.empty())
    drawn.push_back({name + "-lines", "The straightedge on the face", std::move(svg), face_sections_table_html(face.map.sections)});
  if (std::string svg = face_relief_svg(face, name + "-relief"); !svg.empty())
    drawn.push_back({name + "-relief", "The face as a relief", std::move(svg), face_plan_table_html(face)});
  return drawn;
}

std::vector<Picture> draw(const assess::FlatnessReply& reply) { return face_pictures(reply.engine, reply.flatness, "face"); }

std::vector<Picture> draw(const assess::Straightedge& lines) {
  if (lines.face.empty()) return {};
  assess::Flatness joined;
  joined.face = lines.face;
  joined.map = lines.map;
  joined.minimum_zone_FLTt_mm = lines.joined_FLTt_mm;
  return face_pictures({}, joined, "lines");
}

std::vector<Picture> draw(const assess::Skim& skim) { return face_pictures(skim.plan, skim.face, "face"); }

}  // namespace headjoint::report
