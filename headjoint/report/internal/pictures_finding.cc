#include "headjoint/report/internal/pictures_finding.h"

#include <utility>

#include "headjoint/report/internal/pictures_compression.h"
#include "headjoint/report/internal/pictures_faces.h"
#include "headjoint/report/joint_plan.h"

namespace headjoint::report {
namespace {

Picture breach(const assess::Assessment& all) {
  return {"breach", "Where the breach is likely", breach_plan_svg(all.job.engine, all.finding), breach_plan_table_html(all.finding)};
}

}  // namespace

std::vector<Picture> draw(const assess::Assessment& all) {
  std::vector<Picture> drawn = {breach(all)};
  int number = 0;
  for (const assess::Flatness& face : all.faces)
    for (Picture& picture : face_pictures(all.job.engine, face, "face-" + std::to_string(++number))) drawn.push_back(std::move(picture));
  if (all.compression)
    for (Picture& picture : draw(*all.compression)) drawn.push_back(std::move(picture));
  return drawn;
}

std::vector<Picture> draw(const assess::FindingReply& reply) { return {breach(reply.assessment)}; }

}  // namespace headjoint::report
