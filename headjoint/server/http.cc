#include "headjoint/server/http.h"

#include <algorithm>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/signal_set.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http.hpp>
#include <boost/beast/http/file_body.hpp>
#include <csignal>
#include <mutex>
#include <optional>
#include <span>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"

namespace headjoint::server {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
using boost::system::error_code;
using std::chrono::milliseconds;
using tcp = asio::ip::tcp;
using HeadParser = http::request_parser<http::empty_body>;

constexpr std::size_t kBufferBytes = 64U << 10U;
constexpr std::size_t kFilePiece = 64U << 10U;
constexpr milliseconds kRepeatCancel{20};
constexpr milliseconds kRetryAccept{100};

auto noting(error_code& failure) { return asio::redirect_error(asio::use_awaitable, failure); }

/// One client and where its conversation stands. Touched by the server's thread only.
struct Connection {
  enum class Phase { kIdle, kReading, kAnswering, kWriting };

  Connection(tcp::socket accepted, std::uint64_t its_number)
      : socket(std::move(accepted)), alarm(socket.get_executor()), answered(socket.get_executor()), number(its_number) {}

  void enter(Phase next) {
    phase = next;
    since = std::chrono::steady_clock::now();
  }
  void close() {
    error_code ignored;
    socket.close(ignored);
    answered.cancel();
  }

  tcp::socket socket;
  asio::steady_timer alarm;     ///< of the deadline
  asio::steady_timer answered;  ///< cancelled when the answer is there
  beast::flat_buffer buffer{kBufferBytes};
  std::uint64_t number;
  std::uint64_t request_number = 0;
  std::uint64_t deadline_number = 0;
  bool is_late = false;
  Phase phase = Phase::kIdle;
  std::chrono::steady_clock::time_point since = std::chrono::steady_clock::now();
  std::optional<Response> answer;
};
using ConnectionPointer = std::shared_ptr<Connection>;

/// Cancels, again and again until the deadline ends: one cancel may fall between two reads of the same message.
void wait_for_deadline(const ConnectionPointer& connection, milliseconds after) {
  connection->alarm.expires_after(after);
  connection->alarm.async_wait([connection, number = connection->deadline_number](error_code failure) {
    if (failure || connection->deadline_number != number) return;
    connection->is_late = true;
    error_code ignored;
    connection->socket.cancel(ignored);
    wait_for_deadline(connection, kRepeatCancel);
  });
}

/// While it lives, what the connection does must be done in time.
class Deadline {
 public:
  Deadline(ConnectionPointer connection, milliseconds after) : connection_(std::move(connection)) {
    ++connection_->deadline_number;
    connection_->is_late = false;
    wait_for_deadline(connection_, after);
  }
  ~Deadline() {
    ++connection_->deadline_number;
    connection_->alarm.cancel();
  }
  Deadline(const Deadline&) = delete;
  Deadline& operator=(const Deadline&) = delete;

 private:
  ConnectionPointer connection_;
};

Response refusal(int status, const std::string& detail) {
  const std::string title(status_text(status));
  return {status,
          "application/problem+json",
          R"({"type":"about:blank","title":")" + title + R"(","status":)" + std::to_string(status) + R"(,"detail":")" + detail + "\"}",
          {}};
}

std::string size_text(std::uint64_t bytes) {
  constexpr std::uint64_t kMebi = 1U << 20U, kGibi = 1U << 30U;
  if (bytes >= kGibi) return std::to_string(bytes / kGibi) + " GiB";
  return bytes >= kMebi ? std::to_string(bytes / kMebi) + " MiB" : std::to_string(bytes) + " bytes";
}

