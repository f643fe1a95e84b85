#include "headjoint/report/internal/pictures_finding.h"

#include <utility>

#include "headjoint/report/internal/pictures_compression.h"
#include "headjoint/report/joint_plan.h"

namespace headjoint::report {
namespace {

Picture breach(const assess::Assessment& all) {
  return {"breach", "Where the breach is likely", breach_plan_svg(all.job.engine, all.finding), breach_plan_table_html(all.finding)};
}

Picture heights(const joint::Engine& engine, const assess::Flatness& face, const std::string& name) {
  return {name, "Heights of the face", face_plan_svg(engine, face), face_plan_table_html(face)};
}

}  // namespace

std::vector<Picture> draw(const assess::Assessment& all) {
  std::vector<Picture> drawn = {breach(all)};
  for (const assess::Flatness& face : all.faces) drawn.push_back(heights(all.job.engine, face, "face-" + std::to_string(drawn.size())));
  if (all.compression)
    for (Picture& picture : draw(*all.compression)) drawn.push_back(std::move(picture));
  return drawn;
}

std::vector<Picture> draw(const assess::FindingReply& reply) { return {breach(reply.assessment)}; }

std::vector<Picture> draw(const assess::Flatness& face) { return {heights({}, face, "face")}; }

}  // namespace headjoint::report
