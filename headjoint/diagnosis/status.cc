#include "headjoint/diagnosis/status.h"

namespace headjoint::diagnosis {

std::string_view to_text(Status status) {
  switch (status) {
    case Status::kNotRun:
      return "not run";
    case Status::kDone:
      return "done";
    case Status::kImpossible:
      return "impossible";
    case Status::kInaccurate:
      return "inaccurate";
    case Status::kTooLarge:
      return "too large";
  }
  return "not run";
}

}  // namespace headjoint::diagnosis
