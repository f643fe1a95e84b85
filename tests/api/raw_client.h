#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <chrono>
#include <cstdint>
#include <string>
#include <string_view>

namespace headjoint::server {

/// A socket that says exactly what it is told: for requests that no decent client would send.
class RawClient {
 public:
  explicit RawClient(std::uint16_t port) : socket_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_port = htons(port);
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    is_open_ = ::connect(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0;
  }
  ~RawClient() { ::close(socket_); }
  RawClient(const RawClient&) = delete;
  RawClient& operator=(const RawClient&) = delete;

  [[nodiscard]] bool is_open() const { return is_open_; }

  /// @returns false when the other side has closed
  bool send(std::string_view text) {
    while (!text.empty()) {
      pollfd ready{socket_, POLLOUT, 0};
      if (::poll(&ready, 1, 5000) <= 0) return false;
      const ssize_t count = ::send(socket_, text.data(), text.size(), MSG_NOSIGNAL | MSG_DONTWAIT);
      if (count < 0) return false;
      text.remove_prefix(static_cast<std::size_t>(count));
    }
    return true;
  }

  /// What comes until the other side closes, or until `patience` has passed without a word.
  std::string receive_all(std::chrono::milliseconds patience = std::chrono::milliseconds(5000)) {
    std::string all;
    while (receive_some(all, patience)) {
    }
    return all;
  }

  /// One answer with its body, by its Content-Length.
  std::string receive_one(std::chrono::milliseconds patience = std::chrono::milliseconds(5000)) {
    std::string all;
    for (;;) {
      const std::size_t end = all.find("\r\n\r\n");
      if (end != std::string::npos) {
        const std::size_t length = all.find("Content-Length: ");
        const std::size_t body = length < end ? std::stoul(all.substr(length + 16)) : 0;
        if (all.size() >= end + 4 + body) return all;
      }
      if (!receive_some(all, patience)) return all;
    }
  }

  [[nodiscard]] bool was_closed() const { return was_closed_; }

 private:
  bool receive_some(std::string& all, std::chrono::milliseconds patience) {
    pollfd ready{socket_, POLLIN, 0};
    if (::poll(&ready, 1, static_cast<int>(patience.count())) <= 0) return false;
    char buffer[16384];
    const ssize_t count = ::recv(socket_, buffer, sizeof buffer, 0);
    was_closed_ = count <= 0;
    if (count > 0) all.append(buffer, static_cast<std::size_t>(count));
    return count > 0;
  }

  int socket_;
  bool is_open_ = false;
  bool was_closed_ = false;
};

/// 200 of "HTTP/1.1 200 OK"; 0 when there was no answer.
inline int status_of(std::string_view answer) {
  if (!answer.starts_with("HTTP/1.1 ") || answer.size() < 12) return 0;
  return (answer[9] - '0') * 100 + (answer[10] - '0') * 10 + (answer[11] - '0');
}

}  // namespace headjoint::server
