#include "headjoint/assess/placed_option.h"

#include <algorithm>
#include <cctype>

#include "headjoint/base/text.h"

namespace headjoint::assess {
namespace {

bool is_place(std::string_view text) {
  return !text.empty() &&
         std::all_of(text.begin(), text.end(), [](char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0 || c == '-'; });
}

/// Where the next part of a list begins: after ";" or after a "," that a place and "=" follow.
std::size_t end_of_part(std::string_view list) {
  for (std::size_t i = 0; i < list.size(); ++i) {
    if (list[i] == ';') return i;
    if (list[i] != ',') continue;
    const std::string_view rest = list.substr(i + 1);
    const std::size_t equals = rest.find('=');
    if (equals != std::string_view::npos && is_place(trimmed(rest.substr(0, equals)))) return i;
  }
  return list.size();
}

PlacedValue placed(std::string_view part) {
  const std::size_t equals = part.find('=');
  if (equals == std::string_view::npos) return {"", std::string(trimmed(part))};
  std::string_view value = trimmed(part.substr(equals + 1));
  if (value.size() >= 2 && value.front() == '"' && value.back() == '"') value = value.substr(1, value.size() - 2);
  return {std::string(trimmed(part.substr(0, equals))), std::string(value)};
}

}  // namespace

std::vector<PlacedValue> placed_values(const Request& request, const std::string& name) {
  std::vector<PlacedValue> values;
  const auto [first, last] = request.options.equal_range(name);
  for (auto option = first; option != last; ++option) {
    std::string_view list = option->second;
    while (!trimmed(list).empty()) {
      const std::size_t end = end_of_part(list);
      values.push_back(placed(list.substr(0, end)));
      list = end < list.size() ? list.substr(end + 1) : std::string_view{};
    }
  }
  return values;
}

std::vector<std::size_t> cylinders_of_place(const std::string& place, std::size_t cylinders) {
  std::vector<std::size_t> indexes;
  for (const std::string_view part : split(place, '-')) {
    const auto number = is_place(trimmed(part)) ? parse_number(part) : std::nullopt;
    if (!number || !(*number >= 1 && *number <= static_cast<double>(cylinders))) return {};
    indexes.push_back(static_cast<std::size_t>(*number) - 1);
  }
  return indexes;
}

}  // namespace headjoint::assess
