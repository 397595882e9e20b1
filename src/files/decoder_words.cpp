#include "files/decoder_words.hpp"

#include <cstdlib>
#include <new>
#include <string_view>

namespace earbudget::files {

namespace {

std::mutex& one_at_a_time() {
    static std::mutex mutex;
    return mutex;
}

}  // namespace

DecoderWords::DecoderWords()
    : alone_(one_at_a_time()), kept_in_(::open_memstream(&words_, &size_)), before_(stderr) {
    // What is said must not go unheard.
    if (!kept_in_) throw std::bad_alloc();
    stderr = kept_in_;
}

DecoderWords::~DecoderWords() {
    stderr = before_;
    std::fclose(kept_in_);
    std::free(words_);
}

std::string DecoderWords::first_line() const {
    if (std::fflush(kept_in_) != 0) throw std::bad_alloc();
    std::string line;
    for (const char letter : std::string_view(words_, size_)) {
        if (letter == '\n' && !line.empty()) break;
        if (letter >= ' ' && letter <= '~') line += letter;
    }
    return line;
}

}  // namespace earbudget::files
