#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "headjoint/base/spooled_file.h"

/// Our own small face of HTTP. The library behind it is known to http.cc alone.
namespace headjoint::server {

/// One request, read whole.
struct Request {
  std::string method;                          ///< "GET"
  std::string target;                          ///< as sent: "/api/v1/new-job?cylinders=4"
  std::map<std::string, std::string> headers;  ///< names in lower case; a header sent twice is joined with ", "
  std::string body;
  std::shared_ptr<const SpooledFile> file;  ///< instead of `body`, where HttpOptions::file_bytes says so

  /// The header's value, or "" when it was not sent. @param name in lower case
  [[nodiscard]] const std::string& header(const std::string& name) const;
};

/// A file on disk that goes away with the last who holds it.
class PassingFile {
 public:
  /// A name nobody uses yet; the file itself is made by whoever writes it. @param folder  made when it is missing
  [[nodiscard]] static std::shared_ptr<const PassingFile> named(const std::string& folder, const std::string& stem);
  ~PassingFile();
  PassingFile(const PassingFile&) = delete;
  PassingFile& operator=(const PassingFile&) = delete;
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  explicit PassingFile(std::string path) : path_(std::move(path)) {}
  std::string path_;
};

struct Response {
  int status = 200;
  std::string content_type;
  std::string body;
  std::vector<std::pair<std::string, std::string>> headers;  ///< take the place of the server's own of the same name
  std::shared_ptr<const PassingFile> file = nullptr;         ///< sent instead of `body`, piece by piece
};

/// Gives the answer. May be called on any thread, at most once; calls after the server stopped do nothing.
using Respond = std::function<void(Response)>;

/// Called on the server's thread for every request: must not block. Must not throw.
using Handler = std::function<void(Request, Respond)>;

/// What a client may cost. The product's values; tests set shorter times.
struct Limits {
  std::size_t header_bytes = 16U << 10U;      ///< more: 431
  std::size_t body_bytes = 8U << 20U;         ///< more: 413
  std::uint64_t file_bytes = 2U << 30U;       ///< of a body that is a file; more: 413
  std::size_t files = 4;                      ///< coming at the same time; a further one: 503
  std::chrono::milliseconds header{10'000};   ///< from the first byte to the end of the header: 408
  std::chrono::milliseconds body{30'000};     ///< 408; for a file: each 64 KiB of it
  std::chrono::milliseconds answer{120'000};  ///< for the handler: 503
  std::chrono::milliseconds write{30'000};    ///< the connection is cut
  std::chrono::milliseconds idle{60'000};     ///< between requests: closed without a word, as browsers expect
  std::chrono::milliseconds linger{2'000};    ///< after a refusal, so that the client can read it
  std::size_t connections = 512;              ///< a further one takes the place of the one idle longest, else it is closed
};

struct HttpOptions {
  std::string address = "127.0.0.1";
  std::uint16_t port = 0;  ///< 0: any free one
  Limits limits;
  std::vector<std::pair<std::string, std::string>> headers;  ///< sent with every answer that does not set them itself
  /// How many bytes the body of such a request, read as far as its head, may have as a file on disk; 0: it is no file. On the server's
  /// thread, must not throw.
  std::function<std::uint64_t(const Request& head)> file_bytes = [](const Request&) { return 0; };
  std::string file_folder;                 ///< for such files, which have no name in it; "" takes the system's folder for temporary files
  bool stops_on_signals = false;           ///< SIGINT and SIGTERM call stop()
  std::chrono::milliseconds grace{5'000};  ///< after stop(): how long answers under way may take
};

/// HTTP/1.1 on one thread. Prints nothing.
class HttpServer {
 public:
  /// Binds and listens; connections wait until run().
  /// @throws EnvironmentError kUnavailable when the address is taken, kConfiguration when it is no address of this machine
  HttpServer(HttpOptions options, Handler handler);
  ~HttpServer();
  HttpServer(const HttpServer&) = delete;
  HttpServer& operator=(const HttpServer&) = delete;

  [[nodiscard]] std::uint16_t port() const;

  /// Serves until stop(); call once.
  void run();

  /// Takes no new connections, lets answers under way finish, makes run() return. Any thread, any number of times.
  void stop();

 private:
  class Loop;
  std::shared_ptr<Loop> loop_;
};

/// A request target taken apart.
struct Target {
  std::string path;  ///< decoded; starts with '/', has no "." or ".." part, no NUL, no control character, no backslash
  std::multimap<std::string, std::string> query;
};

/// @returns the parts, or false in `second` when the target must be refused: bad percent sign, a part that climbs, not UTF-8
[[nodiscard]] std::pair<Target, bool> read_target(std::string_view target);

/// Percent signs undone. @returns nothing when one is bad, or when the text is not UTF-8 or holds NUL
[[nodiscard]] std::optional<std::string> percent_decoded(std::string_view text);

/// The usual words of a status: 404 "Not Found".
[[nodiscard]] std::string_view status_text(int status);

}  // namespace headjoint::server
