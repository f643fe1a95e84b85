#pragma once

#include <string>

#include "headjoint/assess/operation.h"
#include "headjoint/server/router.h"
#include "headjoint/server/workbench.h"

namespace headjoint::server::internal {

/// The shop's own documents by their names, a copy of everything, and bringing one back.
class ShopRoutes {
 public:
  /// @param parts must outlive this
  explicit ShopRoutes(const WorkbenchParts& parts) : parts_(parts) {}

  /// This must outlive the router.
  void add_to(Router& router) const;

  /// Gives an operation the kept documents that it can use and that the request did not send.
  void attach_to(const assess::Operation& operation, assess::Request& request) const;

  /// Which revisions of them it would be given: "/prices:3/learnt:0"; "" when it can use none.
  [[nodiscard]] std::string revisions_for(const assess::Operation& operation) const;

 private:
  [[nodiscard]] Response list(const RoutedRequest& routed) const;
  [[nodiscard]] Response get(const RoutedRequest& routed) const;
  [[nodiscard]] Response put(const RoutedRequest& routed) const;
  [[nodiscard]] Response undo(const RoutedRequest& routed) const;
  [[nodiscard]] Response redo(const RoutedRequest& routed) const;
  [[nodiscard]] Response revert(const RoutedRequest& routed) const;
  [[nodiscard]] Response history(const RoutedRequest& routed) const;
  [[nodiscard]] Response health(const RoutedRequest& routed) const;
  [[nodiscard]] Response backup(const RoutedRequest& routed) const;
  [[nodiscard]] Response restore(const RoutedRequest& routed) const;

  /// Whether that option takes a document which the shop keeps.
  [[nodiscard]] bool is_kept(const assess::OptionSpec& option) const;
  /// @throws Refusal 404 with the names that are known
  [[nodiscard]] const ShopDocument& named(const RoutedRequest& routed) const;
  [[nodiscard]] Response whole_or_refusal(const jobs::DocumentStore::Outcome& outcome, const RoutedRequest& routed) const;

  const WorkbenchParts& parts_;
};

}  // namespace headjoint::server::internal
