#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <unordered_set>

#include "headjoint/base/document.h"
#include "headjoint/base/text.h"

namespace headjoint {
namespace {

using nlohmann::json;

constexpr std::size_t kDeepest = 64;
constexpr std::size_t kMostProblems = 200;
constexpr std::size_t kLongestDetail = 200;
constexpr std::size_t kMostKeys = 10'000;        // in one table
constexpr std::size_t kMostValues = 500'000;     // in one text: a short text must not take all memory
constexpr std::size_t kMostPlaces = 64U << 20U;  // bytes of all pointers together

/// Builds the tree from parser events, so that a key given twice and too deep nesting are seen where they stand.
class TreeBuilder : public json::json_sax_t {
 public:
  TreeBuilder(std::string_view text, std::string source) : text_(text), source_(std::move(source)) {}

  bool null() override { return add(Document()); }
  bool boolean(bool value) override { return add(Document(value)); }
  bool number_integer(number_integer_t value) override { return add(Document(static_cast<std::int64_t>(value))); }
  bool number_unsigned(number_unsigned_t value) override {
    if (value > static_cast<number_unsigned_t>(INT64_MAX)) return add(Document(static_cast<double>(value)));
    return add(Document(static_cast<std::int64_t>(value)));
  }
  bool number_float(number_float_t value, const string_t&) override { return add(Document(value)); }
  bool string(string_t& value) override { return add(Document(std::move(value))); }
  bool binary(binary_t&) override { return false; }
  bool start_object(std::size_t) override { return open(Document(Table{})); }
  bool start_array(std::size_t) override { return open(Document(Array{})); }
  bool end_object() override { return close(); }
  bool end_array() override { return close(); }
  bool key(string_t& name) override {
    if (!open_.back().keys.insert(name).second && problems_.size() < kMostProblems) {
      const std::string shown = name.substr(0, kLongestDetail);
      problems_.push_back({{source_, 0, 0, pointer() + "/" + shown}, "the key \"" + shown + "\" is given twice", {}, "keep one of them"});
    }
    open_.back().key = std::move(name);
    return open_.back().keys.size() <= kMostKeys || give_up("more than " + std::to_string(kMostKeys) + " keys in one table");
  }
  bool parse_error(std::size_t position, const std::string&, const nlohmann::detail::exception& error) override {
    const std::string_view before = text_.substr(0, std::min(position == 0 ? 0 : position - 1, text_.size()));
    const auto line = static_cast<int>(std::count(before.begin(), before.end(), '\n')) + 1;
    const std::size_t start = before.rfind('\n');
    const auto column = static_cast<int>(start == std::string_view::npos ? before.size() + 1 : before.size() - start);
    std::string what = error.what();
    if (const std::size_t detail = what.find("syntax error"); detail != std::string::npos) what = what.substr(detail);
    if (what.size() > kLongestDetail) what = what.substr(0, kLongestDetail) + "...";
    problems_.push_back({{source_, line, column, {}}, "not JSON: " + what, {}, {}});
    return false;
  }

  Document root;
  Problems problems_;

 private:
  struct Open {
    Document node;
    std::string key;                            ///< of the member being read, when node is a table
    std::unordered_set<std::string> keys = {};  ///< all so far
  };

  std::string pointer() const {
    std::string path;
    for (const Open& open : open_) path += "/" + (open.node.is_table() ? open.key : std::to_string(open.node.array().size()));
    return path;
  }

  bool add(Document node) {
    if (node.place().pointer.empty() && node.place().source.empty()) set_place(node);
    if (open_.empty())
      root = std::move(node);
    else if (open_.back().node.is_table())
      open_.back().node.table().emplace_back(open_.back().key, std::move(node));
    else
      open_.back().node.append(std::move(node));
    if (places_ > kMostPlaces) return give_up("long keys around too many values");
    return ++count_ <= kMostValues || give_up("more than " + std::to_string(kMostValues) + " values");
  }

  bool open(Document node) {
    if (open_.size() >= kDeepest) return give_up("nested deeper than " + std::to_string(kDeepest) + " levels");
    set_place(node);
    open_.push_back({std::move(node), {}});
    return true;
  }

  bool close() {
    Document node = std::move(open_.back().node);
    open_.pop_back();
    return add(std::move(node));
  }

  void set_place(Document& node) {
    node.set_place({source_, 0, 0, pointer()});
    places_ += node.place().pointer.size();
  }

  bool give_up(std::string what) {
    problems_.push_back({{source_, 0, 0, {}}, std::move(what), {}, {}});
    return false;
  }

  std::string_view text_;
  std::string source_;
  std::vector<Open> open_;
  std::size_t count_ = 0;
  std::size_t places_ = 0;
};

nlohmann::ordered_json to_json(const Document& document) {
  return std::visit(
      [](const auto& value) -> nlohmann::ordered_json {
        using T = std::decay_t<decltype(value)>;
        if constexpr (std::is_same_v<T, Array>) {
          auto list = nlohmann::ordered_json::array();
          for (const Document& item : value) list.push_back(to_json(item));
          return list;
        } else if constexpr (std::is_same_v<T, Table>) {
          auto object = nlohmann::ordered_json::object();
          for (const auto& [key, member] : value) object.emplace(key, to_json(member));
          return object;
        } else if constexpr (std::is_same_v<T, double>) {
          if (!std::isfinite(value)) return nullptr;
          return value;
        } else {
          return value;
        }
      },
      document.value());
}

}  // namespace

Result<Document> read_json(std::string_view text, const std::string& source) {
  if (!is_utf8(text)) return Problem{{source, 0, 0, {}}, "this is not UTF-8 text", {}, "save the file in UTF-8"};
  if (trimmed(text).empty()) return Problem{{source, 0, 0, {}}, "the input is empty", "a JSON object", {}};
  TreeBuilder builder(text, source);
  json::sax_parse(text, &builder);
  if (has_errors(builder.problems_)) return std::move(builder.problems_);
  return std::move(builder.root);
}

std::string write_json(const Document& document, int indent) {
  return to_json(document).dump(indent, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

}  // namespace headjoint
