#include "headjoint/jobs/repair_record.h"

#include <fmt/format.h>

#include <algorithm>

#include "headjoint/base/text.h"
#include "headjoint/jobs/internal/repair_parts.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::jobs {
namespace {

using Lengths = std::vector<joint::OptionalFigure<Length>>;

constexpr std::size_t kLongestList = 200;
const std::vector<std::string> kSides = {"right", "wrong"};
const std::vector<std::string> kBoltWords = {"new", "measured", "used"};

bool contains(const std::vector<std::string>& names, std::string_view name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

/// "passage 4" -> 4, when the text is that word and a whole number from 1.
std::optional<int> numbered(std::string_view text, std::string_view word) {
  if (!text.starts_with(word)) return std::nullopt;
  const std::string_view rest = trimmed(text.substr(word.size()));
  if (rest.empty() || rest.size() > 4 || !std::all_of(rest.begin(), rest.end(), [](char c) { return c >= '0' && c <= '9'; }))
    return std::nullopt;
  const int number = std::stoi(std::string(rest));
  return number > 0 ? std::optional(number) : std::nullopt;
}

bool is_place(const std::string& where, const EngineInHand& in_hand) {
  if (where.empty() || contains(in_hand.names.cylinders, where) || contains(in_hand.names.bridges, where)) return true;
  const joint::Engine& engine = in_hand.engine;
  if (const auto passage = numbered(where, "passage "))
    return engine.passages.empty() ||
           std::any_of(engine.passages.begin(), engine.passages.end(), [&](const joint::Passage& one) { return one.number == *passage; });
  if (const auto bolt = numbered(where, "bolt "))
    return !engine.bolts || engine.bolts->at.empty() || static_cast<std::size_t>(*bolt) <= engine.bolts->at.size();
  const auto head = numbered(where, "head ");
  return head && *head <= joint::head_count(engine);
}

/// Names a place as [[seen]] and [[photo]] do.
void read_where(TableReader& reader, std::string& into, const EngineInHand& in_hand) {
  reader.text("where", into);
  if (!in_hand.known || is_place(into, in_hand)) return;
  reader.refuse(*reader.find("where"), "this engine has no place \"" + into.substr(0, 40) + "\"",
                "a cylinder \"2\", a bridge \"2-3\", \"passage 4\", \"bolt 3\", \"head 1\", or nothing for the whole part");
}

void read_word(TableReader& reader, const std::string& key, std::string& into, std::span<const std::string> words) {
  reader.text(key, into);
  if (!into.empty()) check_word(reader, *reader.find(key), key, into, words);
}

/// A list with "" for what was not measured.
void read_lengths(TableReader& reader, const std::string& key, Lengths& into, const char* least, const char* most, std::size_t places,
                  const char* of_what) {
  const Array* list = reader.list(key);
  if (list == nullptr) return;
  if (places > 0 && list->size() > places)
    reader.refuse(*reader.find(key), fmt::format("{} has {} values for {} {}", key, list->size(), places, of_what), {},
                  "one for each, number 1 first; \"\" for one that was not measured");
  for (const Document& node : *list) {
    if (into.size() >= kLongestList) break;
    joint::OptionalFigure<Length> length;
    if (!(node.is_text() && trimmed(node.text()).empty())) {
      Document holder{Table{}};
      holder.set(key, node);
      TableReader inner(holder, {}, reader.problems());
      joint::figure(inner, key, length, least, most);
      if (length) length->place = node.place();
    }
    into.push_back(std::move(length));
  }
}

void write_lengths(TableWriter& writer, const std::string& key, const Lengths& lengths) {
  Array list;
  for (const auto& length : lengths) list.emplace_back(length ? joint::figure_text(*length) : std::string());
  if (!list.empty()) writer.put(key, std::move(list));
}

template <class Io, class S>
void describe_strip_down(Io& io, S& strip) {
  io.text("date", strip.date);
  io.text("by", strip.by);
  joint::figure(io, "bolt_new_length", strip.bolt_new_length, "10 mm", "500 mm");
  joint::figure(io, "bolt_longest", strip.bolt_longest, "10 mm", "500 mm");
  joint::figure(io, "bolt_uncertainty", strip.bolt_uncertainty, "0.001 mm", "1 mm");
  io.integers("bolts_necked", strip.bolts_necked, 1, 200);
  io.text("note", strip.note);
}

template <class Io, class R>
void describe_repair(Io& io, R& repair) {
  io.text("date", repair.date);
  io.text("by", repair.by);
  io.text("mileage", repair.mileage);
  io.text("gasket", repair.gasket);
  io.texts("done", repair.done);
  io.texts("cured", repair.cured);
  io.texts("parts", repair.parts);
  joint::figure(io, "head_removed", repair.head_removed, "0 mm", "5 mm");
  joint::figure(io, "deck_removed", repair.deck_removed, "0 mm", "5 mm");
  joint::figure(io, "warm_after", repair.warm_after, "10 s", "2 h");
  joint::figure(io, "started_at", repair.started_at, "-40 degC", "80 degC");
  joint::figure(io, "settled", repair.settled, "0 degC", "150 degC");
  joint::figure(io, "topped_up", repair.topped_up, "0 L", "100 L");
  io.text("warranty", repair.warranty);
  io.text("note", repair.note);
}

/// Refuses each text of a list that is not one of the words.
void check_words(TableReader& reader, const std::string& key, std::span<const std::string> words) {
  const Document* list = reader.find(key);
  if (list == nullptr || !list->is_array()) return;
  for (const Document& item : list->array())
    if (item.is_text()) check_word(reader, item, key, item.text(), words);
}

}  // namespace

bool StripDown::is_empty() const {
  return date.empty() && by.empty() && gasket_side_up.empty() && note.empty() && !bolt_new_length && !bolt_longest && !bolt_uncertainty &&
         bolt_lengths.empty() && bolts_necked.empty() && liner_protrusions.empty();
}

std::span<const std::string> seen_parts() {
  static const std::vector<std::string> kWords = {"gasket", "head", "block", "bolt", "liner", "piston", "valve", "other"};
  return kWords;
}

std::span<const std::string> seen_kinds() {
  static const std::vector<std::string> kWords = {"sound",    "burnt_track", "soot_track", "coolant_track", "oil_track", "washed",
                                                  "polished", "deposit",     "crack",      "corroded",      "eroded",    "pitted",
                                                  "scored",   "dented",      "squeezed",   "torn",          "soft",      "stretched",
                                                  "rusted",   "sealant",     "other"};
  return kWords;
}

std::span<const std::string> repair_work() {
  static const std::vector<std::string> kWords = {
      "head_measured",      "head_skimmed",    "deck_measured",  "deck_machined",  "crack_tested",
      "hardness_tested",    "liners_measured", "holes_cleaned",  "threads_chased", "lubricant_as_asked",
      "tightened_as_asked", "wrench_logged",   "retightened",    "oil_changed",    "system_flushed",
      "coolant_new",        "cap_new",         "thermostat_new", "bled",           "first_heat",
      "gasket_only"};
  return kWords;
}

void read_seen(TableReader& reader, Seen& seen, const EngineInHand& in_hand) {
  seen.place = reader.document().place();
  (void)reader.required("part");
  read_word(reader, "part", seen.part, seen_parts());
  (void)reader.required("kind");
  read_word(reader, "kind", seen.kind, seen_kinds());
  read_where(reader, seen.where, in_hand);
  reader.text("note", seen.note);
  reader.text("photo", seen.photo);
  const Document* at = reader.find("at");
  if (at == nullptr) return;
  const bool is_pair = at->is_array() && at->array().size() == 2 && at->array()[0].is_number() && at->array()[1].is_number();
  const auto is_near = [](double value) { return value > -5000 && value < 5000; };
  if (is_pair && is_near(at->array()[0].number()) && is_near(at->array()[1].number()))
    seen.at = joint::PlanPoint{at->array()[0].number(), at->array()[1].number()};
  else
    reader.refuse(*at, "`at` is no place on the plan", "two numbers in millimetres, x and y, such as [165, 85]");
}

Document write_seen(const Seen& seen) {
  TableWriter writer;
  writer.text("part", seen.part);
  writer.text("where", seen.where);
  if (seen.at) writer.put("at", Array{seen.at->x_mm, seen.at->y_mm});
  writer.text("kind", seen.kind);
  writer.text("note", seen.note);
  writer.text("photo", seen.photo);
  return writer.take();
}

void read_photo(TableReader& reader, Photo& photo, const EngineInHand& in_hand) {
  (void)reader.required("name");
  reader.text("name", photo.name);
  read_where(reader, photo.where, in_hand);
  reader.text("caption", photo.caption);
  reader.text("taken", photo.taken);
}

Document write_photo(const Photo& photo) {
  TableWriter writer;
  writer.text("name", photo.name);
  writer.text("where", photo.where);
  writer.text("caption", photo.caption);
  writer.text("taken", photo.taken);
  return writer.take();
}

void read_strip_down(TableReader& reader, StripDown& strip, const EngineInHand& in_hand) {
  describe_strip_down(reader, strip);
  read_word(reader, "gasket_side_up", strip.gasket_side_up, kSides);
  const std::size_t bolts = in_hand.known && in_hand.engine.bolts ? in_hand.engine.bolts->at.size() : 0;
  const std::size_t heads = in_hand.known ? static_cast<std::size_t>(joint::head_count(in_hand.engine)) : 1;
  read_lengths(reader, "bolt_lengths", strip.bolt_lengths, "10 mm", "500 mm", bolts * heads, "bolts");
  const std::size_t cylinders = in_hand.known ? static_cast<std::size_t>(in_hand.engine.general.cylinders) : 0;
  read_lengths(reader, "liner_protrusions", strip.liner_protrusions, "-1 mm", "1 mm", cylinders, "cylinders");
  const bool engine_knows = in_hand.engine.bolts && in_hand.engine.bolts->length;
  if (!strip.bolt_lengths.empty() && !strip.bolt_new_length && !strip.bolt_longest && !engine_knows)
    reader.warn(*reader.find("bolt_lengths"), "measured bolts cannot be judged: nothing to compare them with", {},
                "write bolt_new_length, or bolt_longest as the maker gives it, or bolts.length in the engine file");
}

Document write_strip_down(const StripDown& strip) {
  TableWriter writer;
  describe_strip_down(writer, strip);
  writer.text("gasket_side_up", strip.gasket_side_up);
  write_lengths(writer, "bolt_lengths", strip.bolt_lengths);
  write_lengths(writer, "liner_protrusions", strip.liner_protrusions);
  return writer.take();
}

void read_repair(TableReader& reader, RepairDone& repair) {
  repair.place = reader.document().place();
  describe_repair(reader, repair);
  read_word(reader, "bolts", repair.bolts, kBoltWords);
  check_words(reader, "done", repair_work());
}

Document write_repair(const RepairDone& repair) {
  TableWriter writer;
  describe_repair(writer, repair);
  writer.text("bolts", repair.bolts);
  return writer.take();
}

}  // namespace headjoint::jobs
