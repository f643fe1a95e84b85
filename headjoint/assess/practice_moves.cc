#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <optional>

#include "headjoint/assess/closing.h"
#include "headjoint/assess/practice_game.h"
#include "headjoint/base/table_reader.h"
#include "headjoint/base/text.h"

namespace headjoint::assess {
namespace {

using diagnosis::InstanceNetwork;
using diagnosis::Layer;

constexpr std::size_t kMostMoves = 400;
constexpr std::size_t kShown = 60;

/// "Leak-Down" and "leak down" are leak_down.
std::string plain_name(std::string_view text) {
  std::string name = lower_case(trimmed(text));
  for (char& c : name)
    if (c == '-' || c == ' ') c = '_';
  return name;
}

std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  for (const std::string_view part : split(text, ' '))
    if (!trimmed(part).empty()) words.emplace_back(trimmed(part));
  return words;
}

std::string joined(const std::vector<std::string>& words, std::size_t count) {
  std::string text;
  for (std::size_t i = 0; i < count; ++i) text += (i > 0 ? " " : "") + words[i];
  return text;
}

/// "3-2" for bridge "2-3".
std::string in_order(const std::string& place) {
  const std::size_t dash = place.find('-');
  if (dash == std::string::npos) return place;
  const std::string first = place.substr(0, dash);
  const std::string second = place.substr(dash + 1);
  return first.size() > second.size() || (first.size() == second.size() && first > second) ? second + "-" + first : place;
}

/// A word that stands for a place: "2", "2-3".
bool is_place_word(const std::string& word) {
  return !word.empty() && word.front() >= '0' && word.front() <= '9' && word.find_first_not_of("0123456789-") == std::string::npos;
}

/// What a move names and the places after it.
struct Spoken {
  std::string name;
  std::vector<std::string> places;
};

Spoken spoken_of(std::string_view text) {
  std::vector<std::string> words = words_of(text);
  Spoken spoken;
  while (words.size() > 1 &&
         (is_place_word(words.back()) || words.back() == "cylinder" || words.back() == "bridge" || words.back() == "head")) {
    if (is_place_word(words.back())) spoken.places.insert(spoken.places.begin(), in_order(words.back()));
    words.pop_back();
  }
  spoken.name = joined(words, words.size());
  return spoken;
}

class MoveReader {
 public:
  explicit MoveReader(const InstanceNetwork& network)
      : network_(network), rows_(practice_checks(network)), names_(practice_names(network)) {}

  Result<PracticeMoves> read(std::string_view text) {
    std::string parted(text);
    std::replace(parted.begin(), parted.end(), '\n', ';');
    std::size_t number = 0;
    for (const std::string_view part : split(parted, ';')) {
      const std::string move(trimmed(part));
      if (move.empty()) continue;
      where_ = fmt::format("--moves, move {}", ++number);
      if (number > kMostMoves) {
        refuse("there are more moves", "up to 400", {});
        break;
      }
      read_move(move);
    }
    if (has_errors(problems_)) return problems_;
    return std::move(moves_);
  }

 private:
  void read_move(const std::string& move) {
    if (moves_.is_over)
      return refuse("\"" + move.substr(0, kShown) + "\" comes after the fault was named", {}, "start again with --moves \"\"");
    const std::string lower = lower_case(move);
    if (lower == "name" || lower.starts_with("name ")) return read_naming(move.substr(std::min<std::size_t>(move.size(), 5)));
    read_check(move);
  }

  void read_check(const std::string& move) {
    const Spoken spoken = spoken_of(move);
    const std::optional<std::size_t> row = row_of(spoken.name);
    if (!row) return;
    const diagnosis::Finding& finding = network_.pattern.findings[*row];
    const std::vector<std::string> all = places_of_finding(network_, *row);
    for (const std::string& place : spoken.places)
      if (std::find(all.begin(), all.end(), place) == all.end())
        return refuse(fmt::format("{} is not done at \"{}\"", finding.name, place),
                      all.front().empty() ? "no place" : "one of " + word_list(all), {});
    moves_.checks.push_back({move, *row, spoken.places.empty() ? all : spoken.places});
  }

