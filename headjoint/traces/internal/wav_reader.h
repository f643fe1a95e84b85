#pragma once

#include "headjoint/traces/internal/byte_window.h"
#include "headjoint/traces/recording.h"

namespace headjoint::traces {

/// @returns whether the bytes begin as a WAV file does
[[nodiscard]] bool looks_like_wav(std::string_view begin);

/// Reads the samples of a RIFF/WAVE or RF64 file.
/// @par Source  Microsoft/IBM "Multimedia Programming Interface and Data Specifications 1.0" (1991), WAVE form; EBU Tech 3306 (RF64)
[[nodiscard]] Result<Recording> read_wav(ByteWindow& window, const std::string& source, const ReadingWishes& wishes);

}  // namespace headjoint::traces