/// What to say when reading failed; empty when there is nobody to say it to.
/// @param most  bytes that the body may have
std::optional<Response> refusal_of(const error_code& failure, bool is_late, std::uint64_t most) {
  if (is_late) return refusal(408, "the request did not arrive in time");
  if (failure == http::error::header_limit || failure == http::error::buffer_overflow) return refusal(431, "the header is too long");
  if (failure == http::error::body_limit) return refusal(413, "the body is too large: " + size_text(most) + " at most");
  if (failure == boost::system::errc::device_or_resource_busy) return refusal(503, "other files are coming in; try again in a moment");
  if (failure == boost::system::errc::no_space_on_device) return refusal(507, "the file cannot be kept: is the disk full?");
  if (failure == http::error::end_of_stream || failure == http::error::partial_message) return std::nullopt;
  if (failure.category() == http::make_error_code(http::error::bad_method).category()) return refusal(400, "this is not HTTP/1.1");
  return std::nullopt;
}

/// Everything but the body.
Request head_of(const http::request_header<>& message) {
  Request request;
  request.method = std::string(message.method_string());
  request.target = std::string(message.target());
  for (const auto& field : message) {
    std::string& value = request.headers[lower_case(std::string_view(field.name_string().data(), field.name_string().size()))];
    if (!value.empty()) value += ", ";
    value += std::string_view(field.value().data(), field.value().size());
  }
  return request;
}

tcp::endpoint endpoint_of(const HttpOptions& options) {
  error_code failure;
  const asio::ip::address address = asio::ip::make_address(options.address, failure);
  if (failure) {
    throw EnvironmentError(EnvironmentError::Kind::kConfiguration,
                           "\"" + options.address + "\" is not an address; use one in figures, such as 127.0.0.1");
  }
  return {address, options.port};
}

}  // namespace

class HttpServer::Loop {
 public:
  Loop(HttpOptions options, Handler handler)
      : options_(std::move(options)), handler_(std::move(handler)), acceptor_(io_), signals_(io_), grace_(io_) {
    listen();
    gate_->loop = this;
  }
  ~Loop() {
    const std::lock_guard lock(gate_->mutex);
    gate_->loop = nullptr;
  }
  Loop(const Loop&) = delete;
  Loop& operator=(const Loop&) = delete;

  [[nodiscard]] std::uint16_t port() const { return port_; }

  void run() {
    if (options_.stops_on_signals) {
      signals_.add(SIGINT);
      signals_.add(SIGTERM);
      signals_.async_wait([this](error_code failure, int) {
        if (!failure) begin_stop();
      });
    }
    asio::co_spawn(io_, accept(), [](const std::exception_ptr&) {});
    io_.run();
  }

  void stop() {
    asio::post(io_, [this] { begin_stop(); });
  }

 private:
  /// Lets answers that come from other threads find the loop while it is there.
  struct Gate {
    std::mutex mutex;
    Loop* loop = nullptr;
  };

  void listen() {
    const tcp::endpoint endpoint = endpoint_of(options_);
    error_code failure;
    acceptor_.open(endpoint.protocol(), failure);
    if (!failure) acceptor_.set_option(tcp::acceptor::reuse_address(true), failure);
    if (!failure) acceptor_.bind(endpoint, failure);
    if (!failure) acceptor_.listen(asio::socket_base::max_listen_connections, failure);
    if (failure) {
      const bool is_taken = failure == asio::error::address_in_use;
      throw EnvironmentError(is_taken ? EnvironmentError::Kind::kUnavailable : EnvironmentError::Kind::kConfiguration,
                             "cannot listen on " + options_.address + " port " + std::to_string(options_.port) + ": " +
                                 (is_taken ? "another program does already" : failure.message()));
    }
    port_ = acceptor_.local_endpoint().port();
  }

  asio::awaitable<void> accept() {
    while (acceptor_.is_open()) {
      error_code failure;
      tcp::socket socket = co_await acceptor_.async_accept(noting(failure));
      if (failure == asio::error::operation_aborted) co_return;
      if (failure) {
        asio::steady_timer pause(io_, kRetryAccept);
        co_await pause.async_wait(noting(failure));
        continue;
      }
      if (make_room()) start(std::move(socket));
    }
  }

