#include "files/sound_file.hpp"

#include <cerrno>
#include <cmath>
#include <filesystem>
#include <limits>
#include <new>
#include <utility>

#include <fmt/format.h>
#include <sndfile.h>

#include "earbudget/measurement/meters/weighting_filter.hpp"
#include "files/file_bytes.hpp"
#include "files/open_file.hpp"
#include "files/sound_decoder.hpp"
#include "files/sound_structure.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::files {

namespace {

constexpr std::string_view cut_off_at_its_start = "not a sound file, or one cut off at its start";

std::string why_not_opened() {
    switch (sf_error(nullptr)) {
        case SF_ERR_UNRECOGNISED_FORMAT:
            return "not a sound file";
        case SF_ERR_SYSTEM:
            return std::string(cut_off_at_its_start);
        case SF_ERR_MALFORMED_FILE:
            return "a damaged or truncated sound file";
        case SF_ERR_UNSUPPORTED_ENCODING:
            return "a sound file in an encoding that cannot be read";
        default:
            return "a sound file whose header cannot be read";
    }
}

/// What a decoder is shown of a file. Of CAF it does not know the −1 for "all that follows" (Core
/// Audio Format Specification, audio data chunk; memory) and is shown the bytes that are there.
ShownBytes all_of(const OpenFile& file) {
    ShownBytes shown{.end = file.size()};
    if (!is_core_audio(file)) return shown;
    const auto size = sound_data_size(file);
    if (!size || size->announced != std::numeric_limits<std::uint64_t>::max()) return shown;
    shown.replaced_at = size->begin - 8;
    shown.replaced_by = bytes_of(size->present, 8);
    return shown;
}

[[noreturn]] void refuse_file(const std::string& path, const std::string& why) {
    throw InputError({path, 1, 1},
                     fmt::format("cannot measure \"{}\": {}; accepted: a whole sound file (WAV, "
                                 "FLAC, AIFF and others) sampled at {:.0f} to {:.0f} Hz",
                                 path, why, lowest_sample_rate.Hz(), highest_sample_rate.Hz()));
}

}  // namespace

std::shared_ptr<const OpenFile> SoundFile::open(std::string path) {
    try {
        return std::make_shared<const OpenFile>(path);
    } catch (const CannotRead& why) {
        refuse_file(path, why.what());
    }
}

SoundFile::SoundFile(std::string path) : SoundFile(open(std::move(path))) {}

SoundFile::SoundFile(std::shared_ptr<const OpenFile> file)
    : file_(std::move(file)), handle_(std::make_unique<SoundHandle>()) {
    if (file_->size() == 0) refuse("an empty file");
    try {
        refuse_damaged();
        open_sound();
        take_sizes();
    } catch (const CannotRead& why) {
        refuse(why.what());
    }
    refuse_unusable();
}

SoundFile::~SoundFile() = default;

bool SoundFile::is_changed() const { return !file_->is_unchanged() || !file_->is_in_its_place(); }

void SoundFile::refuse_changed() const {
    throw InputError(
        {file_->path(), 1, 1},
        fmt::format("\"{}\" changed while it was read; accepted: a recording that is finished",
                    file_->path()));
}

void SoundFile::refuse(const std::string& why) const {
    // What is being written is neither damaged nor truncated yet.
    if (is_changed()) refuse_changed();
    refuse_file(file_->path(), why);
}

/// What the decoders of these formats pass over, or say on standard error.
void SoundFile::refuse_damaged() {
    if (const auto damage = damage_of_ogg(*file_)) refuse(*damage);
    if (const auto end = flac_end(*file_)) {
        if (!end->damage.empty()) refuse(end->damage);
        flac_ = *end;
        flac_inside_ = std::make_unique<FlacInside>(end->begin);
    }
    flac_sum_ = FlacSum::stated_by(*file_);
    const auto frames = mpeg_frames(*file_);
    if (!frames) return;
    if (frames->count == 0) refuse(std::string(cut_off_at_its_start));
    if (!frames->damage.empty()) refuse(frames->damage);
    mpeg_ = *frames;
}

void SoundFile::open_sound() {
    if (mpeg_) {
        const DecoderWords words;
        handle_->open(*file_, mpeg_->shown);
        // Of what its checksum shows to be whole these are notes.
        if (!mpeg_->has_checksum && !words.first_line().empty()) refuse("damaged at its start");
    } else {
        handle_->open(*file_, all_of(*file_), flac_inside_.get());
    }
    if (!handle_->bytes->failure().empty()) refuse(handle_->bytes->failure());
    if (!handle_->file && std::filesystem::path(file_->path()).extension() == ".toml") {
        refuse(
            "a TOML file (earbudget assess takes plans, earbudget review cards, earbudget ratings "
            "catalogues)");
    }
    if (!handle_->file) refuse(why_not_opened());
}

