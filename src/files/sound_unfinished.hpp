#pragma once

#include <cstdint>
#include <fstream>
#include <string>

#include <sndfile.h>

namespace earbudget::files {

/// A WAV file whose header still says that it holds no samples, because its recorder streamed or
/// was switched off: read as if the header said that they reach to the end of the file, which
/// libsndfile understands.
class UnfinishedWav {
  public:
    /// `data_begin` is the position of the first sample; the four bytes before are its size.
    UnfinishedWav(const std::string& path, std::uint64_t data_begin);

    /// Null on failure, as sf_open; the handle must be closed before this object goes.
    [[nodiscard]] SNDFILE* open(SF_INFO& info);

  private:
    static sf_count_t length(void* self);
    static sf_count_t seek(sf_count_t offset, int whence, void* self);
    static sf_count_t read(void* buffer, sf_count_t count, void* self);
    static sf_count_t write(const void* buffer, sf_count_t count, void* self);
    static sf_count_t tell(void* self);

    std::ifstream stream_;
    sf_count_t size_field_;
    sf_count_t length_ = 0;
    sf_count_t position_ = 0;
};

}  // namespace earbudget::files
