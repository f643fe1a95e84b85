#include "headjoint/report/internal/finding_words.h"

#include <algorithm>
#include <cctype>
#include <cmath>

#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/breach_lines.h"
#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

/// Whether the text has the place as a word of its own.
bool names_place(std::string_view text, std::string_view where) {
  const auto is_inside = [&](std::size_t at) { return at < text.size() && std::isalnum(static_cast<unsigned char>(text[at])) != 0; };
  for (std::size_t at = text.find(where); at != std::string_view::npos; at = text.find(where, at + 1)) {
    if (!(at > 0 && is_inside(at - 1)) && !is_inside(at + where.size())) return true;
  }
  return false;
}

std::string joined(const std::string& a, const std::string& b) { return a.empty() || b.empty() ? a + b : a + " " + b; }

}  // namespace

std::string sentence(const std::string& text) {
  std::string out = capitalised(plain_text(text));
  if (!out.empty() && std::string_view(".!?").find(out.back()) == std::string_view::npos) out += '.';
  return out;
}

std::string counted(std::ptrdiff_t number, const std::string& noun) {
  return std::to_string(number) + " " + noun + (number == 1 ? "" : "s");
}

std::string range_text(const assess::Chance& chance) {
  const std::string low = chance_text(chance.low);
  const std::string high = chance_text(chance.high);
  const bool has_sign = low.find_first_of("<>") != std::string::npos || high.find_first_of("<>") != std::string::npos;
  return low + (has_sign ? " to " : "–") + high;
}

std::string place_text(const assess::NextCheck& check) {
  if (check.where.empty() || names_place(check.text, check.where)) return {};
  if (check.where.find('-') != std::string::npos) return "bridge " + plain_text(check.where);
  return (check.check.find("_face") != std::string::npos ? "head " : "cylinder ") + plain_text(check.where);
}

std::string check_title(const assess::NextCheck& check) {
  const std::string place = place_text(check);
  return capitalised(plain_text(check.text)) + (place.empty() ? "" : ", " + place);
}

std::string status_text(const std::string& status) {
  if (status == "done") return {};
  if (status == "impossible")
    return "Together these observations cannot come from any fault in the model: at least one of them must be wrong. Look at the conflicts "
           "first.";
  if (status == "inaccurate") return "The calculation lost too many digits: do not use these numbers.";
  if (status == "too large") return "The engine's network is too large to be computed exactly: there are no chances to show.";
  return "The finding was not computed (" + (status.empty() ? std::string("not run") : plain_text(status)) + "): do not use these numbers.";
}

std::vector<assess::Suspect> worth_showing(const std::vector<assess::Suspect>& suspects, std::size_t least) {
  std::vector<assess::Suspect> out;
  for (const assess::Suspect& suspect : suspects) {
    if (out.size() < least || suspect.chance.value >= kLeastListedChance) out.push_back(suspect);
  }
  return out;
}

std::vector<assess::RepairOption> worth_showing(const std::vector<assess::RepairOption>& options) {
  std::vector<assess::RepairOption> out;
  for (const assess::RepairOption& option : options) {
    if (option.is_advised || option.chance >= kLeastListedChance) out.push_back(option);
  }
  return out;
}

std::vector<WeightGroup> grouped(const std::vector<assess::Weight>& weights, std::size_t most) {
  std::vector<WeightGroup> groups;
  for (std::size_t i = 0; i < std::min(most, weights.size()); ++i) {
    const auto same = [&](const WeightGroup& group) { return group.about == weights[i].about; };
    auto group = std::find_if(groups.begin(), groups.end(), same);
    if (group == groups.end()) group = groups.insert(groups.end(), WeightGroup{weights[i].about, {}});
    group->weights.push_back(weights[i]);
  }
  return groups;
}

std::string caution_message(const assess::Caution& caution) {
  return joined(joined(sentence(caution.hazard), sentence(caution.consequence)), sentence(caution.avoid));
}

std::string caution_text(const assess::Caution& caution) { return plain_text(caution.level) + ": " + caution_message(caution); }

std::string duration_text(double minutes) {
  if (!std::isfinite(minutes)) return "n/a";
  const std::string sign = minutes < -0.5 ? "-" : "";
  const auto whole = static_cast<long long>(std::llround(std::min(std::abs(minutes), 1e9)));
  if (whole < 120) return sign + std::to_string(whole) + " min";
  const std::string rest = whole % 60 == 0 ? "" : " " + std::to_string(whole % 60) + " min";
  return sign + std::to_string(whole / 60) + " h" + rest;
}

std::string decision_words(const std::string& decision) {
  if (decision == "pass") return "within the limit";
  if (decision == "fail") return "out of limit";
  if (decision == "undecided") return "undecided: the limit lies inside the uncertainty";
  return plain_text(decision);
}

}  // namespace headjoint::report
