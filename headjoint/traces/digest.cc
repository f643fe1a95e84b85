#include "headjoint/traces/digest.h"

#include <openssl/evp.h>

#include <array>

#include "headjoint/base/error.h"

namespace headjoint::traces {

struct Digest::State {
  std::unique_ptr<EVP_MD_CTX, void (*)(EVP_MD_CTX*)> context{EVP_MD_CTX_new(), &EVP_MD_CTX_free};
};

Digest::Digest() : state_(std::make_unique<State>()) {
  require(EVP_DigestInit_ex(state_->context.get(), EVP_sha256(), nullptr) == 1, "SHA-256 is there");
}
Digest::~Digest() = default;

void Digest::add(std::span<const char> bytes) {
  require(EVP_DigestUpdate(state_->context.get(), bytes.data(), bytes.size()) == 1, "a digest takes bytes until it is asked");
}

std::string Digest::hex() {
  std::array<unsigned char, 32> value{};
  require(EVP_DigestFinal_ex(state_->context.get(), value.data(), nullptr) == 1, "a digest is asked once");
  constexpr const char* kDigits = "0123456789abcdef";
  std::string text;
  for (const unsigned char byte : value) {
    text += kDigits[byte >> 4U];
    text += kDigits[byte & 15U];
  }
  return text;
}

}  // namespace headjoint::traces
