#pragma once

#include "headjoint/machining/crank_train.h"
#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

namespace headjoint::machining {

/// Everything that holds gas above the top ring at top dead centre.
struct CylinderVolumes {
  Length bore;
  Length stroke;
  Length gasket_bore;
  Length gasket_thickness;  ///< compressed
  Length deck_clearance;    ///< piston below the deck; above counts negative
  Volume chamber;           ///< in the head, to its face
  Volume piston_dish;       ///< a dome counts negative
  Volume crevice;           ///< above the first ring
};

/// What the job takes away and what gasket goes in.
struct Removal {
  Length head;              ///< cut from the head's face; >= 0
  Length deck;              ///< cut from the block's face; >= 0
  Length gasket_thickness;  ///< compressed, of the gasket that will be fitted
};

/// pi/4 bore^2 stroke.
[[nodiscard]] Volume swept_volume(Length bore, Length stroke);

/// What is left above the piston at top dead centre: chamber, gasket, deck, dish and crevice.
[[nodiscard]] Volume clearance_volume(const CylinderVolumes& volumes);

/// (swept + clearance) / clearance.
/// @param clearance  > 0
/// @throws InputError naming clearance
[[nodiscard]] double compression_ratio(Volume swept, Volume clearance);
[[nodiscard]] double compression_ratio(const CylinderVolumes& volumes);

/// The volumes after the cut.
///
/// The head loses chamber_opening times depth: exact where the chamber's wall stands square to the face, and the first term of
/// the series elsewhere (a wall that leans by 10 degrees changes the answer by a few per mille of the volume cut). The deck loses
/// its bore area times depth.
///
/// @param chamber_opening  area of the chamber at the head's face; 0 for a flat head
/// @throws InputError naming head or deck when it is negative
[[nodiscard]] CylinderVolumes after_removal(CylinderVolumes volumes, Area chamber_opening, const Removal& removal);

/// Height between piston crown and a flat pad of the head's face: deck clearance + gasket. A cut of the head does not change it.
[[nodiscard]] Length squish_height(const CylinderVolumes& volumes);

/// The thickness of gasket that gives a wanted compression ratio, all else as it is.
/// @param ratio  > 1
/// @returns thickness; negative when no gasket can
[[nodiscard]] Length gasket_for_ratio(const CylinderVolumes& volumes, double ratio);

/// Compression ratio counted from where the intake valve closes: (swept from there + clearance) / clearance.
///
/// Pure geometry. The closing point must be the one at which the charge is really shut in: seat timing and timing at a checking
/// lift differ by 20 to 30 degrees, so compare figures of one kind only.
/// @param intake_closes  after bottom dead centre
[[nodiscard]] double intake_closing_ratio(Volume clearance, Length bore, const CrankTrain& train, Angle intake_closes);

/// Temperature at the end of an ideal compression: T1 ratio^(k-1).
/// @param exponent  k; 1.4 for cold air, about 1.3 to 1.35 for real charges
/// @par Source  ideal air cycle, any textbook of thermodynamics
[[nodiscard]] Temperature compression_end_temperature(Temperature start, double ratio, double exponent);

}  // namespace headjoint::machining
