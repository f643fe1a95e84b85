#include "headjoint/machining/shim_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <vector>

#include "headjoint/base/table_reader.h"
#include "headjoint/base/text.h"
#include "headjoint/joint/figure_file.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::machining {
namespace {

using joint::OptionalFigure;

constexpr double kSlippedPoint = 8;  // times the largest lash allowed: rather a decimal point than a lash
constexpr int kMostOfOne = 999;
const std::vector<std::string> kSides = {"intake", "exhaust"};

/// Limits of one side, from the file or from the engine.
struct SideLimits {
  OptionalFigure<Length> least, most, target;
  OptionalFigure<double> ratio;
  Place place;
};

struct WrittenValve {
  ShimValve valve;
  std::optional<std::size_t> side;
  Place place;
};

class ShimReader {
 public:
  ShimReader(const Document& document, const joint::ReadBeside& read_beside)
      : document_(document), read_beside_(read_beside), reader_(document, {}, problems_) {}

  [[nodiscard]] Result<ShimTask> read();

 private:
  void read_engine_limits();
  void read_side(const std::string& key, SideLimits& side);
  void read_valve(TableReader& reader, WrittenValve& written);
  void read_drawer();
  void read_drawer_entry(TableReader& reader, const Document& node);
  void read_sale();
  void settle_side(std::size_t side);
  void settle_valves();
  void look_at_lash(const WrittenValve& written);

