#pragma once

#include <string>

#include "headjoint/base/document.h"
#include "headjoint/base/result.h"

namespace headjoint::jobs {

/// What is known of an engine that is not in the library yet.
struct NewEngine {
  int cylinders = 4;              ///< 1 to 16
  std::string layout = "inline";  ///< as in the engine file
  std::string fuel = "petrol";
  std::string name;  ///< empty: made from the rest
};

/// A bare engine document, ready to be filled in.
/// @returns problems when the engine file's reader refuses the words
[[nodiscard]] Result<Document> new_engine_document(const NewEngine& asked);

/// What is known of an engine that has just come in.
struct NewJob {
  int cylinders = 4;              ///< 1 to 16
  std::string layout = "inline";  ///< as in the engine file
  std::string fuel = "petrol";
  std::string title;
};

/// A job document with a bare engine inside, ready for its first sign.
/// @returns problems when the engine file's reader refuses the words
[[nodiscard]] Result<Document> new_job_document(const NewJob& asked);

}  // namespace headjoint::jobs
