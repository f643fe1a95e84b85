#pragma once

#include <initializer_list>
#include <map>
#include <memory>
#include <string>
#include <string_view>

#include "headjoint/assess/operation.h"
#include "headjoint/base/document.h"

/// What a request carries, read strictly: all problems at once.
namespace headjoint::server::internal {

/// A refusal that a route throws instead of answering.
class Refusal {
 public:
  Refusal(int its_status, std::string its_detail, Problems its_problems = {})
      : status(its_status), detail(std::move(its_detail)), problems(std::move(its_problems)) {}
  int status;
  std::string detail;
  Problems problems;
};

/// The body as a table with no other keys than these.
/// @throws Refusal 400 when it is not JSON, 422 when it is no table or a key is not known
[[nodiscard]] Document read_body(const std::string& body, std::initializer_list<std::string_view> keys);

/// The member that must be a table: a job document.
/// @throws Refusal 422
[[nodiscard]] Document document_in(const Document& body, const char* key);

/// The same tree as an input of its own: pointers start below `pointer`, places name `source`.
[[nodiscard]] Document standing_alone(Document document, const std::string& pointer, const std::string& source);

/// What {"input", "source", "options"} asks of an operation.
/// @param stream  a file that was sent, instead of "input", or null pointer
/// @throws Refusal 422
[[nodiscard]] assess::Request operation_request(const assess::Operation& operation, const Document& body,
                                                std::shared_ptr<ByteSource> stream = nullptr);

/// The same body from the words of an address: ?source=cranking.wav&kind=starter-current. What is no key of a body is an option; given
/// several times it makes a list.
[[nodiscard]] Document body_of_query(const std::multimap<std::string, std::string>& query);

}  // namespace headjoint::server::internal
