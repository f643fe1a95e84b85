#include "headjoint/report/internal/pictures_finding.h"

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
  for (std::size_t i = 0; i < all.faces.size(); ++i)
    for (Picture& picture : face_pictures(all.job.engine, all.faces[i], "face-" + std::to_string(i + 1)))
      drawn.push_back(std::move(picture));
  return drawn;
}

std::vector<Picture> draw(const assess::FindingReply& reply) { return {breach(reply.assessment)}; }

}  // namespace headjoint::report