  void start(tcp::socket socket) {
    error_code ignored;
    socket.set_option(tcp::no_delay(true), ignored);
    const std::uint64_t number = ++last_number_;
    const auto connection = std::make_shared<Connection>(std::move(socket), number);
    connections_[number] = connection;
    asio::co_spawn(io_, serve(connection), [this, number](const std::exception_ptr&) { forget(number); });
  }

  void forget(std::uint64_t number) {
    connections_.erase(number);
    if (is_stopping_ && connections_.empty()) end_stop();
  }

  /// Closes whoever has been silent longest when there are too many; false when everybody is busy.
  bool make_room() {
    using Phase = Connection::Phase;
    if (connections_.size() < options_.limits.connections) return true;
    for (const Phase phase : {Phase::kIdle, Phase::kReading}) {
      auto oldest = connections_.end();
      for (auto it = connections_.begin(); it != connections_.end(); ++it) {
        if (it->second->phase == phase && (oldest == connections_.end() || it->second->since < oldest->second->since)) oldest = it;
      }
      if (oldest == connections_.end()) continue;
      oldest->second->close();
      connections_.erase(oldest);
      return true;
    }
    return false;
  }

  asio::awaitable<void> serve(ConnectionPointer connection) {
    bool goes_on = true;
    while (goes_on && !is_stopping_) goes_on = co_await serve_one(connection);
    connection->close();
  }

  /// One request and its answer. @returns whether another may follow
  asio::awaitable<bool> serve_one(ConnectionPointer connection) {
    if (!co_await first_bytes(connection)) co_return false;
    connection->enter(Connection::Phase::kReading);
    HeadParser parser;
    parser.header_limit(static_cast<std::uint32_t>(options_.limits.header_bytes));
    parser.body_limit(boost::none);
    Request request;
    error_code failure = co_await read_head(connection, parser);
    if (!failure) request = head_of(parser.get());
    const bool has_body = !failure && !parser.is_done();
    const std::uint64_t file_bytes = has_body ? options_.file_bytes(request) : 0;
    const bool is_file = file_bytes > 0;
    const std::uint64_t most = is_file ? std::min(file_bytes, options_.limits.file_bytes) : options_.limits.body_bytes;
    const unsigned version = parser.get().version();
    const bool keeps = parser.get().keep_alive();
    if (has_body && parser.content_length() && *parser.content_length() > most) failure = http::error::body_limit;
    if (has_body && !failure) failure = co_await ask_to_go_on(connection, parser);
    if (has_body && !failure) {
      // Not in one expression: GCC 12 loses a coroutine awaited in a conditional operator.
      if (is_file)
        failure = co_await read_file(connection, parser, request, most);
      else
        failure = co_await read_text(connection, parser, request);
    }
    if (failure) {
      std::optional<Response> refused = refusal_of(failure, connection->is_late, most);
      if (!refused) co_return false;
      co_await write(connection, std::move(*refused), false, 11, false);
      co_await linger(connection);
      co_return false;
    }
    const bool is_head = request.method == "HEAD";
    connection->enter(Connection::Phase::kAnswering);
    Response response = co_await ask(connection, std::move(request));
    const bool goes_on = keeps && !is_stopping_ && response.status != 503;
    co_return co_await write(connection, std::move(response), goes_on, version, is_head) && goes_on;
  }

  asio::awaitable<bool> first_bytes(ConnectionPointer connection) {
    if (connection->buffer.size() > 0) co_return true;
    connection->enter(Connection::Phase::kIdle);
    const Deadline deadline(connection, options_.limits.idle);
    error_code failure;
    const std::size_t count = co_await connection->socket.async_read_some(connection->buffer.prepare(4096), noting(failure));
    connection->buffer.commit(count);
    co_return !failure && count > 0;
  }

  asio::awaitable<error_code> read_head(ConnectionPointer connection, HeadParser& parser) {
    const Deadline deadline(connection, options_.limits.header);
    error_code failure;
    co_await http::async_read_header(connection->socket, connection->buffer, parser, noting(failure));
    co_return failure;
  }