  const Document& document_;
  const joint::ReadBeside& read_beside_;
  Problems problems_;
  TableReader reader_;
  ShimTask task_;
  std::vector<WrittenValve> written_;
  SideLimits sides_[2];
};

/// `engine = "engine.toml"`: the maker's lash, for the side that the file does not give itself.
void ShimReader::read_engine_limits() {
  const Document* node = reader_.find("engine");
  if (node == nullptr) return;
  if (!node->is_text()) {
    reader_.refuse(*node, "engine is " + node->kind_text(), "the path of an engine file in quotes");
    return;
  }
  const auto text = joint::text_beside(reader_, *node, "engine", read_beside_);
  if (!text) return;
  const auto engine = joint::read_engine_text(*text, node->text(), joint::beside(read_beside_, node->text()));
  if (!engine) {
    problems_.insert(problems_.end(), engine.problems().begin(), engine.problems().end());
    return;
  }
  if (!engine->valves) return;
  for (const bool is_intake : {true, false}) {
    const auto& row = is_intake ? engine->valves->intake : engine->valves->exhaust;
    if (row) sides_[is_intake ? 0 : 1] = {row->lash_least, row->lash_most, row->lash, {}, node->place()};
  }
}

void ShimReader::read_side(const std::string& key, SideLimits& side) {
  if (const Document* node = reader_.find(key)) side = {{}, {}, {}, {}, node->place()};
  reader_.table(key, side, [](TableReader& inner, SideLimits& into) {
    joint::figure(inner, "lash_least", into.least, "0 mm", "3 mm");
    joint::figure(inner, "lash_most", into.most, "0 mm", "3 mm");
    joint::figure(inner, "target", into.target, "0 mm", "3 mm");
    joint::figure(inner, "ratio", into.ratio, 0.2, 5);
  });
}

void ShimReader::read_valve(TableReader& reader, WrittenValve& written) {
  written.place = reader.document().place();
  (void)reader.required("name");
  (void)reader.required("side");
  (void)reader.required("shim");
  reader.text("name", written.valve.name);
  reader.choice("side", written.side, kSides);
  OptionalFigure<Length> lash, shim;
  const Document* node = reader.find("lash");
  const bool is_measured = node != nullptr && !(node->is_text() && (trimmed(node->text()).empty() || trimmed(node->text()) == "-"));
  if (is_measured) joint::figure(reader, "lash", lash, "0 mm", "3 mm");
  joint::figure(reader, "shim", shim, "0.1 mm", "20 mm");
  if (lash) written.valve.lash = lash->value;
  if (shim) written.valve.shim = shim->value;
}

/// "2.45 mm", "3 x 2.45 mm" or "3x2.45 mm": no unit of length has an x.
void ShimReader::read_drawer_entry(TableReader& reader, const Document& node) {
  const char* allowed = "a size such as \"2.45 mm\", or \"3 x 2.45 mm\"; 0.1 mm to 20 mm";
  if (!node.is_text()) {
    reader.refuse(node, "a shim of the drawer is " + node.kind_text(), allowed);
    return;
  }
  std::string_view text = trimmed(node.text());
  int count = 1;
  if (const std::size_t cross = text.find('x'); cross != std::string_view::npos) {
    const auto times = parse_number(trimmed(text.substr(0, cross)));
    const bool is_count = times && *times >= 1 && *times <= kMostOfOne && *times == std::floor(*times);
    if (!is_count) {
      reader.refuse(node, fmt::format("\"{}\": how many?", node.text()), allowed);
      return;
    }
    count = static_cast<int>(*times);
    text = trimmed(text.substr(cross + 1));
  }
  const auto size = parse<Length>(text);
  if (!size)
    reader.refuse(node, "a shim of the drawer", size.problems());
  else if (!(size->si() >= 0.1e-3 && size->si() <= 20e-3))
    reader.refuse(node, fmt::format("a shim of the drawer is \"{}\"", text), allowed);
  else
    task_.drawer.insert(task_.drawer.end(), static_cast<std::size_t>(count), *size);
}

void ShimReader::read_drawer() {
  struct Nothing {
  } nothing;
  reader_.table("drawer", nothing, [this](TableReader& inner, Nothing&) {
    if (const Array* shims = inner.list("shims"))
      for (const Document& node : *shims) read_drawer_entry(inner, node);
  });
  constexpr std::size_t kMostDrawer = 5000;
  if (task_.drawer.size() > kMostDrawer)
    reader_.refuse(*document_.find("drawer"), fmt::format("the drawer holds {} shims", task_.drawer.size()), "at most 5000");
}

void ShimReader::read_sale() {
  const Document* node = reader_.find("sale");
  if (node == nullptr) return;
  OptionalFigure<Length> from, to, step;
  struct Nothing {
  } nothing;
  reader_.table("sale", nothing, [&](TableReader& inner, Nothing&) {
    for (const char* key : {"from", "to", "step"}) (void)inner.required(key);
    joint::figure(inner, "from", from, "0.1 mm", "20 mm");
    joint::figure(inner, "to", to, "0.1 mm", "20 mm");
    joint::figure(inner, "step", step, "0.005 mm", "5 mm");
  });
  if (!from || !to || !step) return;
  if (to->value < from->value)
    reader_.refuse(*node, fmt::format("sale: to ({}) is below from ({})", to->text, from->text), "the smallest and the largest size");
  else
    task_.sale = SizesOnSale{from->value, to->value, step->value};
}

/// A side that some valve belongs to must have its limits.
void ShimReader::settle_side(std::size_t side) {
  SideLimits& limits = sides_[side];
  const bool is_used = std::any_of(written_.begin(), written_.end(), [&](const WrittenValve& w) { return w.side == side; });
  if (!is_used) return;
  const auto refuse = [&](const Place& place, std::string what, std::string allowed) {
    problems_.push_back({place.pointer.empty() && place.line == 0 ? document_.place() : place, std::move(what), std::move(allowed), {}});
  };
  if (!limits.least || !limits.most) {
    refuse(limits.place, fmt::format("[{}] has no lash_least and lash_most", kSides[side]),
           "the maker's limits of the lash, here or in the engine file that `engine` names");
    return;
  }
  if (limits.least->value > limits.most->value)
    refuse(limits.most->place,
           fmt::format("[{}]: lash_most ({}) is below lash_least ({})", kSides[side], limits.most->text, limits.least->text), {});
  else if (limits.target && !(limits.least->value <= limits.target->value && limits.target->value <= limits.most->value))
    refuse(limits.target->place, fmt::format("[{}]: the target ({}) lies outside the limits", kSides[side], limits.target->text),
           fmt::format("{} to {}", limits.least->text, limits.most->text));
}

void ShimReader::look_at_lash(const WrittenValve& written) {
  const ShimValve& valve = written.valve;
  if (!valve.lash) return;
  const auto warn = [&](std::string what, std::string mend) {
    problems_.push_back({written.place, std::move(what), {}, std::move(mend), Problem::Severity::kWarning});
  };
  if (valve.lash->si() == 0)
    warn(fmt::format("valve {}: a lash of zero is no reading: the valve may be held open by any amount", valve.name),
         "fit a thinner shim, measure again, and give that shim and that lash");
  else if (*valve.lash > kSlippedPoint * valve.lash_most)
    warn(fmt::format("valve {}: the lash is {} mm, many times its limit", valve.name, number_text(valve.lash->si() * 1e3, 4)),
         "has the decimal point slipped?");
}

void ShimReader::settle_valves() {
  std::set<std::string> names;
  for (WrittenValve& written : written_) {
    ShimValve& valve = written.valve;
    if (!valve.name.empty() && !names.insert(valve.name).second)
      problems_.push_back({written.place, fmt::format("valve \"{}\" is there twice", valve.name), "every valve once", {}});
    if (!written.side) continue;
    const SideLimits& limits = sides_[*written.side];
    if (!limits.least || !limits.most) continue;
    valve.lash_least = limits.least->value;
    valve.lash_most = limits.most->value;
    valve.target = limits.target ? limits.target->value : 0.5 * (valve.lash_least + valve.lash_most);
    if (limits.ratio) valve.lash_per_shim = limits.ratio->value;
    look_at_lash(written);
  }
}

Result<ShimTask> ShimReader::read() {
  int format = 1;
  (void)reader_.required("format");
  reader_.integer("format", format, 1, 1);
  reader_.text("name", task_.name);
  reader_.truth("leave_those_inside", task_.leave_those_inside);
  read_engine_limits();
  read_side("intake", sides_[0]);
  read_side("exhaust", sides_[1]);
  reader_.tables("valve", written_, [this](TableReader& inner, WrittenValve& into) { read_valve(inner, into); });
  read_drawer();
  read_sale();
  reader_.finish();
  constexpr std::size_t kMostValves = 256;
  if (written_.empty() && !has_errors(problems_))
    reader_.refuse(document_, "there is no valve", "one [[valve]] for each: name, side, lash, shim");
  if (written_.size() > kMostValves) reader_.refuse(*document_.find("valve"), "more valves than any engine has", "at most 256");
  for (const std::size_t side : {0, 1}) settle_side(side);
  settle_valves();
  if (has_errors(problems_)) return std::move(problems_);
  for (WrittenValve& written : written_) task_.valves.push_back(std::move(written.valve));
  return Result<ShimTask>(std::move(task_), std::move(problems_));
}

}  // namespace

