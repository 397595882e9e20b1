#pragma once

#include <memory>
#include <string>
#include <string_view>

#include "serving/exchange.hpp"

namespace earbudget::serving {

class Guard;

/// So many bytes of request line and headers are read. Own choice: some ten times what browsers
/// send.
inline constexpr std::size_t most_head_bytes = std::size_t{32} << 10U;

/// One request of HTTP 1.0 or 1.1 from its first byte to its answer, in whatever pieces it arrives;
/// knows nothing of sockets. What may not ask is refused once its head is there: its body is never
/// read.
class Conversation {
  public:
    Conversation(const Guard& guard, const Answering& answering);
    Conversation(const Conversation&) = delete;
    Conversation& operator=(const Conversation&) = delete;
    ~Conversation();

    /// Takes what arrived; true once the answer can be given.
    [[nodiscard]] bool take(std::string_view bytes);

    /// Whether the guard let it in, which it can once the head is there.
    [[nodiscard]] bool is_admitted() const;

    /// Whether the other side waits to be told to go on before it sends the body; true once.
    [[nodiscard]] bool waits_to_go_on();

    /// The answer, head and body, as it travels. This is what takes time. Where the request is not
    /// whole: that it is not understood.
    [[nodiscard]] std::string answer();

  private:
    class Inside;
    std::unique_ptr<Inside> inside_;
};

}  // namespace earbudget::serving
