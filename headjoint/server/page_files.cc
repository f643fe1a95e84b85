#include "headjoint/server/page_files.h"

#include <sys/stat.h>

#include <cstdint>
#include <cstdio>

#include "headjoint/base/error.h"
#include "headjoint/base/file.h"
#include "headjoint/base/text.h"

namespace headjoint::server {
namespace {

constexpr std::string_view kNotBuilt =
    "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>headjoint</title><h1>headjoint is running</h1>"
    "<p>The page was not built into this program. The operations answer under /api/v1/.</p></html>";

/// Fowler, Noll and Vo's 64-bit hash, variant 1a: enough to tell one content from the next.
std::string entity_tag(std::string_view bytes) {
  std::uint64_t hash = 0xcbf29ce484222325U;
  for (const char byte : bytes) hash = (hash ^ static_cast<unsigned char>(byte)) * 0x100000001b3U;
  char text[20];
  std::snprintf(text, sizeof text, "\"%016llx\"", static_cast<unsigned long long>(hash));
  return text;
}

bool takes_gzip(const Request& request) {
  for (const std::string_view coding : split(request.header("accept-encoding"), ',')) {
    const std::string wanted = lower_case(trimmed(coding));
    if (wanted == "gzip") return true;
    if (wanted.starts_with("gzip;")) return wanted.find("q=0") == std::string::npos || wanted.find("q=0.") != std::string::npos;
  }
  return false;
}

bool is_file(const std::string& path) {
  struct stat status {};
  return ::stat(path.c_str(), &status) == 0 && S_ISREG(status.st_mode);
}

}  // namespace

PageFiles::PageFiles(std::span<const EmbeddedFile> embedded, std::string folder) : folder_(std::move(folder)) {
  for (const EmbeddedFile& file : embedded) embedded_.emplace(file.path, file.content());
}

bool PageFiles::read(const std::string& name, std::string& bytes) const {
  if (folder_.empty()) {
    const auto found = embedded_.find(name);
    if (found != embedded_.end()) bytes = found->second;
    return found != embedded_.end();
  }
  const std::string path = folder_ + "/" + name;
  if (!is_file(path)) return false;
  bytes = read_file(path);
  return true;
}

PageFiles::Content PageFiles::find(const std::string& name, bool takes_gzip) const {
  Content content;
  if (takes_gzip && read(name + ".gz", content.bytes)) {
    content.is_packed = true;
    content.is_found = true;
  } else {
    content.is_found = read(name, content.bytes);
  }
  return content;
}

Response PageFiles::answer(const Request& request, std::string_view path) const {
  const std::string name = path == "/" ? "index.html" : std::string(path.substr(1));
  Content content = find(name, takes_gzip(request));
  if (!content.is_found && name == "index.html" && embedded_.empty() && folder_.empty()) {
    return {200, "text/html; charset=utf-8", std::string(kNotBuilt), {{"Cache-Control", "no-cache"}}};
  }
  if (!content.is_found) {
    std::string unused;
    const bool is_only_packed = read(name + ".gz", unused);
    return {
        is_only_packed ? 406 : 404, "text/plain; charset=utf-8", is_only_packed ? "sent packed with gzip only\n" : "no such file\n", {}};
  }
  const std::string tag = entity_tag(content.bytes);
  Response response{200, std::string(content_type_of(name)), {}, {{"ETag", tag}, {"Vary", "Accept-Encoding"}}};
  response.headers.emplace_back("Cache-Control",
                                name.starts_with("assets/") && folder_.empty() ? "public, max-age=31536000, immutable" : "no-cache");
  if (request.header("if-none-match") == tag) {
    response.status = 304;
    return response;
  }
  if (content.is_packed) response.headers.emplace_back("Content-Encoding", "gzip");
  response.body = std::move(content.bytes);
  return response;
}

std::string_view content_type_of(std::string_view path) {
  static constexpr std::pair<std::string_view, std::string_view> kTypes[] = {{".html", "text/html; charset=utf-8"},
                                                                             {".js", "text/javascript; charset=utf-8"},
                                                                             {".css", "text/css; charset=utf-8"},
                                                                             {".svg", "image/svg+xml"},
                                                                             {".json", "application/json; charset=utf-8"},
                                                                             {".webmanifest", "application/manifest+json"},
                                                                             {".woff2", "font/woff2"},
                                                                             {".png", "image/png"},
                                                                             {".ico", "image/x-icon"},
                                                                             {".txt", "text/plain; charset=utf-8"}};
  for (const auto& [ending, type] : kTypes) {
    if (path.ends_with(ending)) return type;
  }
  return "application/octet-stream";
}

}  // namespace headjoint::server
