#include "headjoint/report/pictures.h"

#include "headjoint/report/internal/pictures_clamp.h"
#include "headjoint/report/internal/pictures_compression.h"
#include "headjoint/report/internal/pictures_faces.h"
#include "headjoint/report/internal/pictures_finding.h"
#include "headjoint/report/internal/pictures_record.h"
#include "headjoint/report/internal/pictures_photo.h"
#include "headjoint/report/internal/pictures_traces.h"

namespace headjoint::report {

std::vector<Picture> pictures(const assess::Reply& reply) {
  return std::visit(
      [](const auto& content) -> std::vector<Picture> {
        if constexpr (requires { draw(content); })
          return draw(content);
        else
          return {};
      },
      reply.content);
}

}  // namespace headjoint::report
