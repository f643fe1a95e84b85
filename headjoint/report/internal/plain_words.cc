#include "headjoint/report/internal/plain_words.h"

#include <array>

#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

struct Plain {
  std::string_view name;
  std::string_view text;  ///< "{}": the place
};

constexpr std::array kPaths = {
    Plain{"gas_to_coolant", "hot gas{} gets into the cooling water"},
    Plain{"gas_to_neighbour", "burning gas passes{}"},
    Plain{"gas_to_oil", "hot gas{} gets into the engine oil"},
    Plain{"gas_to_outside", "hot gas{} blows out at the edge of the seal"},
    Plain{"coolant_to_cylinder", "cooling water gets into the engine{}"},
    Plain{"coolant_to_outside", "cooling water leaks out at the seal"},
    Plain{"coolant_with_oil", "cooling water and engine oil mix"},
    Plain{"oil_to_outside", "oil leaks out at the seal"},
};

constexpr std::array kChecks = {
    Plain{"compression", "pressure that each cylinder builds up"},
    Plain{"compression_evenness", "all cylinders equally strong"},
    Plain{"leak_down", "air that escapes from each cylinder"},
    Plain{"starter_current", "effort of the starter on each cylinder"},
    Plain{"pressure_hold", "cooling system holds its pressure"},
    Plain{"cold_rise", "no early pressure in the cooling system"},
    Plain{"gas_in_coolant", "no exhaust gas in the cooling water"},
    Plain{"water_in_oil", "no water in the oil"},
    Plain{"warm_up", "warms up in the usual time"},
    Plain{"settled", "stays at the right temperature"},
    Plain{"topped_up", "little water to top up afterwards"},
};

std::string place_words(const std::string& where) {
  if (where.empty()) return {};
  const std::size_t dash = where.find('-');
  if (dash != std::string::npos) return " between cylinders " + where.substr(0, dash) + " and " + where.substr(dash + 1);
  return " of cylinder " + where;
}

std::string_view found(const auto& list, std::string_view name) {
  for (const Plain& one : list)
    if (one.name == name) return one.text;
  return {};
}

}  // namespace

std::string plain_path(const assess::Suspect& path) {
  const std::string_view text = found(kPaths, path.name);
  if (text.empty()) return capitalised(plain_text(path.text));
  const std::size_t at = text.find("{}");
  std::string out(text.substr(0, at));
  if (at != std::string_view::npos) {
    std::string place = place_words(path.where);
    if (path.name == "coolant_to_cylinder" && !path.where.empty()) place = " at cylinder " + path.where;
    out += place + std::string(text.substr(at + 2));
  }
  return capitalised(plain_text(out));
}

std::string plain_verdict(const assess::Finding& finding, bool is_mended) {
  const std::string seal = ": we mean the seal between the upper part of the engine, the cylinder head, and the engine block below it.";
  const double chance = finding.joint_failed.value;
  std::string text;
  if (chance >= 0.6)
    text = std::string(is_mended ? "The seal had " : "The seal has ") + std::string(assess::chance_adverb(chance)) + " failed" + seal;
  else if (chance >= 0.15)
    text = (is_mended ? "It was not certain that the seal had failed" : "It is not settled yet whether the seal has failed") + seal;
  else
    text = std::string(is_mended ? "The seal was " : "The seal is ") + (chance < 0.05 ? "very probably" : "probably") + " sound" + seal;
  if (chance >= 0.15 && !finding.paths.empty() && finding.paths.front().chance.value >= 0.3)
    text += " " + plain_path(finding.paths.front()) + ".";
  if (!finding.rivals.empty() && finding.rivals.front().chance.value >= 0.4)
    text += " Beside it, or instead: " + plain_text(finding.rivals.front().text) + ".";
  return text;
}

std::string plain_check(const std::string& test) { return std::string(found(kChecks, test)); }

}  // namespace headjoint::report
