#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/jobs/document_store.h"

namespace headjoint::jobs {

/// Photographs that belong to a job or an engine. None is ever removed: what is put away lies in a bin.
/// Every function throws EnvironmentError when the store itself fails.
class PhotoStore {
 public:
  /// A picture as it is kept: encoded by this program, nothing but pixels in it.
  struct Picture {
    std::string bytes;
    std::string type;  ///< "image/jpeg"
    int width = 0;
    int height = 0;
  };

  struct PhotoRow {
    std::string id;
    std::string document;  ///< the job or engine
    std::string caption;
    std::string type;
    int width = 0;
    int height = 0;
    std::size_t bytes = 0;
    std::string added_at;
    std::string who;
    std::string binned_at;  ///< empty unless it lies in the bin
  };

  virtual ~PhotoStore() = default;
  PhotoStore() = default;
  PhotoStore(const PhotoStore&) = delete;
  PhotoStore& operator=(const PhotoStore&) = delete;
  PhotoStore(PhotoStore&&) = delete;
  PhotoStore& operator=(PhotoStore&&) = delete;

  /// Keeps a picture with a document that is there. @param change  its note is the caption
  [[nodiscard]] virtual PhotoRow add_photo(const std::string& document, const Picture& picture, const DocumentStore::Change& change) = 0;

  /// In the order they were added.
  [[nodiscard]] virtual std::vector<PhotoRow> photos(const std::string& document, bool in_bin) = 0;

  /// Also of what lies in the bin; empty for an unknown id.
  [[nodiscard]] virtual std::optional<PhotoRow> photo_row(const std::string& id) = 0;
  [[nodiscard]] virtual std::optional<Picture> photo(const std::string& id) = 0;

  /// @returns the row as it is now; empty for an unknown id
  [[nodiscard]] virtual std::optional<PhotoRow> set_caption(const std::string& id, const std::string& caption) = 0;
  [[nodiscard]] virtual std::optional<PhotoRow> set_photo_binned(const std::string& id, bool binned) = 0;
};

}  // namespace headjoint::jobs
