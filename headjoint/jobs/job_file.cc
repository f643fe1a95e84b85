#include "headjoint/jobs/job_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

#include "headjoint/base/text.h"
#include "headjoint/jobs/internal/job_parts.h"
#include "headjoint/jobs/internal/repair_parts.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::jobs {
namespace {

Result<Document> read_either(std::string_view text, const std::string& source) {
  return trimmed(text).starts_with('{') ? read_json(text, source) : read_toml(text, source);
}

void append(Problems& into, const Problems& more) { into.insert(into.end(), more.begin(), more.end()); }

/// A figure of distance or of running hours; kept as typed.
void read_mileage(TableReader& reader, std::string& into) {
  reader.text("mileage", into);
  if (into.empty()) return;
  const auto [number, unit] = split_number_and_unit(into);
  const auto value = parse_number(number);
  if (!value || !(*value >= 0 && *value <= 1e8) || (unit != "km" && unit != "mi" && unit != "miles" && unit != "h"))
    reader.refuse(*reader.find("mileage"), "mileage is \"" + into.substr(0, 40) + "\"", "a number with km, mi or h",
                  "such as \"184000 km\" or \"3500 h\"");
}

void read_facts(TableReader& reader, std::vector<std::string>& into) {
  reader.texts("facts", into);
  const Document* node = reader.find("facts");
  if (node == nullptr || !node->is_array()) return;
  for (const Document& item : node->array()) {
    if (!item.is_text() || std::find(history_facts().begin(), history_facts().end(), item.text()) != history_facts().end()) continue;
    if (nearest_name(item.text(), history_facts()))
      check_word(reader, item, "facts", item.text(), history_facts());
    else
      reader.warn(item, "facts: \"" + item.text().substr(0, 40) + "\" is not a fact the program knows; it changes nothing",
                  word_list(history_facts()), "put it into notes");
  }
}

template <class Io, class H>
void describe_history(Io& io, H& history) {
  if constexpr (Io::kReads) {
    read_mileage(io, history.mileage);
    read_facts(io, history.facts);
  } else {
    io.text("mileage", history.mileage);
    io.texts("facts", history.facts);
  }
  joint::figure(io, "outside_temperature", history.outside_temperature, "-60 degC", "60 degC");
  joint::figure(io, "ambient_pressure", history.ambient_pressure, "500 mbar", "1100 mbar");
  io.text("notes", history.notes);
}

template <class Io, class J>
void describe_labels(Io& io, J& job) {
  io.integer("format", job.format, 1, 1);
  io.text("number", job.number);
  io.text("title", job.title);
  io.text("opened", job.opened);
  io.text("owner", job.owner);
  io.text("mechanic", job.mechanic);
  io.truth("head_off", job.head_off);
}

template <class Io, class J>
void describe_rest(Io& io, J& job) {
  io.table("history", job.history, [](auto& inner, auto& history) { describe_history(inner, history); });
  io.table("cut", job.cut, [](auto& inner, auto& cut) {
    joint::figure(inner, "head", cut.head, "0 mm", "5 mm");
    joint::figure(inner, "deck", cut.deck, "0 mm", "5 mm");
    joint::figure(inner, "gasket", cut.gasket, "0.1 mm", "10 mm");
  });
  io.tables("decision", job.decisions, [](auto& inner, auto& decision) {
    inner.text("what", decision.what);
    inner.text("why", decision.why);
    inner.text("when", decision.when);
  });
  io.table("workshop", job.workshop, [](auto& inner, auto& workshop) {
    inner.number("hour_price", workshop.hour_price, 0, 1e6);
    inner.text("currency", workshop.currency);
  });
}

/// Strip-down, repair and proof.
void read_aftermath(TableReader& reader, Job& job, const EngineInHand& in_hand) {
  reader.table("strip_down", job.strip_down, [&](TableReader& inner, StripDown& strip) { read_strip_down(inner, strip, in_hand); });
  reader.tables("seen", job.seen, [&](TableReader& inner, Seen& seen) { read_seen(inner, seen, in_hand); });
  reader.tables("photo", job.photos, [&](TableReader& inner, Photo& photo) { read_photo(inner, photo, in_hand); });
  reader.table("repair", job.repair, [](TableReader& inner, RepairDone& repair) { read_repair(inner, repair); });
  read_signs(reader, "proof_signs", job.proof_signs, in_hand);
  reader.tables("proof_reading", job.proof_readings, [&](TableReader& inner, Reading& reading) { read_reading(inner, reading, in_hand); });
  if (!job.repair && (!job.proof_signs.empty() || !job.proof_readings.empty()))
    reader.warn(*reader.find(job.proof_signs.empty() ? "proof_reading" : "proof_signs"),
                "there are readings after the repair, but no [repair]: what was done is not known", {},
                "write [repair] with what was done");
}

template <class Item>
void put_list(TableWriter& writer, const std::string& key, const std::vector<Item>& items, Document (*write)(const Item&)) {
  Array list;
  for (const Item& item : items) list.push_back(write(item));
  if (!list.empty()) writer.put(key, std::move(list));
}

void write_aftermath(TableWriter& writer, const Job& job) {
  if (!job.strip_down.is_empty()) writer.put("strip_down", write_strip_down(job.strip_down));
  put_list(writer, "seen", job.seen, write_seen);
  put_list(writer, "photo", job.photos, write_photo);
  if (job.repair) writer.put("repair", write_repair(*job.repair));
  if (Document signs = write_signs(job.proof_signs); !signs.table().empty()) writer.put("proof_signs", std::move(signs));
  put_list(writer, "proof_reading", job.proof_readings, write_reading);
}

/// The engine that `engine` names, read from its own file.
Result<joint::Engine> read_engine_beside(TableReader& reader, const Document& path, const joint::ReadBeside& read_beside) {
  Problems problems;
  TableReader quiet(reader.document(), {}, problems);
  const auto text = joint::text_beside(quiet, path, "engine", read_beside);
  if (!text) return problems;
  return joint::read_engine_text(*text, path.text(), joint::beside(read_beside, path.text()));
}

/// @returns whether the engine could be read
bool read_engine_part(TableReader& reader, Job& job, const joint::ReadBeside& read_beside) {
  const Document* node = reader.required("engine");
  if (node == nullptr) return false;
  if (!node->is_text() && !node->is_table()) {
    reader.refuse(*node, "engine is " + node->kind_text(), "a path in quotes, or a whole engine file as the table [engine]");
    return false;
  }
  if (node->is_text()) job.engine_file = node->text();
  auto engine = node->is_text() ? read_engine_beside(reader, *node, read_beside) : joint::read_engine(*node, read_beside);
  append(reader.problems(), engine.problems());
  if (!engine) return false;
  job.engine = std::move(engine).value();
  return true;
}

void warn_of_twins(TableReader& reader, const Job& job) {
  std::set<std::pair<FacePart, int>> seen;
  for (std::size_t i = 0; i < job.faces.size(); ++i) {
    const Face& face = job.faces[i];
    if (face.counts() && !seen.insert({face.part, face.head}).second)
      reader.warn(reader.find("face")->array()[i], "this face is measured twice", {},
                  "say `void = \"why\"` for the one that does not count");
  }
}

}  // namespace