  /// A client that wants to be asked for its body is asked.
  asio::awaitable<error_code> ask_to_go_on(ConnectionPointer connection, HeadParser& head) {
    error_code failure;
    if (!beast::iequals(head.get()[http::field::expect], "100-continue")) co_return failure;
    static constexpr std::string_view kGoOn = "HTTP/1.1 100 Continue\r\n\r\n";
    const Deadline deadline(connection, options_.limits.body);
    co_await asio::async_write(connection->socket, asio::buffer(kGoOn), noting(failure));
    co_return failure;
  }

  asio::awaitable<error_code> read_text(ConnectionPointer connection, HeadParser& head, Request& request) {
    const Deadline deadline(connection, options_.limits.body);
    http::request_parser<http::string_body> parser(std::move(head));
    parser.body_limit(options_.limits.body_bytes);
    error_code failure;
    co_await http::async_read(connection->socket, connection->buffer, parser, noting(failure));
    request.body = std::move(parser.get().body());
    co_return failure;
  }

  /// Piece by piece to disk: memory stays small and a client that is slow but alive is not cut.
  asio::awaitable<error_code> read_file(ConnectionPointer connection, HeadParser& head, Request& request, std::uint64_t most) {
    if (files_coming_ >= options_.limits.files) co_return make_error_code(boost::system::errc::device_or_resource_busy);
    const FileComing coming(files_coming_);
    http::request_parser<http::buffer_body> parser(std::move(head));
    parser.body_limit(most);
    std::shared_ptr<SpooledFile> file = new_file();
    std::vector<char> piece(kFilePiece);
    while (file && !parser.is_done()) {
      parser.get().body().data = piece.data();
      parser.get().body().size = piece.size();
      error_code failure;
      {
        const Deadline deadline(connection, options_.limits.body);
        co_await http::async_read(connection->socket, connection->buffer, parser, noting(failure));
      }
      if (failure && failure != http::error::need_buffer) co_return failure;
      if (!add(*file, {piece.data(), piece.size() - parser.get().body().size})) file = nullptr;
    }
    if (!file) co_return make_error_code(boost::system::errc::no_space_on_device);
    request.file = std::move(file);
    co_return error_code();
  }

  /// Counts a file while it comes.
  class FileComing {
   public:
    explicit FileComing(std::size_t& count) : count_(count) { ++count_; }
    ~FileComing() { --count_; }
    FileComing(const FileComing&) = delete;
    FileComing& operator=(const FileComing&) = delete;

   private:
    std::size_t& count_;
  };

  [[nodiscard]] std::shared_ptr<SpooledFile> new_file() const {
    try {
      return SpooledFile::make(options_.file_folder);
    } catch (const EnvironmentError&) {
      return nullptr;
    }
  }

  static bool add(SpooledFile& file, std::span<const char> bytes) {
    try {
      file.add(bytes);
      return true;
    } catch (const EnvironmentError&) {
      return false;
    }
  }

  asio::awaitable<Response> ask(ConnectionPointer connection, Request request) {
    const std::uint64_t request_number = ++connection->request_number;
    connection->answer.reset();
    connection->answered.expires_after(options_.limits.answer);
    handler_(std::move(request), [gate = gate_, number = connection->number, request_number](Response response) {
      const std::lock_guard lock(gate->mutex);
      Loop* loop = gate->loop;
      if (loop == nullptr) return;
      asio::post(loop->io_, [loop, number, request_number, response = std::move(response)]() mutable {
        loop->deliver(number, request_number, std::move(response));
      });
    });
    error_code ignored;
    co_await connection->answered.async_wait(noting(ignored));
    if (connection->answer) co_return std::move(*connection->answer);
    ++connection->request_number;
    co_return refusal(503, "the answer took too long");
  }

  void deliver(std::uint64_t number, std::uint64_t request_number, Response response) {
    const auto found = connections_.find(number);
    if (found == connections_.end() || found->second->request_number != request_number || found->second->answer) return;
    found->second->answer = std::move(response);
    found->second->answered.cancel();
  }

