#include "files/sound_bytes.hpp"

#include <algorithm>
#include <cstdio>

namespace earbudget::files {

SoundBytes::SoundBytes(const OpenFile& file, ShownBytes shown)
    : file_(file),
      shown_(std::move(shown)),
      length_(static_cast<sf_count_t>(shown_.end - shown_.begin)) {}

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
    const sf_count_t wanted = std::min(count, bytes.length_ - bytes.position_);
    try {
        const auto got = static_cast<sf_count_t>(
            bytes.file_.read_at(bytes.shown_.begin + static_cast<std::uint64_t>(bytes.position_),
                                {into, static_cast<std::size_t>(wanted)}));
        bytes.replace(into, got);
        bytes.position_ += got;
        return got;
    } catch (const CannotRead& why) {
        // No exception passes through the library, which is written in C.
        bytes.failure_ = why.what();
        return 0;
    }
}

void SoundBytes::replace(char* bytes, sf_count_t count) const {
    const auto at = static_cast<sf_count_t>(shown_.replaced_at);
    const auto size = static_cast<sf_count_t>(shown_.replaced_by.size());
    for (sf_count_t n = std::max(at, position_); n < std::min(at + size, position_ + count); ++n)
        bytes[n - position_] = shown_.replaced_by[static_cast<std::size_t>(n - at)];
}

sf_count_t SoundBytes::write(const void*, sf_count_t, void*) { return 0; }

}  // namespace earbudget::files
