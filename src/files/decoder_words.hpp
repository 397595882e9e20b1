#pragma once

#include <cstdio>
#include <mutex>
#include <string>

namespace earbudget::files {

/// While it lives, what a library says on standard error is kept instead.
///
/// The decoder of MPEG sound tells of some damage in no other way. `stderr` is a variable in the
/// GNU C library ("Standard Streams" in its manual), which is set and set back: descriptor 2 stays
/// what it is. Of several threads one at a time can have it; none of this program's writes to
/// standard error while recordings are read.
class DecoderWords {
  public:
    /// Throws std::bad_alloc, as first_line does.
    DecoderWords();
    DecoderWords(const DecoderWords&) = delete;
    DecoderWords& operator=(const DecoderWords&) = delete;
    ~DecoderWords();

    /// The first line said so far, without characters that cannot be printed; empty for none.
    [[nodiscard]] std::string first_line() const;

  private:
    std::lock_guard<std::mutex> alone_;
    char* words_ = nullptr;
    std::size_t size_ = 0;
    std::FILE* kept_in_;
    std::FILE* before_;
};

}  // namespace earbudget::files
