#pragma once

#include <string>

#include "headjoint/jobs/document_store.h"
#include "headjoint/server/router.h"
#include "headjoint/server/workbench.h"

namespace headjoint::server::internal {

/// The routes of one kind of kept document, jobs or engines: list, keep, change, undo, history, bin, copy, files, photographs.
class DocumentRoutes {
 public:
  /// @param parts must outlive this
  DocumentRoutes(const WorkbenchParts& parts, jobs::DocumentStore::Kind kind);

  /// Adds them below /api/v1/jobs or /api/v1/engines; this must outlive the router.
  void add_to(Router& router) const;

 private:
  using Stored = jobs::DocumentStore::Stored;
  using Outcome = jobs::DocumentStore::Outcome;
  using Change = jobs::DocumentStore::Change;

  [[nodiscard]] Response list(const RoutedRequest& routed) const;
  [[nodiscard]] Response create(const RoutedRequest& routed) const;
  [[nodiscard]] Response get(const RoutedRequest& routed) const;
  [[nodiscard]] Response put(const RoutedRequest& routed) const;
  [[nodiscard]] Response undo(const RoutedRequest& routed) const;
  [[nodiscard]] Response redo(const RoutedRequest& routed) const;
  [[nodiscard]] Response revert(const RoutedRequest& routed) const;
  [[nodiscard]] Response history(const RoutedRequest& routed) const;
  [[nodiscard]] Response remove(const RoutedRequest& routed) const;
  [[nodiscard]] Response restore(const RoutedRequest& routed) const;
  [[nodiscard]] Response copy(const RoutedRequest& routed) const;
  [[nodiscard]] Response export_file(const RoutedRequest& routed) const;
  [[nodiscard]] Response import_file(const RoutedRequest& routed) const;

  [[nodiscard]] Response list_photos(const RoutedRequest& routed) const;
  [[nodiscard]] Response add_photo(const RoutedRequest& routed) const;
  [[nodiscard]] Response get_photo(const RoutedRequest& routed) const;
  [[nodiscard]] Response put_photo(const RoutedRequest& routed) const;
  [[nodiscard]] Response bin_photo(const RoutedRequest& routed, bool binned) const;

  void add_document_routes(Router& router) const;
  void add_photo_routes(Router& router) const;

  /// @throws Refusal 404
  [[nodiscard]] Stored stored(const RoutedRequest& routed) const;
  /// Of this document. @throws Refusal 404
  [[nodiscard]] jobs::PhotoStore::PhotoRow photo_row(const RoutedRequest& routed) const;
  [[nodiscard]] Response created(const Stored& stored) const;
  [[nodiscard]] Response whole_or_refusal(const Outcome& outcome, const RoutedRequest& routed) const;
  [[nodiscard]] jobs::DocumentStore& store() const { return *parts_.store; }

  const WorkbenchParts& parts_;
  jobs::DocumentStore::Kind kind_;
  std::string noun_;  ///< "job"
  std::string base_;  ///< "/api/v1/jobs"
};

}  // namespace headjoint::server::internal
