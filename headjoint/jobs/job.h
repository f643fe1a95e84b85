#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "headjoint/jobs/closure.h"
#include "headjoint/jobs/repair_record.h"
#include "headjoint/joint/engine.h"

/// The job: one engine in hand, what its owner tells, what was seen, measured and decided. Nothing computed.
namespace headjoint::jobs {

/// One answer to one question. A question without an entry was not looked into.
struct Sign {
  std::string name;   ///< of the finding: "milky_oil"
  std::string where;  ///< "" engine-wide, "3" a cylinder or head, "2-3" a bridge
  std::string state;  ///< "seen", "absent", a word of a graded finding ("partial"), or "void": done but worthless
  std::string note;
  Place place;
  [[nodiscard]] bool is_void() const { return state == "void"; }
};

/// [history]
struct History {
  std::string mileage;  ///< as typed: "184000 km", "3500 h"
  joint::OptionalFigure<Temperature> outside_temperature;
  joint::OptionalFigure<AbsolutePressure> ambient_pressure;
  std::vector<std::string> facts;  ///< words of history_facts()
  std::string notes;
};

enum class ReadingTest {
  kCompression,     ///< by cylinder
  kLeakDown,        ///< by cylinder
  kStarterCurrent,  ///< by cylinder: share of the strongest pull
  kPressureHold,    ///< once: cooling system pumped up, start, end, duration
  kColdRise,        ///< once: cooling pressure at idle from cold, start, end, duration
  kGasInCoolant,    ///< once: analyser over the open tank
  kWaterInOil,      ///< once: share of water
  kReleaseTorque    ///< by bolt of one head, as they were loosened
};

/// What a test is taken of.
enum class TakenOf { kCylinders, kEngine, kBolts };
[[nodiscard]] TakenOf taken_of(ReadingTest test);

/// What one cylinder's gauge said.
struct ReadingValue {
  enum class Kind {
    kNotTaken,      ///< blank
    kInaccessible,  ///< could not be taken
    kPressure,      ///< a gauge pressure
    kLoss           ///< per cent: lost on the leak-down tester, or of the strongest pull of the starter
  };
  Kind kind = Kind::kNotTaken;
  GaugePressure pressure;
  double loss = 0;     ///< 0 to 1
  std::string text;    ///< as typed
  double step_si = 0;  ///< one unit of the last digit: Pa, or share of one
  Place place;
};

/// A leak that a reading was found to mean, with its band: what the tool that took it worked out.
struct LeakBand {
  joint::OptionalFigure<Area> area;
  joint::OptionalFigure<Area> low;
  joint::OptionalFigure<Area> high;
};

/// [[reading]]: one test taken on every cylinder, or on some.
struct Reading {
  ReadingTest test = ReadingTest::kCompression;
  std::vector<ReadingValue> values;                     ///< one per cylinder, cylinder 1 first
  std::vector<LeakBand> leaks;                          ///< starter: over the tightest cylinder, one per cylinder, or none at all
  joint::OptionalFigure<GaugePressure> resolution;      ///< smallest step of a gauge that shows pressure
  joint::OptionalFigure<joint::Share> loss_resolution;  ///< `resolution` typed in per cent
  joint::OptionalFigure<GaugePressure> supply;          ///< leak-down: regulator pressure
  joint::OptionalFigure<Length> orifice;                ///< leak-down: bore of the tester's orifice
  joint::OptionalFigure<GaugePressure> start;           ///< tests of the cooling system: gauge at the beginning
  joint::OptionalFigure<GaugePressure> end;             ///< and at the end
  joint::OptionalFigure<Duration> duration;             ///< between the two
  joint::OptionalFigure<joint::Share> carbon_dioxide;   ///< over the coolant
  joint::OptionalFigure<double> hydrocarbons_ppm;       ///< over the coolant
  joint::OptionalFigure<joint::Share> water;            ///< in the oil
  std::optional<int> head;                              ///< whose bolts; 1 when not said
  std::vector<joint::Figure<Torque>> torques;           ///< one per bolt, in the order loosened
  std::string tool;
  std::string engine;    ///< "cold", "warm", "hot", or empty
  std::string plugs;     ///< "all out", "one out", or empty
  std::string throttle;  ///< "open", "closed", or empty
  std::string piston;    ///< leak-down: "top", "down", or empty
  std::optional<int> strokes;
  std::string taken;
  std::string note;
  std::string void_reason;  ///< why this reading does not count; empty = it counts
  Place place;
  [[nodiscard]] bool counts() const { return void_reason.empty(); }
};

enum class FacePart { kHead, kBlock };

/// [[face]]: a table of measured points, kept as it came; whoever judges the face reads it.
struct Face {
  FacePart part = FacePart::kHead;
  int head = 1;
  std::string file;   ///< path of the CSV beside the job, or empty when the table is carried inside
  std::string table;  ///< the CSV itself, with units in its header
  joint::OptionalFigure<Length> uncertainty;
  std::string tool;
  std::string taken;
  std::string note;
  std::string void_reason;
  Place place;
  [[nodiscard]] bool counts() const { return void_reason.empty(); }
};

/// [cut]: what the machine shop is to take off, and the gasket that will go on.
struct Cut {
  joint::OptionalFigure<Length> head;    ///< off every head's face
  joint::OptionalFigure<Length> deck;    ///< off the block's deck
  joint::OptionalFigure<Length> gasket;  ///< thickness when clamped
};

/// [[decision]]
struct Decision {
  std::string what;
  std::string why;
  std::string when;
};

/// [workshop]
struct Workshop {
  std::optional<double> hour_price;
  std::string currency;
};

struct Job {
  int format = 1;
  std::string number;
  std::string title;
  std::string opened;
  std::string owner;
  std::string mechanic;
  std::string engine_file;  ///< path as written, or empty when the engine is carried inside
  joint::Engine engine;
  bool head_off = false;
  History history;
  std::vector<Sign> signs;
  std::vector<Reading> readings;
  std::vector<Face> faces;
  Cut cut;
  std::vector<Decision> decisions;
  std::optional<Closure> closure;  ///< empty while the job is open
  StripDown strip_down;
  std::vector<Seen> seen;
  std::vector<Photo> photos;
  std::optional<RepairDone> repair;
  std::vector<Sign> proof_signs;        ///< seen or absent after the repair
  std::vector<Reading> proof_readings;  ///< taken after the repair
  Workshop workshop;
};

/// Every test, in the order they are shown.
[[nodiscard]] std::span<const ReadingTest> reading_tests();

/// The last reading of a test that counts, or null pointer: repeats of one test are not further evidence.
[[nodiscard]] const Reading* last_reading(const Job& job, ReadingTest test);

}  // namespace headjoint::jobs
