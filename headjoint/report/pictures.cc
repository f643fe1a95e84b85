#include "headjoint/report/pictures.h"

#include "headjoint/assess/content_types.h"
#include "headjoint/report/internal/pictures_clamp.h"
#include "headjoint/report/internal/pictures_compression.h"
#include "headjoint/report/internal/pictures_faces.h"
#include "headjoint/report/internal/pictures_finding.h"
#include "headjoint/report/internal/pictures_options.h"
#include "headjoint/report/internal/pictures_photo.h"
#include "headjoint/report/internal/pictures_proof.h"
#include "headjoint/report/internal/pictures_record.h"
#include "headjoint/report/internal/pictures_traces.h"

namespace headjoint::report {

std::vector<Picture> pictures(const assess::Reply& reply) {
  std::vector<Picture> drawn;
  assess::visit_content(reply.content, [&drawn](const auto& content) {
    if constexpr (requires { draw(content); }) drawn = draw(content);
  });
  return drawn;
}

}  // namespace headjoint::report
