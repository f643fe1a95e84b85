#include "headjoint/report/internal/pictures_faces.h"

#include "headjoint/report/face_drawings.h"
#include "headjoint/report/joint_plan.h"

namespace headjoint::report {
namespace {

PlanOptions options_for(const std::string& name) {
  PlanOptions options;
  options.id_prefix = name;
  return options;
}

/// Joined heights drawn as a face.
assess::Flatness as_face(const assess::Straightedge& lines) {
  assess::Flatness face;
  face.points = static_cast<int>(lines.face.size());
  face.minimum_zone_FLTt_mm = lines.joined_FLTt_mm;
  face.face = lines.face;
  face.map = lines.map;
  return face;
}

}  // namespace

std::vector<Picture> face_pictures(const joint::Engine& engine, const assess::Flatness& face, const std::string& name) {
  if (face.face.empty()) return {};
  std::vector<Picture> drawn{{name, "Heights of the face", face_plan_svg(engine, face, options_for(name)), face_plan_table_html(face)}};
  if (face.map.triangles.empty()) return drawn;
  drawn.push_back({name + "-view", "The face in view", face_view_svg(face, name + "-view"), face_plan_table_html(face)});
  if (!face.map.sections.empty())
    drawn.push_back({name + "-sections", "A straightedge laid over the face", sections_svg(face.map, name + "-sections"),
                     sections_table_html(face.map)});
  return drawn;
}

std::vector<Picture> draw(const assess::FlatnessReply& reply) { return face_pictures(reply.engine, reply.flatness, "face"); }

std::vector<Picture> draw(const assess::Straightedge& lines) {
  std::vector<Picture> drawn{{"lines", "Measured lines", measured_lines_svg(lines), measured_lines_table_html(lines)}};
  for (Picture& picture : face_pictures({}, as_face(lines), "joined")) drawn.push_back(std::move(picture));
  return drawn;
}

std::vector<Picture> draw(const assess::Skim& skim) { return face_pictures(skim.plan, skim.face, "face"); }

}  // namespace headjoint::report
