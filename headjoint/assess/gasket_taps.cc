#include "headjoint/assess/gasket_taps.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <set>

#include "headjoint/base/table_reader.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::assess {
namespace {

constexpr std::size_t kMostTaps = 500;
constexpr double kMostPixels = 100'000;
constexpr double kMostMillimetres = 10'000;

const std::array<std::string, 7> kKinds = {"bore", "bolt", "coolant", "oil_pressure", "oil_drain", "pushrod", "vent"};
const std::array<std::string, 2> kSides = {"above", "below"};

/// [x, y] from a node; a problem when it is something else.
std::optional<std::pair<double, double>> pair_at(TableReader& reader, const Document& node, const std::string& key, double most) {
  const auto is_fine = [&](const Document& one) { return one.is_number() && std::abs(one.number()) <= most; };
  if (!node.is_array() || node.array().size() != 2 || !is_fine(node.array()[0]) || !is_fine(node.array()[1])) {
    reader.refuse(node, key + " must be two numbers", fmt::format("[x, y] within {} either way", most));
    return std::nullopt;
  }
  return std::pair{node.array()[0].number(), node.array()[1].number()};
}

void pixel(TableReader& reader, const std::string& key, photo::PicturePoint& into) {
  const Document* node = reader.required(key);
  if (node == nullptr) return;
  if (const auto pair = pair_at(reader, *node, key, kMostPixels)) into = {pair->first, pair->second};
}

void plan_place(TableReader& reader, const std::string& key, photo::PlanPlace& into) {
  const Document* node = reader.required(key);
  if (node == nullptr) return;
  if (const auto pair = pair_at(reader, *node, key, kMostMillimetres)) into = {pair->first, pair->second};
}

void length_of(TableReader& reader, const Document& node, const std::string& key, std::optional<Length>& into) {
  if (!node.is_text()) return reader.refuse(node, key + " is " + node.kind_text(), "text with its unit: \"82 mm\"");
  const auto length = parse<Length>(node.text());
  if (!length) return reader.refuse(node, key, length.problems());
  const double mm = length->si() * 1e3;
  if (!(mm > 0 && mm <= kMostMillimetres))
    return reader.refuse(node, key + " is out of range: " + node.text(), "more than 0 mm, up to 10000 mm");
  into = *length;
}

void length(TableReader& reader, const std::string& key, std::optional<Length>& into) {
  if (const Document* node = reader.find(key)) length_of(reader, *node, key, into);
}

void length(TableReader& reader, const std::string& key, Length& into) {
  std::optional<Length> read;
  length(reader, key, read);
  if (read) into = *read;
}

void known_distance(TableReader& reader, photo::KnownDistance& into) {
  pixel(reader, "from", into.from);
  pixel(reader, "to", into.to);
  if (reader.required("distance") != nullptr) length(reader, "distance", into.distance);
  length(reader, "uncertainty", into.uncertainty);
}

void known_point(TableReader& reader, photo::KnownPoint& into) {
  pixel(reader, "tap", into.tap);
  plan_place(reader, "at", into.at);
  length(reader, "uncertainty", into.uncertainty);
}

void circle(TableReader& reader, CircleTap& into) {
  reader.integer("number", into.number, 1, 500);
  if (const Document* kind = reader.required("kind")) {
    if (!kind->is_text())
      reader.refuse(*kind, "kind is " + kind->kind_text(), word_list(kKinds));
    else if (check_word(reader, *kind, "kind", kind->text(), kKinds))
      into.kind = kind->text();
  }
  pixel(reader, "tap", into.tap);
  length(reader, "about", into.about);
  reader.truth("snap", into.snap);
  length(reader, "diameter", into.diameter);
}

using Axes = std::pair<photo::PicturePoint, photo::PicturePoint>;

void axes(TableReader& reader, Axes& into) {
  pixel(reader, "origin", into.first);
  pixel(reader, "along", into.second);
}

void outline(TableReader& reader, std::vector<photo::PicturePoint>& into) {
  const Array* list = reader.list("outline");
  if (list == nullptr) return;
  for (const Document& node : *list) {
    if (const auto pair = pair_at(reader, node, "a corner of outline", kMostPixels)) into.push_back({pair->first, pair->second});
  }
  if (into.size() < 3 && !list->empty())
    reader.refuse(*reader.find("outline"), "an outline needs at least three corners", "3 to 500 taps round the gasket");
}

/// Numbers that the file leaves out follow the order of the file, kind by kind.
void number_circles(TableReader& reader, std::vector<CircleTap>& circles) {
  std::set<std::pair<std::string, int>> taken;
  for (const CircleTap& tap : circles) {
    if (tap.number && !taken.emplace(tap.kind, *tap.number).second)
      reader.refuse(*reader.find("circle"), fmt::format("{} {} stands twice", tap.kind, *tap.number), "each number once among its kind");
  }
  for (CircleTap& tap : circles) {
    for (int number = 1; !tap.number; ++number) {
      if (taken.emplace(tap.kind, number).second) tap.number = number;
    }
  }
}

}  // namespace