Result<ShimTask> read_shims(const Document& document, const joint::ReadBeside& read_beside) {
  return ShimReader(document, read_beside).read();
}

bool is_shim_file(const Document& document) {
  const Document* engine = document.find("engine");
  const bool has_engine_of_its_own = engine != nullptr && engine->is_table();
  return !has_engine_of_its_own &&
         (document.find("valve") != nullptr || document.find("drawer") != nullptr || document.find("sale") != nullptr);
}

std::string shim_template(const std::string& name) {
  std::string plain(trimmed(name));
  std::erase_if(plain, [](char c) { return (c >= 0 && c < ' ') || c == '\x7f'; });
  return "format = 1\nname = " + write_json(Document(plain.empty() ? std::string("New shim job") : plain), -1) + "\n" +
         R"toml(# Lash measured, shims fitted, the drawer and what can be bought: `headjoint shims FILE` says which shim goes where.
# Measure cold, with the cam's lobe away from the valve. "-" = not measured: that valve keeps its shim.
# engine = "engine.toml"          # the maker's limits from there, instead of [intake] and [exhaust]
# leave_those_inside = true       # valves inside their limits keep their shims

# One line for each valve. Names are yours.
valve = [
  { name = "1 intake", side = "intake", lash = "0.25 mm", shim = "2.45 mm" },
  { name = "1 exhaust", side = "exhaust", lash = "0.31 mm", shim = "2.50 mm" },
]

[intake]                          # the maker's limits
lash_least = "0.17 mm"
lash_most = "0.23 mm"
target = "0.20 mm"                # the middle when not given
# ratio = 1.0                     # lash lost for each mm of shim: 1 under a bucket

[exhaust]
lash_least = "0.27 mm"
lash_most = "0.33 mm"

[drawer]
shims = ["2.40 mm", "2 x 2.50 mm"]

[sale]                            # sizes that can be bought; leave it out when there are none
from = "2.00 mm"
to = "3.00 mm"
step = "0.05 mm"
)toml";
}

}  // namespace headjoint::machining
