#pragma once

#include <cstdint>
#include <string>

#include <sndfile.h>

#include "files/open_file.hpp"

namespace earbudget::files {

/// The part of a file that a decoder is shown, in a form that it understands.
struct ShownBytes {
    std::uint64_t begin = 0;
    std::uint64_t end = 0;
    /// Shown in the place of what the file has from `begin` and this position on.
    std::uint64_t replaced_at = 0;
    std::string replaced_by = {};
};

/// An open file's bytes as libsndfile asks for them.
class SoundBytes {
  public:
    /// The file must outlive this.
    SoundBytes(const OpenFile& file, ShownBytes shown);

    /// Null on failure, as sf_open; the handle must be closed before this object goes.
    [[nodiscard]] SNDFILE* open(SF_INFO& info);

    /// Why the system did not give bytes that it was asked for; empty where it gave them all.
    [[nodiscard]] const std::string& failure() const { return failure_; }

  private:
    static sf_count_t length(void* self);
    static sf_count_t seek(sf_count_t offset, int whence, void* self);
    static sf_count_t read(void* buffer, sf_count_t count, void* self);
    static sf_count_t write(const void* buffer, sf_count_t count, void* self);
    static sf_count_t tell(void* self);

    void replace(char* bytes, sf_count_t count) const;

    const OpenFile& file_;
    ShownBytes shown_;
    sf_count_t length_;
    sf_count_t position_ = 0;
    std::string failure_;
};

}  // namespace earbudget::files