std::span<const std::string> circle_kinds() { return kKinds; }

Result<GasketTaps> read_gasket_taps(const Document& document) {
  Problems problems;
  GasketTaps taps;
  TableReader reader(document, "the file of taps", problems);
  int format = 1;
  reader.integer("format", format, 1, 1);
  reader.text("name", taps.name);
  int side = 0;
  reader.choice("seen_from", side, kSides);
  taps.is_seen_from_below = side == 1;
  std::optional<double> tap_px;
  reader.number("tap_uncertainty_px", tap_px, 0.05, 50);
  if (tap_px) taps.tap_px = *tap_px;
  reader.tables("known_distance", taps.distances, known_distance);
  reader.tables("known_point", taps.points, known_point);
  reader.table("axes", taps.axes, axes);
  reader.tables("circle", taps.circles, circle);
  outline(reader, taps.outline);
  if (taps.circles.size() + taps.outline.size() + taps.distances.size() + taps.points.size() > kMostTaps)
    reader.refuse(document, "more than 500 taps", "up to 500 circles, corners and known figures in all");
  if (problems.empty()) number_circles(reader, taps.circles);
  reader.finish();
  if (has_errors(problems)) return problems;
  return Result<GasketTaps>(std::move(taps), std::move(problems));
}

std::string gasket_taps_template(const std::string& name) {
  Document title;
  title.set("name", name);
  return "# What was tapped on the photograph of a gasket: pixels from its top left corner, x to the right, y down.\n"
         "#   headjoint gasket-photo taps.toml gasket.jpg\n"
         "format = 1\n" +
         write_toml(title) +
         R"toml(seen_from = "above"                # "below" when the underside lies up
# tap_uncertainty_px = 1.5         # how far a tap may miss

# A scan, or a picture from straight above: one distance, better two that cross. At an angle: five or more, in all parts and directions.
[[known_distance]]
from = [100, 400]
to = [900, 400]
distance = "320.0 mm"
# uncertainty = "0.1 mm"

# At an angle, instead: at least four places known on the plan.
# [[known_point]]
# tap = [100, 400]
# at = [15, 155]

# [axes]                           # else: x along the bores, the least corner at 0, 0
# origin = [80, 620]
# along = [920, 620]

[[circle]]
kind = "bore"                      # bore | bolt | coolant | oil_pressure | oil_drain | pushrod | vent
tap = [300, 400]                   # somewhere near its middle
# number = 1
# about = "82 mm"                  # look for this size only
# snap = false                     # the tap is the centre itself
# diameter = "9 mm"

# outline = [[80, 620], [920, 620], [920, 260], [80, 260]]
)toml";
}

}  // namespace headjoint::assess
