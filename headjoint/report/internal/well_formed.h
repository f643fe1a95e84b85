#pragma once

#include <cctype>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

/// A small reader of XML for the tests of this module.
namespace headjoint::report::xml {

struct Element {
  std::string name;
  std::map<std::string, std::string> attributes;
  std::string text;  ///< directly inside, entities resolved
  int depth = 0;
};

struct Reading {
  std::string problem;  ///< empty when well formed
  std::vector<Element> elements;
};

/// Reads one document: balanced tags, quoted attributes given once, known entities only, ids given once, no stray < or &.
/// @par Source  W3C, Extensible Markup Language (XML) 1.0, fifth edition, 2.1, 2.4, 3.1, 4.1 (rules from memory)
class Reader {
 public:
  explicit Reader(std::string_view text) : text_(text) {}

  Reading read() {
    if (text_.starts_with("<!DOCTYPE html>")) at_ = 15;
    while (at_ < text_.size() && out_.problem.empty()) {
      if (text_[at_] == '<') {
        tag();
      } else {
        characters();
      }
    }
    if (out_.problem.empty() && !open_.empty()) fail("not closed: " + out_.elements[open_.back()].name);
    return out_;
  }

 private:
  void fail(const std::string& what) {
    if (out_.problem.empty()) out_.problem = what + " near \"" + std::string(text_.substr(at_ > 40 ? at_ - 40 : 0, 80)) + "\"";
    at_ = text_.size();
  }

  std::string resolved(std::string_view raw) {
    static const std::map<std::string, std::string, std::less<>> kEntities = {
        {"amp", "&"}, {"lt", "<"}, {"gt", ">"}, {"quot", "\""}, {"#39", "'"}};
    std::string out;
    for (std::size_t i = 0; i < raw.size(); ++i) {
      const auto c = static_cast<unsigned char>(raw[i]);
      if (c < 0x20 && c != '\n' && c != '\t') fail("control character");
      if (raw[i] == '<') fail("stray <");
      if (raw[i] != '&') {
        out += raw[i];
        continue;
      }
      const auto end = raw.find(';', i);
      const auto entity = end == std::string_view::npos ? kEntities.end() : kEntities.find(raw.substr(i + 1, end - i - 1));
      if (entity == kEntities.end()) {
        fail("unknown entity");
        return out;
      }
      out += entity->second;
      i = end;
    }
    return out;
  }

  void characters() {
    const auto end = std::min(text_.find('<', at_), text_.size());
    const std::string text = resolved(text_.substr(at_, end - at_));
    if (!out_.problem.empty()) return;
    if (open_.empty() && text.find_first_not_of(" \n") != std::string::npos) return fail("text outside");
    if (!open_.empty()) out_.elements[open_.back()].text += text;
    at_ = end;
  }

  std::string name() {
    std::string out;
    while (at_ < text_.size() && (std::isalnum(static_cast<unsigned char>(text_[at_])) != 0 || text_[at_] == '-')) out += text_[at_++];
    return out;
  }

  void blanks() {
    while (at_ < text_.size() && (text_[at_] == ' ' || text_[at_] == '\n')) ++at_;
  }

  void tag() {
    ++at_;
    if (at_ < text_.size() && text_[at_] == '/') return closing_tag();
    Element element;
    element.name = name();
    if (element.name.empty()) return fail("no name");
    for (blanks(); at_ < text_.size() && text_[at_] != '>' && text_[at_] != '/'; blanks()) {
      if (!attribute(element)) return;
    }
    const bool is_empty = text_.substr(at_, 2) == "/>";
    if (!is_empty && text_.substr(at_, 1) != ">") return fail("tag not ended");
    at_ += is_empty ? 2 : 1;
    element.depth = static_cast<int>(open_.size());
    if (open_.empty() && !out_.elements.empty()) return fail("two roots");
    out_.elements.push_back(element);
    if (!is_empty) open_.push_back(out_.elements.size() - 1);
    // The meaning of the sheet's text is for CSS; it only must not hold markup.
    if (!is_empty && element.name == "style") at_ = std::min(text_.find("</style>", at_), text_.size());
  }

  bool attribute(Element& element) {
    const std::string key = name();
    if (key.empty() || text_.substr(at_, 2) != "=\"") return fail("attribute without value"), false;
    at_ += 2;
    const auto end = text_.find('"', at_);
    if (end == std::string_view::npos) return fail("attribute not ended"), false;
    const std::string value = resolved(text_.substr(at_, end - at_));
    if (!out_.problem.empty()) return false;
    at_ = end + 1;
    if (!element.attributes.emplace(key, value).second) return fail("attribute twice"), false;
    if (key == "id" && !ids_.insert(value).second) return fail("id twice"), false;
    return true;
  }

  void closing_tag() {
    ++at_;
    const std::string closed = name();
    if (open_.empty() || out_.elements[open_.back()].name != closed || text_.substr(at_, 1) != ">")
      return fail("wrong closing tag " + closed);
    open_.pop_back();
    ++at_;
  }

  std::string_view text_;
  std::size_t at_ = 0;
  Reading out_;
  std::vector<std::size_t> open_;
  std::set<std::string> ids_;
};

inline Reading read(std::string_view text) { return Reader(text).read(); }

}  // namespace headjoint::report::xml
