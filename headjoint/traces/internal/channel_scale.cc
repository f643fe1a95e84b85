#include "headjoint/traces/internal/channel_scale.h"

#include "headjoint/base/text.h"
#include "headjoint/traces/internal/unit_words.h"

namespace headjoint::traces {
namespace {

Problem bad_option(const std::string& option, const std::string& what, const std::string& allowed) {
  return {{{}, 0, 0, "--" + option}, what, allowed, {}};
}

/// A probe was named: numbers are volts.
Result<ChannelScale> through_probe(const ChannelWish& wish, const std::string& unit, Quantity wanted) {
  const auto volts = unit.empty() ? unit_word("V") : unit_word(unit);
  if (!volts || volts->quantity != Quantity::kVoltage)
    return bad_option("scale", "a scale is given, but the channel is already in " + unit, "no scale, or a channel in V or mV");
  const auto factor = per_volt(wish.scale, wanted);
  if (!factor) {
    return bad_option("scale", "the scale \"" + wish.scale + "\" does not turn volts into " + wish.unit,
                      "such as \"10 mV/" + wish.unit + "\" or \"100 " + wish.unit + "/V\"");
  }
  return ChannelScale{volts->factor * *factor, 0, wish.unit, {}};
}

std::string only_ratios(const std::string& what) { return what + ": only ratios within the trace mean something"; }

}  // namespace

Result<ChannelScale> table_scale(const ChannelWish& wish, const std::string& header_unit) {
  const std::string unit = header_unit.empty() ? wish.given_unit : header_unit;
  if (wish.unit.empty()) return ChannelScale{1, 0, unit, {}};
  const auto wanted = unit_word(wish.unit);
  require(wanted.has_value(), "a channel is wanted in a unit that is known");
  if (!wish.given_unit.empty() && !unit_word(wish.given_unit))
    return bad_option("unit", "the unit \"" + wish.given_unit + "\" is not known", units_of(wanted->quantity));
  if (!wish.scale.empty()) return through_probe(wish, unit, wanted->quantity);
  if (unit.empty()) return ChannelScale{1, 0, "", only_ratios("the header names no unit (--unit says it)")};
  const auto given = unit_word(unit);
  if (!given) return ChannelScale{1, 0, "", only_ratios("the unit \"" + unit + "\" is not known")};
  if (given->quantity == wanted->quantity) return ChannelScale{given->factor, given->offset, wish.unit, {}};
  const std::string other = wanted_unit(given->quantity);
  return ChannelScale{given->factor, given->offset, other,
                      only_ratios("the channel is in " + other + ", not in " + wish.unit + " (--scale says what the probe gives)")};
}

Result<ChannelScale> sound_scale(const ChannelWish& wish) {
  if (wish.full_scale.empty()) {
    if (!wish.scale.empty())
      return bad_option("full-scale", "a sound file holds no volts, so the scale alone does not tell the values",
                        "what its greatest sample stands for, such as \"5 V\"");
    return ChannelScale{1, 0, "", wish.unit.empty() ? "" : only_ratios("a sound file names no unit (--full-scale says it)")};
  }
  const std::string_view text = trimmed(wish.full_scale);
  const std::size_t digits = text.find_last_of("0123456789");
  const auto number = parse_number(trimmed(text.substr(0, digits == std::string_view::npos ? 0 : digits + 1)));
  const auto unit = digits == std::string_view::npos ? std::nullopt : unit_word(text.substr(digits + 1));
  if (!number || !(*number > 0) || !unit)
    return bad_option("full-scale", "\"" + wish.full_scale + "\" is not a quantity", "such as \"5 V\"");
  ChannelWish plain = wish;
  plain.full_scale.clear();
  Result<ChannelScale> scale = table_scale(plain, wanted_unit(unit->quantity));
  if (!scale) return scale;
  ChannelScale result = *scale;
  result.factor *= *number * unit->factor;
  return result;
}

}  // namespace headjoint::traces
