#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "files/open_file.hpp"

namespace earbudget::files {

/// Looks for another FLAC file inside one, which decoders pass over, in what is read of it anyway:
/// to read all of it once more would take as long as to hash it.
class FlacInside {
  public:
    /// From this position on.
    explicit FlacInside(std::uint64_t begin) : next_(begin) {}

    /// Bytes of the file from a position on; those that do not go on from the ones before are left
    /// for later.
    void look_at(std::uint64_t at, std::string_view bytes);

    /// Where it begins, once what nobody has read is read too; none where there is none. Throws
    /// CannotRead.
    [[nodiscard]] std::optional<std::uint64_t> begin_in(const OpenFile& file);

  private:
    void look_in(std::uint64_t at, std::string_view bytes);

    std::uint64_t next_;  // all before was looked at, but for a marker that goes on from here
    std::string before_;  // the last bytes, in which one may begin
    std::optional<std::uint64_t> found_;
};

}  // namespace earbudget::files
