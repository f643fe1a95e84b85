#include <algorithm>
#include <array>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/server/internal/body.h"
#include "headjoint/server/internal/document_routes.h"
#include "headjoint/server/internal/kept_document.h"
#include "headjoint/server/internal/replies.h"

/// Photographs of a job or an engine.
namespace headjoint::server::internal {
namespace {

using PhotoRow = jobs::PhotoStore::PhotoRow;

constexpr std::uint64_t kLargestPhoto = 24U << 20U;
constexpr std::size_t kLongestCaption = 400;  // bytes
constexpr std::array<std::string_view, 2> kPhotoTypes{"image/jpeg", "image/png"};

/// Nothing in a picture may ever run.
const char* const kPhotoPolicy = "default-src 'none'; sandbox; frame-ancestors 'none'";

Document row_document(const PhotoRow& row) {
  Document document = Table{{"id", row.id},         {"caption", row.caption}, {"type", row.type},         {"width", row.width},
                            {"height", row.height}, {"bytes", row.bytes},     {"added_at", row.added_at}, {"who", row.who}};
  if (!row.binned_at.empty()) document.set("binned_at", row.binned_at);
  return document;
}

std::string usable_caption(const std::string& caption) {
  if (caption.size() > kLongestCaption)
    throw Refusal(422, "the request cannot be used as it is", {{{{}, 0, 0, "/caption"}, "the caption is too long", "up to 400 bytes", {}}});
  return std::string(trimmed(caption));
}

std::string bytes_of(const Request& request) {
  if (!request.file) return request.body;
  std::string bytes(request.file->size(), '\0');
  if (request.file->open()->read(bytes) != bytes.size())
    throw EnvironmentError(EnvironmentError::Kind::kInputOutput, "the photograph cannot be read back");
  return bytes;
}

void require_picture_type(const Request& request) {
  const std::string& header = request.header("content-type");
  const std::string type = lower_case(trimmed(std::string_view(header).substr(0, header.find(';'))));
  if (std::find(kPhotoTypes.begin(), kPhotoTypes.end(), type) == kPhotoTypes.end())
    throw Refusal(415, "a photograph must be a JPEG or PNG picture; this is " + (type.empty() ? "of no named kind" : "\"" + type + "\""));
}

}  // namespace

void DocumentRoutes::add_photo_routes(Router& router) const {
  const std::string photos = base_ + "/{id}/photos";
  const std::string one = photos + "/{photo}";
  router.add({"GET", photos, [this](const RoutedRequest& routed) { return list_photos(routed); }, WorkedBy::kReader, {}});
  router.add({.method = "POST",
              .pattern = photos,
              .answer = [this](const RoutedRequest& routed) { return add_photo(routed); },
              .worked_by = WorkedBy::kSolver,
              .takes = {},
              .takes_files = true,
              .file_bytes = kLargestPhoto});
  router.add({"GET", one, [this](const RoutedRequest& routed) { return get_photo(routed); }, WorkedBy::kReader, {}});
  router.add({"PUT", one, [this](const RoutedRequest& routed) { return put_photo(routed); }, WorkedBy::kStore, "application/json"});
  router.add({"DELETE", one, [this](const RoutedRequest& routed) { return bin_photo(routed, true); }, WorkedBy::kStore, {}});
  router.add({"POST", one + "/restore", [this](const RoutedRequest& routed) { return bin_photo(routed, false); }, WorkedBy::kStore, {}});
}

PhotoRow DocumentRoutes::photo_row(const RoutedRequest& routed) const {
  std::optional<PhotoRow> row = parts_.photos->photo_row(routed.parts.at("photo"));
  if (!row || row->document != routed.parts.at("id")) throw Refusal(404, "there is no such photograph with this " + noun_);
  return std::move(*row);
}

Response DocumentRoutes::list_photos(const RoutedRequest& routed) const {
  (void)stored(routed);
  Array rows;
  for (const PhotoRow& row : parts_.photos->photos(routed.parts.at("id"), routed.query_value("bin") == "true"))
    rows.push_back(row_document(row));
  return json_reply(Table{{"photos", std::move(rows)}});
}

Response DocumentRoutes::add_photo(const RoutedRequest& routed) const {
  require_picture_type(routed.request);
  const Stored owner = stored(routed);
  if (!owner.binned_at.empty()) return refused_reply({Outcome::Status::kBinned, owner}, noun_, owner.id, "document");
  const Change change = change_in(routed, usable_caption(routed.query_value("caption")));
  const Result<jobs::PhotoStore::Picture> picture = parts_.reencode_photo(bytes_of(routed.request));
  if (!picture) throw Refusal(422, "the photograph cannot be used", picture.problems());
  return json_reply(row_document(parts_.photos->add_photo(owner.id, *picture, change)), 201);
}

Response DocumentRoutes::get_photo(const RoutedRequest& routed) const {
  const PhotoRow row = photo_row(routed);
  const std::string tag = "\"" + row.id + "\"";
  Response response{304, {}, {}, {}};
  if (routed.request.header("if-none-match") != tag) {
    std::optional<jobs::PhotoStore::Picture> picture = parts_.photos->photo(row.id);
    if (!picture) throw Refusal(404, "there is no such photograph");
    response = attachment(std::move(picture->bytes), picture->type, "photo-" + row.id + (row.type == "image/png" ? ".png" : ".jpg"));
  }
  response.headers.emplace_back("ETag", tag);
  response.headers.emplace_back("Cache-Control", "private, max-age=31536000, immutable");
  response.headers.emplace_back("Content-Security-Policy", kPhotoPolicy);
  return response;
}

Response DocumentRoutes::put_photo(const RoutedRequest& routed) const {
  const PhotoRow row = photo_row(routed);
  const Document body = read_body(routed.request.body, {"caption"});
  const Document* caption = body.find("caption");
  if (caption == nullptr || !caption->is_text())
    throw Refusal(422, "the request cannot be used as it is", {{{{}, 0, 0, "/caption"}, "the caption is missing or no text", "text", {}}});
  return json_reply(row_document(parts_.photos->set_caption(row.id, usable_caption(caption->text())).value_or(row)));
}

Response DocumentRoutes::bin_photo(const RoutedRequest& routed, bool binned) const {
  const PhotoRow row = photo_row(routed);
  return json_reply(row_document(parts_.photos->set_photo_binned(row.id, binned).value_or(row)));
}

}  // namespace headjoint::server::internal