  template <class Body>
  void fill(http::response<Body>& message, const Response& response, bool goes_on) const {
    message.result(static_cast<unsigned>(response.status));
    message.reason(std::string(status_text(response.status)));
    if (!response.content_type.empty()) message.set(http::field::content_type, response.content_type);
    for (const auto& [name, value] : options_.headers) message.set(name, value);
    for (const auto& [name, value] : response.headers) message.set(name, value);
    message.keep_alive(goes_on);
  }

  /// A file from disk, with a deadline for each piece: a slow line is no reason to cut it.
  asio::awaitable<bool> write_file(ConnectionPointer connection, Response response, bool goes_on, unsigned version) {
    http::response<http::file_body> message{http::status::ok, version};
    fill(message, response, goes_on);
    error_code failure;
    message.body().open(response.file->path().c_str(), beast::file_mode::scan, failure);
    if (failure) co_return false;
    message.prepare_payload();
    http::response_serializer<http::file_body> pieces(message);
    while (!failure && !pieces.is_done()) {
      const Deadline deadline(connection, options_.limits.write);
      co_await http::async_write_some(connection->socket, pieces, noting(failure));
    }
    co_return !failure;
  }

  asio::awaitable<bool> write(ConnectionPointer connection, Response response, bool goes_on, unsigned version, bool is_head) {
    connection->enter(Connection::Phase::kWriting);
    if (response.file && !is_head) co_return co_await write_file(connection, std::move(response), goes_on, version);
    const Deadline deadline(connection, options_.limits.write);
    error_code failure;
    const bool has_no_body = response.status == 204 || response.status == 304;
    if (is_head || has_no_body) {
      http::response<http::empty_body> message{http::status::ok, version};
      fill(message, response, goes_on);
      if (!has_no_body) message.content_length(response.body.size());
      co_await http::async_write(connection->socket, message, noting(failure));
    } else {
      http::response<http::string_body> message{http::status::ok, version};
      fill(message, response, goes_on);
      message.body() = std::move(response.body);
      message.content_length(message.body().size());
      co_await http::async_write(connection->socket, message, noting(failure));
    }
    co_return !failure;
  }

  /// Reads on for a moment after a refusal: a client that is still sending would otherwise never see it.
  asio::awaitable<void> linger(ConnectionPointer connection) {
    const Deadline deadline(connection, options_.limits.linger);
    error_code failure;
    connection->socket.shutdown(tcp::socket::shutdown_send, failure);
    char waste[16384];
    while (!failure && !connection->is_late && !is_stopping_)
      co_await connection->socket.async_read_some(asio::buffer(waste), noting(failure));
  }

  void begin_stop() {
    if (is_stopping_) return;
    is_stopping_ = true;
    error_code ignored;
    acceptor_.close(ignored);
    signals_.cancel(ignored);
    for (const auto& [number, connection] : connections_) {
      if (connection->phase == Connection::Phase::kIdle || connection->phase == Connection::Phase::kReading) connection->close();
    }
    if (connections_.empty()) return end_stop();
    grace_.expires_after(options_.grace);
    grace_.async_wait([this](error_code failure) {
      if (!failure) end_stop();
    });
  }

  void end_stop() {
    grace_.cancel();
    io_.stop();
  }

  HttpOptions options_;
  Handler handler_;
  std::shared_ptr<Gate> gate_ = std::make_shared<Gate>();
  asio::io_context io_{1};
  tcp::acceptor acceptor_;
  asio::signal_set signals_;
  asio::steady_timer grace_;
  std::uint16_t port_ = 0;
  std::uint64_t last_number_ = 0;
  std::size_t files_coming_ = 0;
  std::map<std::uint64_t, ConnectionPointer> connections_;
  bool is_stopping_ = false;
};

HttpServer::HttpServer(HttpOptions options, Handler handler) : loop_(std::make_shared<Loop>(std::move(options), std::move(handler))) {}
HttpServer::~HttpServer() = default;
std::uint16_t HttpServer::port() const { return loop_->port(); }
void HttpServer::run() { loop_->run(); }
void HttpServer::stop() { loop_->stop(); }

}  // namespace headjoint::server
