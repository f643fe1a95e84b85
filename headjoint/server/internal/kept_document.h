#pragma once

#include <string>

#include "headjoint/jobs/document_store.h"
#include "headjoint/server/router.h"

/// What routes of kept documents have in common: who asks, on which revision, and how states and outcomes look on the wire.
namespace headjoint::server::internal {

using jobs::DocumentStore;

/// Who changes, under which save id, with which note: headers Headjoint-Who and Headjoint-Save-Id.
/// @throws Refusal 422 when one cannot be used
[[nodiscard]] DocumentStore::Change change_in(const RoutedRequest& routed, std::string note = {});

/// The member "note" of a body. @throws Refusal 422
[[nodiscard]] std::string note_in(const Document& body);

/// The member "revision" of a body. @throws Refusal 422
[[nodiscard]] int revision_in(const Document& body);

/// @throws Refusal 428 without If-Match, 400 when it holds no revision
[[nodiscard]] int expected_revision(const RoutedRequest& routed);

/// A whole number of the query. @throws Refusal 422 outside the range
[[nodiscard]] int number_in_query(const RoutedRequest& routed, const std::string& name, int otherwise, int least, int most);

/// id, revision, time, who, what undo and redo would do; `binned_at` when it lies in the bin.
[[nodiscard]] Document stamp(const DocumentStore::Stored& stored);

/// A table as an answer, with a member more that is JSON already.
[[nodiscard]] Response reply_with_json(const Document& head, const std::string& key, const std::string& json, int status = 200);

/// The stamp, with the revision as tag.
[[nodiscard]] Response stamp_reply(const DocumentStore::Stored& stored, int status = 200);

/// Stamp and content, with the revision as tag; 304 when the client has it. @param key  "document" or "text"
[[nodiscard]] Response whole_reply(const DocumentStore::Stored& stored, const std::string& key, const Request& request);

/// The outcome of a change that was refused, as an answer. @param noun  "job"
[[nodiscard]] Response refused_reply(const DocumentStore::Outcome& outcome, const std::string& noun, const std::string& id,
                                     const std::string& key);

/// Revisions with their differences. @param routed  its query: limit, before
[[nodiscard]] Document history_document(DocumentStore& store, DocumentStore::Kind kind, const std::string& id, const RoutedRequest& routed);

/// A file to keep, never shown in the page.
[[nodiscard]] Response attachment(std::string bytes, std::string type, const std::string& name);

}  // namespace headjoint::server::internal
