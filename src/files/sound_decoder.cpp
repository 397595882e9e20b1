#include "files/sound_decoder.hpp"

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <new>
#include <string_view>

#include <sndfile.h>
#include <sys/mman.h>

#include "earbudget/measurement/findings/steadiness.hpp"

namespace earbudget::files {

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

std::mutex& one_at_a_time() {
    static std::mutex mutex;
    return mutex;
}

}  // namespace

SoundBytes::SoundBytes(const OpenFile& file, ShownBytes shown, FlacInside* inside)
    : file_(file),
      shown_(std::move(shown)),
      length_(static_cast<sf_count_t>(shown_.end - shown_.begin)),
      inside_(inside) {}

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
        if (bytes.inside_)
            bytes.inside_->look_at(bytes.shown_.begin + static_cast<std::uint64_t>(bytes.position_),
                                   {into, static_cast<std::size_t>(got)});
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

void SoundHandle::close() {
    if (file) sf_close(file);
    file = nullptr;
}

void SoundHandle::open(const OpenFile& from, ShownBytes shown, FlacInside* inside) {
    close();
    info = {};
    bytes = std::make_unique<SoundBytes>(from, std::move(shown), inside);
    file = bytes->open(info);
}

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

namespace {

/// What is known of an encoding.
struct Encoding {
    int format;
    unsigned bytes;  ///< of one sample in a file; 0: not all of one size
    int bits;        ///< of samples that are whole numbers; 0: of others
    std::optional<LevelDifference> loss = std::nullopt;
};

// No converter delivers more than 24 bits: 32 are a container. What is not here was made for
// speech: GSM, NMS ADPCM, G.721, G.723, VOX.
constexpr Encoding encodings[] = {
    {SF_FORMAT_PCM_S8, 1, 8},
    {SF_FORMAT_PCM_U8, 1, 8},
    {SF_FORMAT_PCM_16, 2, 16},
    {SF_FORMAT_PCM_24, 3, 24},
    {SF_FORMAT_PCM_32, 4, 24},
    {SF_FORMAT_FLOAT, 4, 0},
    {SF_FORMAT_DOUBLE, 8, 0},
    {SF_FORMAT_ALAC_16, 0, 16},
    {SF_FORMAT_ALAC_20, 0, 20},
    {SF_FORMAT_ALAC_24, 0, 24},
    {SF_FORMAT_ALAC_32, 0, 24},
    {SF_FORMAT_DPCM_8, 0, 0},
    {SF_FORMAT_DPCM_16, 0, 0},
    {SF_FORMAT_DWVW_12, 0, 0},
    {SF_FORMAT_DWVW_16, 0, 0},
    {SF_FORMAT_DWVW_24, 0, 0},
    {SF_FORMAT_ALAW, 1, 0, change_by_companding},
    {SF_FORMAT_ULAW, 1, 0, change_by_companding},
    {SF_FORMAT_IMA_ADPCM, 0, 0, change_by_lossy_compression},
    {SF_FORMAT_MS_ADPCM, 0, 0, change_by_lossy_compression},
    {SF_FORMAT_VORBIS, 0, 0, change_by_lossy_compression},
    {SF_FORMAT_OPUS, 0, 0, change_by_lossy_compression},
    {SF_FORMAT_MPEG_LAYER_I, 0, 0, change_by_lossy_compression},
    {SF_FORMAT_MPEG_LAYER_II, 0, 0, change_by_lossy_compression},
    {SF_FORMAT_MPEG_LAYER_III, 0, 0, change_by_lossy_compression},
};

Encoding encoding_of(int format) {
    const auto* found = std::ranges::find(encodings, format & SF_FORMAT_SUBMASK, &Encoding::format);
    return found != std::end(encodings) ? *found
                                        : Encoding{format, 0, 0, change_by_speech_compression};
}

}  // namespace

std::optional<Quantization> quantization_of(int format) {
    // ITU-T G.711, tables 1a and 2a: largest decoded values 4032/4096 and 8031/8192, and their
    // distance from the next (memory; libsndfile decodes 32256 and 32124 of 32768).
    const int encoding = format & SF_FORMAT_SUBMASK;
    if (encoding == SF_FORMAT_ALAW) return Quantization{32256.0 / 32768.0, 1024.0 / 32768.0};
    if (encoding == SF_FORMAT_ULAW) return Quantization{32124.0 / 32768.0, 1024.0 / 32768.0};
    const int bits = encoding_of(format).bits;
    const double step = std::ldexp(1.0, 1 - bits);
    return bits > 0 ? std::optional(Quantization{1.0 - step, step}) : std::nullopt;
}

std::optional<LevelDifference> loss_of(int format) { return encoding_of(format).loss; }

unsigned bytes_of_sample(int format) { return encoding_of(format).bytes; }

}  // namespace earbudget::files
