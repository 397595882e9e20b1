#include "files/sound_unfinished.hpp"

#include <algorithm>
#include <cstdio>

namespace earbudget::files {

UnfinishedWav::UnfinishedWav(const std::string& path, std::uint64_t data_begin)
    : stream_(path, std::ios::binary), size_field_(static_cast<sf_count_t>(data_begin) - 4) {
    stream_.seekg(0, std::ios::end);
    length_ = static_cast<sf_count_t>(stream_.tellg());
}

SNDFILE* UnfinishedWav::open(SF_INFO& info) {
    SF_VIRTUAL_IO access = {length, seek, read, write, tell};
    return sf_open_virtual(&access, SFM_READ, &info, this);
}

sf_count_t UnfinishedWav::length(void* self) { return static_cast<UnfinishedWav*>(self)->length_; }

sf_count_t UnfinishedWav::tell(void* self) { return static_cast<UnfinishedWav*>(self)->position_; }

sf_count_t UnfinishedWav::seek(sf_count_t offset, int whence, void* self) {
    auto& wav = *static_cast<UnfinishedWav*>(self);
    const sf_count_t from =
        whence == SEEK_SET ? 0 : (whence == SEEK_CUR ? wav.position_ : wav.length_);
    wav.position_ = std::clamp<sf_count_t>(from + offset, 0, wav.length_);
    return wav.position_;
}

sf_count_t UnfinishedWav::read(void* buffer, sf_count_t count, void* self) {
    auto& wav = *static_cast<UnfinishedWav*>(self);
    auto* bytes = static_cast<char*>(buffer);
    wav.stream_.clear();
    wav.stream_.seekg(wav.position_);
    wav.stream_.read(bytes, count);
    const auto got = static_cast<sf_count_t>(wav.stream_.gcount());
    // "Length unknown", as libsndfile accepts it, over the zero in the file.
    for (sf_count_t n = 0; n < got; ++n) {
        const sf_count_t at = wav.position_ + n;
        if (at >= wav.size_field_ && at < wav.size_field_ + 4) bytes[n] = '\xFF';
        if (at >= wav.size_field_ + 4) break;
    }
    wav.position_ += got;
    return got;
}

sf_count_t UnfinishedWav::write(const void*, sf_count_t, void*) { return 0; }

}  // namespace earbudget::files