std::span<const std::string> history_facts() {
  static const std::vector<std::string> kWords = {
      "recent_head_work", "recent_cooling_work", "overheated_before", "short_trips", "winter", "stop_leak_used", "frost", "years_standing",
      "boosted",          "old_coolant",         "high_mileage",      "raw_water"};
  return kWords;
}

Result<Job> read_job(const Document& document, const joint::ReadBeside& read_beside) {
  Problems problems;
  Job job;
  TableReader reader(document, {}, problems);
  (void)reader.required("format");
  describe_labels(reader, job);
  const bool known = read_engine_part(reader, job, read_beside);
  const EngineInHand in_hand{job.engine, known ? joint::place_names(job.engine) : joint::PlaceNames{},
                             known && job.engine.general.cylinders > 0};
  read_signs(reader, "signs", job.signs, in_hand);
  reader.tables("reading", job.readings, [&](TableReader& inner, Reading& reading) { read_reading(inner, reading, in_hand); });
  reader.tables("face", job.faces, [&](TableReader& inner, Face& face) { read_face(inner, face, in_hand, read_beside); });
  reader.table("closure", job.closure, [&](TableReader& inner, Closure& closure) { read_closure(inner, closure, in_hand); });
  describe_rest(reader, job);
  read_aftermath(reader, job, in_hand);
  reader.finish();
  warn_of_twins(reader, job);
  if (has_errors(problems)) return problems;
  return Result<Job>(std::move(job), std::move(problems));
}

Result<Job> read_job_text(std::string_view text, const std::string& source, const joint::ReadBeside& read_beside) {
  const auto document = read_either(text, source);
  if (!document) return document.problems();
  return read_job(*document, read_beside);
}

Document write_job(const Job& job) {
  TableWriter writer;
  describe_labels(writer, job);
  writer.put("engine", job.engine_file.empty() ? joint::write_engine(job.engine) : Document(job.engine_file));
  if (Document signs = write_signs(job.signs); !signs.table().empty()) writer.put("signs", std::move(signs));
  put_list(writer, "reading", job.readings, write_reading);
  put_list(writer, "face", job.faces, write_face);
  writer.table("closure", job.closure, [](TableWriter& inner, const Closure& closure) { write_closure(inner, closure); });
  describe_rest(writer, job);
  write_aftermath(writer, job);
  return writer.take();
}

Result<Document> inline_engine(Document job, const joint::ReadBeside& read_beside) {
  Problems problems;
  Document* engine = job.find("engine");
  if (engine != nullptr && engine->is_text()) {
    TableReader reader(job, {}, problems);
    const std::string path = engine->text();
    if (const auto text = joint::text_beside(reader, *engine, "engine", read_beside)) {
      auto read = read_either(*text, path);
      append(problems, read.problems());
      if (read) *engine = joint::with_lists_inside(std::move(read).value(), joint::beside(read_beside, path));
    }
  } else if (engine != nullptr) {
    *engine = joint::with_lists_inside(std::move(*engine), read_beside);
  }
  Document* faces = job.find("face");
  if (faces != nullptr && faces->is_array()) {
    for (Document& face : faces->array()) {
      const Document* points = face.find("points");
      if (points == nullptr || !points->is_text()) continue;
      TableReader reader(face, {}, problems);
      const auto text = joint::text_beside(reader, *points, "points", read_beside);
      if (!text) continue;
      std::erase_if(face.table(), [](const auto& member) { return member.first == "points"; });
      face.set("table", *text);
    }
  }
  if (has_errors(problems)) return problems;
  return job;
}

}  // namespace headjoint::jobs
