#pragma once

#include <optional>

#include "headjoint/assess/operation.h"

namespace headjoint::assess {

/// The engine that an operation is asked about; a job may stand for the engine in it.
struct EngineInput {
  joint::Engine engine;
  std::optional<jobs::Job> job;  ///< when the input is a job
  Problems warnings;
};

/// A job carries signs, readings or a title; an engine file has a name of its own.
[[nodiscard]] bool looks_like_engine(const Document& document);

/// The request's input read as an engine file, or as a job file with its engine.
[[nodiscard]] Result<EngineInput> engine_input(const Request& request);

/// The same for the file that an option names.
/// @param name  option of kind kFile
/// @returns one problem when the option was not given
[[nodiscard]] Result<EngineInput> engine_input(const Request& request, const std::string& name);

}  // namespace headjoint::assess