  std::optional<std::size_t> row_of(const std::string& name) {
    std::size_t number = 0;
    const auto [end, failure] = std::from_chars(name.data(), name.data() + name.size(), number);
    if (failure == std::errc() && end == name.data() + name.size()) {
      if (number >= 1 && number <= rows_.size()) return rows_[number - 1];
      refuse("there is no check " + name.substr(0, kShown), fmt::format("1 to {}", rows_.size()), {});
      return std::nullopt;
    }
    std::vector<std::string> known;
    for (const std::size_t row : rows_) {
      known.push_back(network_.pattern.findings[row].name);
      if (known.back() == plain_name(name)) return row;
    }
    const auto nearest = nearest_name(plain_name(name), known);
    refuse("no check is called \"" + name.substr(0, kShown) + "\"", {},
           nearest ? "did you mean \"" + *nearest + "\"?" : "take a check by its number or name from the list");
    return std::nullopt;
  }

  void read_naming(const std::string& text) {
    moves_.is_over = true;
    bool is_anything = false;
    for (const std::string_view part : split(text, ',')) {
      if (trimmed(part).empty()) continue;
      is_anything = true;
      if (plain_name(part) == "nothing") continue;
      read_name(part);
    }
    if (!is_anything)
      refuse("nothing stands after \"name\"", "a fault and its place", "such as: name joint 2-3; name thermostat; name nothing");
  }

  void read_name(std::string_view part) {
    const Spoken spoken = spoken_of(part);
    std::vector<std::string> known;
    for (const PracticeName& name : names_) known.push_back(name.name);
    const auto found = std::find(known.begin(), known.end(), plain_name(spoken.name));
    if (found == known.end()) {
      const auto nearest = nearest_name(plain_name(spoken.name), known);
      return refuse("no fault is called \"" + spoken.name.substr(0, kShown) + "\"", {},
                    nearest ? "did you mean \"" + *nearest + "\"?" : "see the list of faults that can be named");
    }
    const PracticeName& name = names_[static_cast<std::size_t>(found - known.begin())];
    if (spoken.places.size() > 1) return refuse(name.name + " has one place", {}, "part two faults with a comma");
    const std::string where = spoken.places.empty() ? std::string() : spoken.places.front();
    const bool has_place = std::find(name.places.begin(), name.places.end(), where) != name.places.end();
    if (name.places.empty() ? !where.empty() : !has_place && !(where.empty() && name.name == "joint"))
      return refuse(where.empty() ? name.name + " has no place" : fmt::format("{} cannot be at \"{}\"", name.name, where),
                    name.places.empty() ? "no place" : "one of " + word_list(name.places), {});
    for (const NamedCause& before : moves_.named)
      if (before.name == name.name && before.where == where) return refuse(name.name + " is named twice", {}, "take one out");
    moves_.named.push_back({name.name, where});
  }

  void refuse(std::string what, std::string allowed, std::string mend) {
    problems_.push_back({{{}, 0, 0, where_}, std::move(what), std::move(allowed), std::move(mend)});
  }

  const InstanceNetwork& network_;
  std::vector<std::size_t> rows_;
  std::vector<PracticeName> names_;
  PracticeMoves moves_;
  Problems problems_;
  std::string where_;
};

/// "gas from a cylinder into the coolant".
std::string without_place(std::string text) {
  for (const auto& [with, without] : {std::pair("cylinders {place}", "two cylinders"), std::pair("cylinder {place}", "a cylinder"),
                                      std::pair("head {place}", "a head"), std::pair("bore {place}", "a bore")})
    if (const std::size_t at = text.find(with); at != std::string::npos) text.replace(at, std::string(with).size(), without);
  return text;
}

}  // namespace

std::vector<PracticeName> practice_names(const InstanceNetwork& network) {
  std::vector<PracticeName> names;
  PracticeName joint{"joint", "the joint failed, whichever seal", "seal", {}};
  for (const diagnosis::Location& location : network.layout.locations)
    if (location.scope == "cylinder" || location.scope == "bridge") joint.places.push_back(location.name);
  names.push_back(std::move(joint));
  for (const diagnosis::Cause& cause : network.pattern.causes) {
    if (!can_be_named(cause)) continue;
    std::vector<std::string> places = places_of_cause(network, cause);
    if (places.empty() && network.find(cause.name) < 0) continue;
    const char* group = cause.layer == Layer::kPath ? "seal" : cause.layer == Layer::kRival ? "elsewhere" : "why";
    names.push_back({cause.name, without_place(cause.text), group, std::move(places)});
  }
  return names;
}

Result<PracticeMoves> read_practice_moves(std::string_view text, const InstanceNetwork& network) { return MoveReader(network).read(text); }

}  // namespace headjoint::assess
