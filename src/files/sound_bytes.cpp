#include "files/sound_bytes.hpp"

#include <algorithm>
#include <cstdio>

namespace earbudget::files {

SoundBytes::SoundBytes(const OpenFile& file, std::optional<std::uint64_t> data_begin)
    : file_(file), length_(static_cast<sf_count_t>(file.size())) {
    if (data_begin) size_field_ = static_cast<sf_count_t>(*data_begin) - 4;
}

SNDFILE* SoundBytes::open(SF_INFO& info) {
    SF_VIRTUAL_IO access = {length, seek, read, write, tell};
    return sf_open_virtual(&access, SFM_READ, &info, this);
}

sf_count_t SoundBytes::length(void* self) { return static_cast<SoundBytes*>(self)->length_; }

sf_count_t SoundBytes::tell(void* self) { return static_cast<SoundBytes*>(self)->position_; }

sf_count_t SoundBytes::seek(sf_count_t offset, int whence, void* self) {
    auto& bytes = *static_cast<SoundBytes*>(self);
    const sf_count_t from =
        whence == SEEK_SET ? 0 : (whence == SEEK_CUR ? bytes.position_ : bytes.length_);
    sf_count_t position = 0;
    if (__builtin_add_overflow(from, offset, &position)) position = offset > 0 ? bytes.length_ : 0;
    bytes.position_ = std::clamp<sf_count_t>(position, 0, bytes.length_);
    return bytes.position_;
}

sf_count_t SoundBytes::read(void* buffer, sf_count_t count, void* self) {
    auto& bytes = *static_cast<SoundBytes*>(self);
    auto* into = static_cast<char*>(buffer);
    if (count <= 0) return 0;
    try {
        const auto got = static_cast<sf_count_t>(bytes.file_.read_at(
            static_cast<std::uint64_t>(bytes.position_), {into, static_cast<std::size_t>(count)}));
        bytes.announce_the_rest(into, got);
        bytes.position_ += got;
        return got;
    } catch (const CannotRead& why) {
        // No exception passes through the library, which is written in C.
        bytes.failure_ = why.what();
        return 0;
    }
}

void SoundBytes::announce_the_rest(char* bytes, sf_count_t count) const {
    if (!size_field_) return;
    // "Length unknown", as libsndfile accepts it, over the zero in the file.
    const sf_count_t begin = std::max<sf_count_t>(*size_field_ - position_, 0);
    const sf_count_t end = std::min(*size_field_ + 4 - position_, count);
    if (begin < end) std::fill(bytes + begin, bytes + end, '\xFF');
}

sf_count_t SoundBytes::write(const void*, sf_count_t, void*) { return 0; }

}  // namespace earbudget::files