SourceState SoundFile::state_of(const std::optional<SoundDataSize>& size) const {
    const SF_INFO& info = handle_->info;
    const auto frames = static_cast<std::uint64_t>(std::max<sf_count_t>(info.frames, 0));
    SourceState state{.loss = loss_of(info.format)};
    double frames_beyond = 0.0;
    if (flac_ && flac_->announced > 0 && flac_->samples > flac_->announced) {
        frames_beyond = static_cast<double>(flac_->samples - flac_->announced);
        state.bytes_beyond_header = static_cast<std::uint64_t>(
            std::ceil(static_cast<double>(file_->size()) / static_cast<double>(flac_->samples) *
                      frames_beyond));
    } else if (mpeg_) {
        frames_beyond = static_cast<double>(mpeg_->left_out_of(frames));
        state.bytes_beyond_header = static_cast<std::uint64_t>(
            std::ceil(static_cast<double>(mpeg_->bytes) / static_cast<double>(mpeg_->samples) *
                      frames_beyond));
    } else if (size && size->beyond > 0 && size->announced > 0) {
        state.bytes_beyond_header = size->beyond;
        // Of some such formats the decoder minds the size, of others it reads all.
        state.announced_alone_is_read = bytes_of_sample(info.format) > 0;
        if (!state.announced_alone_is_read) return state;
        frames_beyond = static_cast<double>(size->beyond) / static_cast<double>(size->announced) *
                        static_cast<double>(frames);
    }
    if (frames_beyond > 0.0 && info.samplerate > 0)
        state.time_beyond_header = Seconds(frames_beyond / info.samplerate);
    return state;
}

/// Another FLAC file inside is looked for while the samples are read.
SourceState SoundFile::state() const {
    if (!flac_inside_ || state_.bytes_beyond_header > 0) return state_;
    SourceState state = state_;
    try {
        const auto another = flac_inside_->begin_in(*file_);
        if (!another) return state;
        state.bytes_beyond_header = file_->size() - *another;
        const double frames_beyond = static_cast<double>(handle_->info.frames) *
                                     static_cast<double>(state.bytes_beyond_header) /
                                     static_cast<double>(*another);
        if (frames_beyond > 0.0 && handle_->info.samplerate > 0)
            state.time_beyond_header = Seconds(frames_beyond / handle_->info.samplerate);
    } catch (const CannotRead& why) {
        refuse(why.what());
    }
    return state;
}

void SoundFile::take_sizes() {
    if (mpeg_) {
        const auto announced =
            static_cast<std::uint64_t>(std::max<sf_count_t>(handle_->info.frames, 0));
        handle_->info.frames = static_cast<sf_count_t>(mpeg_->to_be_read_of(announced));
    }
    auto size = sound_data_size(*file_);
    const int container = handle_->info.format & SF_FORMAT_TYPEMASK;
    const bool wav = container == SF_FORMAT_WAV || container == SF_FORMAT_WAVEX;
    if (wav && size && !size->known && size->present > 0) {
        // Its recorder streamed or was switched off: "length unknown", as libsndfile accepts it,
        // over what the file says. The size stands before the samples, which end before chunks.
        handle_->open(*file_, {.end = size->begin + size->present,
                               .replaced_at = size->begin - 4,
                               .replaced_by = std::string(4, '\xFF')});
        if (!handle_->file) refuse(why_not_opened());
    }
    // A pipe was written to: libsndfile would take a second header for samples.
    if (container == SF_FORMAT_W64 && !size) refuse("its header has no size of the samples");
    if (size && size->truncated()) {
        refuse(fmt::format("truncated: the header announces {} bytes of samples, {} are there",
                           size->announced, size->present));
    }
    const auto bytes_of_frame = static_cast<std::uint64_t>(bytes_of_sample(handle_->info.format)) *
                                static_cast<std::uint64_t>(std::max(handle_->info.channels, 1));
    // Less than a sample is none.
    if (size && size->beyond < bytes_of_frame) size->beyond = 0;
    if (size && size->beyond > 0 && bytes_of_frame > 0) {
        // Where two numbers of the header contradict each other, the smaller counts.
        handle_->info.frames = std::min(handle_->info.frames,
                                        static_cast<sf_count_t>(size->announced / bytes_of_frame));
    }
    state_ = state_of(size);
}

void SoundFile::refuse_unusable() const {
    const SF_INFO& info = handle_->info;
    if (info.samplerate < lowest_sample_rate.Hz() || info.samplerate > highest_sample_rate.Hz()) {
        refuse(fmt::format("sampled at {} Hz", info.samplerate));
    }
    if (channels() > most_channels) {
        refuse(fmt::format(
            "{} channels, of which at most {} are measured together; cut the others off first",
            channels(), most_channels));
    }
    if (info.frames <= 0) refuse("no samples in it");
    const bool ogg = (info.format & SF_FORMAT_TYPEMASK) == SF_FORMAT_OGG;
    if (ogg && info.frames == unknown_frames) refuse("truncated: it has no end");
}

Frequency SoundFile::sample_rate() const { return Frequency(handle_->info.samplerate); }

std::size_t SoundFile::channels() const { return static_cast<std::size_t>(handle_->info.channels); }

std::optional<Quantization> SoundFile::quantization() const {
    return quantization_of(handle_->info.format);
}

std::optional<Seconds> SoundFile::announced_duration() const {
    if (handle_->info.frames == unknown_frames) return std::nullopt;
    return Seconds(static_cast<double>(handle_->info.frames) / sample_rate().Hz());
}

}  // namespace earbudget::files
