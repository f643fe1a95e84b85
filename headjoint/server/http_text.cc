#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <filesystem>
#include <optional>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/server/http.h"

namespace headjoint::server {
namespace {

int hex_value(char digit) {
  if (digit >= '0' && digit <= '9') return digit - '0';
  if (digit >= 'a' && digit <= 'f') return digit - 'a' + 10;
  if (digit >= 'A' && digit <= 'F') return digit - 'A' + 10;
  return -1;
}

std::optional<std::string> decoded(std::string_view text, bool plus_is_blank) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '+' && plus_is_blank) {
      out += ' ';
    } else if (text[i] != '%') {
      out += text[i];
    } else {
      if (i + 2 >= text.size()) return std::nullopt;
      const int high = hex_value(text[i + 1]);
      const int low = hex_value(text[i + 2]);
      if (high < 0 || low < 0) return std::nullopt;
      out += static_cast<char>(high * 16 + low);
      i += 2;
    }
  }
  if (!is_utf8(out) || out.find('\0') != std::string::npos) return std::nullopt;
  return out;
}

bool is_plain_path(std::string_view path) {
  if (path.empty() || path.front() != '/') return false;
  const auto is_control = [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f || c == '\\'; };
  if (std::any_of(path.begin(), path.end(), is_control)) return false;
  const std::vector<std::string_view> parts = split(path.substr(1), '/');
  return std::none_of(parts.begin(), parts.end(), [](std::string_view part) { return part == "." || part == ".."; });
}

}  // namespace

const std::string& Request::header(const std::string& name) const {
  static const std::string kNotSent;
  const auto found = headers.find(name);
  return found == headers.end() ? kNotSent : found->second;
}

std::pair<Target, bool> read_target(std::string_view target) {
  const std::size_t mark = target.find('?');
  const std::optional<std::string> path = decoded(target.substr(0, mark), false);
  if (!path || !is_plain_path(*path)) return {{}, false};
  Target out{*path, {}};
  if (mark == std::string_view::npos) return {out, true};
  for (const std::string_view pair : split(target.substr(mark + 1), '&')) {
    if (pair.empty()) continue;
    const std::size_t equals = pair.find('=');
    const std::optional<std::string> name = decoded(pair.substr(0, equals), true);
    const std::optional<std::string> value = decoded(equals == std::string_view::npos ? "" : pair.substr(equals + 1), true);
    if (!name || !value) return {{}, false};
    out.query.emplace(*name, *value);
  }
  return {out, true};
}

std::shared_ptr<const PassingFile> PassingFile::named(const std::string& folder, const std::string& stem) {
  static std::atomic<unsigned> count = 0;
  const std::filesystem::path place = folder.empty() ? std::filesystem::temp_directory_path() : std::filesystem::path(folder);
  std::error_code error;
  std::filesystem::create_directories(place, error);
  if (error) throw EnvironmentError(EnvironmentError::Kind::kInputOutput, place.string() + ": " + error.message());
  const std::string name = stem + "-" + std::to_string(::getpid()) + "-" + std::to_string(count++);
  return std::shared_ptr<const PassingFile>(new PassingFile((place / name).string()));
}

PassingFile::~PassingFile() {
  std::error_code ignored;
  std::filesystem::remove(path_, ignored);
}

std::optional<std::string> percent_decoded(std::string_view text) { return decoded(text, false); }

std::string_view status_text(int status) {
  switch (status) {
    case 200:
      return "OK";
    case 201:
      return "Created";
    case 204:
      return "No Content";
    case 304:
      return "Not Modified";
    case 400:
      return "Bad Request";
    case 403:
      return "Forbidden";
    case 404:
      return "Not Found";
    case 405:
      return "Method Not Allowed";
    case 406:
      return "Not Acceptable";
    case 408:
      return "Request Timeout";
    case 409:
      return "Conflict";
    case 410:
      return "Gone";
    case 412:
      return "Precondition Failed";
    case 413:
      return "Content Too Large";
    case 415:
      return "Unsupported Media Type";
    case 421:
      return "Misdirected Request";
    case 422:
      return "Unprocessable Content";
    case 428:
      return "Precondition Required";
    case 431:
      return "Request Header Fields Too Large";
    case 500:
      return "Internal Server Error";
    case 501:
      return "Not Implemented";
    case 503:
      return "Service Unavailable";
    case 507:
      return "Insufficient Storage";
    default:
      return "Status";
  }
}

}  // namespace headjoint::server
