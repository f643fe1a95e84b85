#pragma once

#include <any>

#include "headjoint/assess/operation.h"
#include "headjoint/assess/results_clamp.h"
#include "headjoint/assess/results_cooling.h"
#include "headjoint/assess/results_cranking.h"
#include "headjoint/assess/results_faces.h"
#include "headjoint/assess/results_photo.h"
#include "headjoint/assess/results_practice.h"
#include "headjoint/assess/results_record.h"
#include "headjoint/assess/results_repair.h"
#include "headjoint/assess/results_traces.h"

namespace headjoint::assess {

template <class... Types>
struct TypeList {};

/// Every type that Reply::content may hold, one a line.
// clang-format off
using ContentTypes = TypeList<
    Assessment,
    FindingReply,
    NextCheckReply,
    OptionsReply,
    QuestionsReply,
    Compression,
    CrankedEngine,
    LeakDownReply,
    PressureHoldReply,
    ColdRiseReply,
    GasTestReply,
    OilWaterReply,
    WhiteVapourReply,
    BoilingReply,
    TraceReply,
    CoolantLogReply,
    FlatnessReply,
    Straightedge,
    Skim,
    AfterSkim,
    ShimAnswer,
    BoltAnswer,
    Clamping,
    SealingAnswer,
    TighteningAnswer,
    WrenchLogAnswer,
    GasketPhoto,
    Completeness,
    RepairPlan,
    Proof,
    NetworkReply,
    ShopRecord,
    PracticeAnswer,
    CheckReply,
    NewReply>;
// clang-format on

template <class Visitor, class... Types>
bool visit_one_of(const Content& content, Visitor& visitor, TypeList<Types...> /*of these*/) {
  const auto visit = [&visitor](const auto* held) {
    if (held != nullptr) visitor(*held);
    return held != nullptr;
  };
  return (visit(std::any_cast<Types>(&content)) || ...);
}

/// Calls `visitor` with the content as what it is. @returns false when there is none, or its type is missing in ContentTypes
template <class Visitor>
bool visit_content(const Content& content, Visitor&& visitor) {
  return visit_one_of(content, visitor, ContentTypes{});
}

}  // namespace headjoint::assess
