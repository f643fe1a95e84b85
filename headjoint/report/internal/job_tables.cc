#include "headjoint/report/internal/job_tables.h"

#include <algorithm>

#include "headjoint/jobs/job_file.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/paper_parts.h"

namespace headjoint::report {
namespace {

constexpr std::size_t kLongestDate = 24;  // characters

/// "rough_start" as people read it: "rough start".
std::string spoken(std::string name) {
  std::replace(name.begin(), name.end(), '_', ' ');
  return name;
}

std::string joined(const std::vector<std::string>& items, const std::string& between) {
  std::string out;
  for (const std::string& item : items) {
    if (!item.empty()) out += (out.empty() ? "" : between) + item;
  }
  return out;
}

std::string value_text(const jobs::ReadingValue& value) {
  switch (value.kind) {
    case jobs::ReadingValue::Kind::kNotTaken:
      return "not taken";
    case jobs::ReadingValue::Kind::kInaccessible:
      return "inaccessible";
    case jobs::ReadingValue::Kind::kPressure:
      return value.text.empty() ? fixed(value.pressure.bar(), 2) + " bar" : value.text;
    case jobs::ReadingValue::Kind::kLoss:
      return value.text.empty() ? fixed(100 * value.loss, 0) + " %" : value.text;
  }
  return "";
}

/// What a test taken once, or bolt by bolt, shows.
std::string single_text(const jobs::Reading& reading) {
  std::vector<std::string> parts;
  if (reading.start && reading.end && reading.duration)
    parts.push_back(reading.start->text + " to " + reading.end->text + " in " + reading.duration->text);
  if (reading.carbon_dioxide) parts.push_back("carbon dioxide " + reading.carbon_dioxide->text);
  if (reading.hydrocarbons_ppm) parts.push_back("hydrocarbons " + fixed(reading.hydrocarbons_ppm->value, 0) + " ppm");
  if (reading.water) parts.push_back("water " + reading.water->text);
  for (std::size_t i = 0; i < reading.torques.size(); ++i) parts.push_back(std::to_string(i + 1) + ": " + reading.torques[i].text);
  return joined(parts, "; ");
}

std::string values_text(const jobs::Reading& reading) {
  if (reading.values.empty()) return single_text(reading);
  std::string out;
  for (std::size_t i = 0; i < reading.values.size(); ++i)
    out += (i == 0 ? "" : "; ") + std::to_string(i + 1) + ": " + value_text(reading.values[i]);
  return out;
}

std::string circumstances(const jobs::Reading& reading) {
  const auto named = [](const std::string& name, const std::string& text) { return text.empty() ? "" : name + " " + text; };
  std::vector<std::string> parts = {named("engine", reading.engine), named("plugs", reading.plugs), named("throttle", reading.throttle),
                                    named("piston", reading.piston)};
  if (reading.supply) parts.push_back(named("supply", reading.supply->text));
  if (reading.orifice) parts.push_back(named("orifice", reading.orifice->text));
  if (reading.resolution) parts.push_back(named("gauge steps of", reading.resolution->text));
  if (reading.strokes) parts.push_back(std::to_string(*reading.strokes) + " strokes");
  parts.push_back(reading.note);
  if (!reading.counts()) parts.push_back("does not count: " + reading.void_reason);
  return joined(parts, ", ");
}

std::string signs_table(const jobs::Job& job) {
  HtmlTable table("Signs looked for", {{"sign"}, {"where"}, {"state"}, {"note"}});
  for (const jobs::Sign& sign : job.signs)
    table.row({spoken(sign.name), sign.where.empty() ? "engine" : sign.where, spoken(sign.state), sign.note});
  return table.is_empty() ? "" : table.html();
}

std::string decisions_table(const jobs::Job& job) {
  HtmlTable table("Decisions", {{"what"}, {"why"}, {"when"}});
  for (const jobs::Decision& decision : job.decisions) table.row({spoken(decision.what), decision.why, decision.when});
  return table.is_empty() ? "" : table.html();
}

}  // namespace

std::string readings_as_taken(const jobs::Job& job) {
  HtmlTable table("As taken",
                  {{"test", false, true}, {"values as typed, by cylinder or bolt"}, {"circumstances"}, {"tool"}, {"taken", false, true}});
  for (const jobs::Reading& reading : job.readings) {
    const std::string test = spoken(std::string(jobs::name_of(reading.test)));
    table.row({test, values_text(reading), circumstances(reading), reading.tool, shortened(reading.taken, kLongestDate)});
  }
  return table.is_empty() ? "" : table.html();
}

std::string job_part(const jobs::Job& job) {
  HtmlTable table("As given", {{"entry"}, {"text"}});
  const auto add = [&](const std::string& name, const std::string& text) {
    if (!text.empty()) table.row({name, text});
  };
  add("owner", job.owner);
  add("mechanic", job.mechanic);
  add("opened", job.opened);
  add("mileage", job.history.mileage);
  if (job.history.outside_temperature) add("outside temperature", job.history.outside_temperature->text);
  if (job.history.ambient_pressure) add("air pressure", job.history.ambient_pressure->text);
  std::vector<std::string> facts;
  for (const std::string& fact : job.history.facts) facts.push_back(spoken(fact));
  add("history", joined(facts, ", "));
  add("notes", job.history.notes);
  add("head", job.head_off ? "off" : "on");
  return section("Job") + table.html() + signs_table(job) + decisions_table(job);
}

}  // namespace headjoint::report
