#include "headjoint/jobs/closure.h"

#include <fmt/format.h>

#include <algorithm>

#include "headjoint/base/text.h"
#include "headjoint/jobs/internal/job_parts.h"

namespace headjoint::jobs {
namespace {

const std::vector<std::string>& verified_words() {
  static const std::vector<std::string> kWords = {"head off", "pressure test", "repair proved", "not verified"};
  return kWords;
}

void check_place(TableReader& reader, const FoundCause& found, const EngineInHand& in_hand) {
  const Document* node = reader.find("where");
  if (node == nullptr || found.where.empty() || !in_hand.known) return;
  std::vector<std::string> places;
  for (const auto* list : {&in_hand.names.cylinders, &in_hand.names.bridges, &in_hand.names.heads})
    places.insert(places.end(), list->begin(), list->end());
  if (std::find(places.begin(), places.end(), found.where) == places.end())
    reader.refuse(*node, fmt::format("{}: this engine has no place \"{}\"", found.cause, found.where.substr(0, 20)), word_list(places));
}

void read_found(TableReader& reader, FoundCause& found, const EngineInHand& in_hand) {
  found.place = reader.document().place();
  (void)reader.required("cause");
  reader.text("cause", found.cause);
  reader.text("where", found.where);
  check_place(reader, found, in_hand);
}

template <class Io, class C>
void describe_plain(Io& io, C& closure) {
  io.text("when", closure.when);
  io.number("cost", closure.cost, 0, 1e7);
  io.number("minutes", closure.minutes, 0, 1e6);
  io.text("note", closure.note);
}

}  // namespace

std::string spoken(Verified verified) {
  switch (verified) {
    case Verified::kHeadOff:
      return "seen with the head off";
    case Verified::kPressureTest:
      return "shown by a pressure test";
    case Verified::kRepairProved:
      return "proved by the repair";
    case Verified::kNot:
      return "not verified";
  }
  return {};
}

void read_closure(TableReader& reader, Closure& closure, const EngineInHand& in_hand) {
  closure.place = reader.document().place();
  if (reader.required("verified") != nullptr) reader.choice("verified", closure.verified, verified_words());
  reader.tables("found", closure.found, [&](TableReader& inner, FoundCause& found) { read_found(inner, found, in_hand); });
  for (std::size_t i = 0; i < closure.found.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      if (closure.found[i].cause == closure.found[j].cause && closure.found[i].where == closure.found[j].where)
        reader.refuse(reader.find("found")->array()[i], closure.found[i].cause + " is found twice", {}, "take one of them out");
  describe_plain(reader, closure);
}

void write_closure(TableWriter& writer, const Closure& closure) {
  writer.choice("verified", closure.verified, verified_words());
  writer.tables("found", closure.found, [](TableWriter& inner, const FoundCause& found) {
    inner.text("cause", found.cause);
    inner.text("where", found.where);
  });
  describe_plain(writer, closure);
}

}  // namespace headjoint::jobs
