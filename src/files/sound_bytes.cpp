#include "files/sound_bytes.hpp"

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <new>

#include <sys/mman.h>

namespace earbudget::files {

SoundBytes::SoundBytes(const OpenFile& file, ShownBytes shown)
    : file_(file),
      shown_(std::move(shown)),
      length_(static_cast<sf_count_t>(shown_.end - shown_.begin)) {}

namespace {

/// Decoders do not bear every want of memory. What they need at most (own choice, some hundred KiB
/// were seen) is asked for first, and given back unused.
void require_room_for_decoder() {
    constexpr std::size_t room = std::size_t{8} << 20U;
    void* const found =
        ::mmap(nullptr, room, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    if (found == MAP_FAILED) throw std::bad_alloc();
    ::munmap(found, room);
}

}  // namespace

SNDFILE* SoundBytes::open(SF_INFO& info) {
    require_room_for_decoder();
    SF_VIRTUAL_IO access = {length, seek, read, write, tell};
    errno = 0;
    SNDFILE* const file = sf_open_virtual(&access, SFM_READ, &info, this);
    if (errno != ENOMEM) return file;
    // That is no fault of the recording, whatever the library says.
    if (file) sf_close(file);
    throw std::bad_alloc();
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
