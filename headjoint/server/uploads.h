#pragma once

#include <functional>
#include <list>
#include <memory>
#include <mutex>
#include <string>

#include "headjoint/base/document.h"
#include "headjoint/base/spooled_file.h"

namespace headjoint::server {

/// Files that were sent, kept so that the next question about one need not send it again: other options, a closer look. Safe from any
/// thread.
///
/// Few are kept, and none outlives the program: a further one takes the place of the one nobody asked about for longest. The drawing of
/// one recording is kept beside them, the last one's, because it may take 50 MB.
class Uploads {
 public:
  using Window = std::function<Document(double from_s, double to_s, int columns)>;

  struct Upload {
    std::string id;
    std::string name;  ///< as the sender called it
    std::shared_ptr<const SpooledFile> file;
  };

  /// @param most  files kept; >= 1
  explicit Uploads(std::size_t most = 4);

  /// @returns the name to ask by: long and not to be guessed
  [[nodiscard]] std::string add(std::shared_ptr<const SpooledFile> file, std::string name);

  /// @returns the upload, or one without a file when none of that name is kept
  [[nodiscard]] Upload find(const std::string& id);

  /// @returns false when it was not there
  bool drop(const std::string& id);

  /// Keeps the drawing of that upload and lets go of the one before.
  void keep_window(const std::string& id, Window window);

  /// @returns an empty function when the drawing of that upload is not kept any more
  [[nodiscard]] Window window_of(const std::string& id);

 private:
  std::size_t most_;
  std::mutex mutex_;
  std::list<Upload> kept_;  ///< the one asked about last in front
  std::string drawn_;
  Window window_;
};

}  // namespace headjoint::server
