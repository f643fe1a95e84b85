#include "headjoint/faces/flatness.h"

#include <gmock/gmock.h>

#include <cmath>

namespace headjoint::faces {
namespace {
TEST(Smoke, A5) {
  FacePoints p;
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j) {
      p.x_mm.push_back(200 * i);
      p.y_mm.push_back(75 * j);
      p.z_mm.push_back(i + j == 0 ? 0.1 : 0);
    }
  const auto z = minimum_zone_flatness(p);
  EXPECT_NEAR(z.flatness.si() * 1e3, 0.075, 1e-7);
  EXPECT_EQ(z.status, ZoneStatus::kOptimal);
  EXPECT_EQ(contact_text(z.contact), "2-2");
}
}  // namespace
}  // namespace headjoint::faces
