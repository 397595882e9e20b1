#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>

#include "sessions/exposure_record.hpp"

namespace earbudget::sessions {

/// A record longer than this is refused unread (own choice; one run has some 3 kB).
inline constexpr std::size_t longest_record = std::size_t{1} << 20U;

/// The record as one line of JSON, from which every double reads back exactly.
[[nodiscard]] std::string json_of(const ExposureRecord& record);

/// The record of such a text; none where it is damaged: no JSON, a member missing or of another
/// kind, a number outside what such numbers can be. Nothing of it is believed then.
[[nodiscard]] std::optional<ExposureRecord> read_record(std::string_view json);

/// Records by their texts, each read once: runs alike have the same text. Keeps at most so many,
/// then begins anew, so that memory stays bounded; whoever holds a record keeps it.
class RecordCache {
  public:
    /// Null where the text is damaged.
    [[nodiscard]] SharedRecord read(std::string_view json);

  private:
    static constexpr std::size_t most = 256;  // own choice
    std::unordered_map<std::string, SharedRecord> known_;
};

}  // namespace earbudget::sessions
