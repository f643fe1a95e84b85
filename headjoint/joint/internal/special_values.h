#pragma once

#include <optional>
#include <string>

#include "headjoint/joint/engine.h"
#include "headjoint/joint/figure_file.h"

/// Values that are neither a figure nor a word: places, outlines, curves, threads, glycol, friction.
namespace headjoint::joint {

/// Columns of the lists that may stand in a CSV beside the file.
[[nodiscard]] const PairColumns& coordinate_columns();
[[nodiscard]] const PairColumns& curve_columns();
[[nodiscard]] const PairColumns& lift_columns();

void outline(TableReader& reader, const std::string& key, std::vector<PlanPoint>& into, const ReadBeside& read_beside);
void outline(TableWriter& writer, const std::string& key, const std::vector<PlanPoint>& value, const ReadBeside& read_beside);

void point(TableReader& reader, const std::string& key, std::optional<PlanPoint>& into);
void point(TableWriter& writer, const std::string& key, const std::optional<PlanPoint>& value);

void curve(TableReader& reader, const std::string& key, std::vector<CurvePoint>& into, const ReadBeside& read_beside);
void curve(TableWriter& writer, const std::string& key, const std::vector<CurvePoint>& value, const ReadBeside& read_beside);

void lift_table(TableReader& reader, const std::string& key, std::vector<LiftPoint>& into, const ReadBeside& read_beside);
void lift_table(TableWriter& writer, const std::string& key, const std::vector<LiftPoint>& value, const ReadBeside& read_beside);

void thread(TableReader& reader, const std::string& key, std::optional<ThreadSize>& into);
void thread(TableWriter& writer, const std::string& key, const std::optional<ThreadSize>& value);

void strength_class(TableReader& reader, const std::string& key, std::string& into);
void strength_class(TableWriter& writer, const std::string& key, const std::string& value);

void friction(TableReader& reader, const std::string& key, std::optional<FrictionRange>& into);
void friction(TableWriter& writer, const std::string& key, const std::optional<FrictionRange>& value);

void glycol(TableReader& reader, const std::string& key, std::optional<Glycol>& into);
void glycol(TableWriter& writer, const std::string& key, const std::optional<Glycol>& value);

/// A word of a list, kept as text; one that resembles none of them only warns, since it changes nothing.
void word(TableReader& reader, const std::string& key, std::string& into, std::span<const std::string> words);
void word(TableWriter& writer, const std::string& key, const std::string& value, std::span<const std::string> words);

/// Words of a list, each judged like a single one.
void words(TableReader& reader, const std::string& key, std::vector<std::string>& into, std::span<const std::string> known);
void words(TableWriter& writer, const std::string& key, const std::vector<std::string>& value, std::span<const std::string> known);

}  // namespace headjoint::joint
