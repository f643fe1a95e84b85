#include "headjoint/cli/wall_clock.h"

#include <ctime>

namespace headjoint::cli {

std::string local_time_text() {
  const std::time_t now = std::time(nullptr);
  std::tm parts{};
  localtime_r(&now, &parts);
  char text[32];
  return {text, std::strftime(text, sizeof text, "%Y-%m-%d %H:%M", &parts)};
}

}  // namespace headjoint::cli
