#pragma once

#include <span>
#include <vector>

/// Filters that do not shift what they let through.
namespace headjoint::traces {

/// Butterworth low-pass of second order, run forwards and backwards: fourth order in effect, no delay, half power where one run is down
/// by 3 dB. The ends are continued by a point reflection and start in the steady state, so that they do not ring.
///
/// @param cutoff_Hz  of one run; 0 < cutoff < rate / 2, else the values come back as they are
/// @par Source  bilinear transform of the Butterworth prototype, any textbook; ends after F. Gustafsson, IEEE Trans. Signal Process. 44
/// (1996) 988
/// @par Checked against scipy.signal.filtfilt, tests/published/traces
[[nodiscard]] std::vector<float> low_pass(std::span<const float> values, double rate_Hz, double cutoff_Hz);

/// Replaces single wild values: what differs from the median of five by more than `spreads` usual differences takes that median.
/// @returns how many were replaced
std::size_t remove_spikes(std::vector<float>& values, double spreads = 12);

}  // namespace headjoint::traces
