#pragma once

#include <string>
#include <string_view>

#include "headjoint/base/document.h"
#include "headjoint/joint/engine_file.h"
#include "headjoint/machining/shim_plan.h"

namespace headjoint::machining {

/// Decodes a shim file (TOML or JSON, same keys): limits, lash measured, shims fitted, drawer, sizes on sale.
///
/// Strict as an engine file is. Limits of a side stand in [intake] and [exhaust], or come from the engine file that `engine` names;
/// the target is the engine's lash, else the middle of the limits. A lash that is "-", empty or absent was not measured.
///
/// @returns the task (perhaps with warnings: a lash of zero, a lash that looks like a slipped decimal point), or every problem
[[nodiscard]] Result<ShimTask> read_shims(const Document& document, const joint::ReadBeside& read_beside);

/// True for a document that means to be a shim file: it has valves or a drawer, and no [engine] of its own.
[[nodiscard]] bool is_shim_file(const Document& document);

/// A commented shim file that is valid as it stands, to be edited.
[[nodiscard]] std::string shim_template(const std::string& name);

}  // namespace headjoint::machining
