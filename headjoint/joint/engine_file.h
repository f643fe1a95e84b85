#pragma once

#include <span>
#include <string>
#include <string_view>

#include "headjoint/base/document.h"
#include "headjoint/joint/engine.h"
#include "headjoint/joint/figure_file.h"

namespace headjoint::joint {

/// For documents that stand alone (a form, a store): every path is refused with a sentence that says so.
[[nodiscard]] ReadBeside nothing_beside();

/// Reads beside `path` of a file on disk: "../engines/a.toml" relative to the folder of `path`. "-" and "" mean the working folder.
[[nodiscard]] ReadBeside beside_file(const std::string& path);

/// Paths inside the file `relative_path` are relative to that file's folder.
[[nodiscard]] ReadBeside beside(const ReadBeside& outer, const std::string& relative_path);

/// Decodes an engine file (TOML or JSON, same keys).
///
/// Strict: a key that is not known is refused with the nearest known one; so are a wrong kind, a wrong unit, a figure outside the
/// range that any engine keeps (the range is named), a list of the wrong length, an order that is no permutation. What the file
/// does not say stays empty; only `format`, `name` and `[engine]` must be there.
///
/// @returns the engine (perhaps with warnings), or every problem with its place
[[nodiscard]] Result<Engine> read_engine(const Document& document, const ReadBeside& read_beside);

/// Text to engine: TOML, or JSON when the text begins with a brace.
[[nodiscard]] Result<Engine> read_engine_text(std::string_view text, const std::string& source, const ReadBeside& read_beside);

/// The document that reads back to the same engine: figures as they were typed, coordinate lists written out.
[[nodiscard]] Document write_engine(const Engine& engine);

/// Every list of an engine document that stands in a CSV beside it, brought inside; what cannot be read stays as it is.
[[nodiscard]] Document with_lists_inside(Document engine, const ReadBeside& read_beside);

/// A commented engine file that is valid as it stands, to be edited. `name` may hold any text.
[[nodiscard]] std::string engine_template(const std::string& name);

/// Words that `fitted`, `material` and the gasket's `kind` may take.
[[nodiscard]] std::span<const std::string> fitted_words();
[[nodiscard]] std::span<const std::string> materials();
[[nodiscard]] std::span<const std::string> gasket_kinds();

}  // namespace headjoint::joint
