#include <string_view>

#include <fmt/format.h>

#include "files/file_bytes.hpp"
#include "files/sound_structure.hpp"

namespace earbudget::files {

namespace {

/// What the first frame of a file of layer III may hold in the place of sound, written by its
/// encoder when all was done: the frame named "Xing" or "Info" and its extension (memory).
struct MpegTag {
    std::optional<std::uint64_t> frames;    ///< with sound, that follow
    std::optional<std::size_t> size_field;  ///< where in the frame the file's bytes are stated
    bool has_extension = false;             ///< which has checksums
    bool fits_own_checksum = true;
    std::uint16_t checksum_of_frames = 0;
};

constexpr std::size_t extension_size = 36;

/// CRC-16 of bytes as the extension has it: polynomial 0x8005, lowest bit first.
std::uint16_t mpeg_tag_checksum(std::string_view bytes, std::uint16_t start) {
    return checksum<std::uint16_t, 0xA001, true>(bytes, start);
}

void read_extension(std::string_view frame, std::size_t at, MpegTag& tag) {
    if (frame.size() < at + extension_size) return;
    // Length of the sound, its checksum, then that of all before.
    const auto checks = frame.substr(at + 28, 8);
    tag.has_extension = checks.find_first_not_of('\0') != std::string_view::npos;
    tag.checksum_of_frames = static_cast<std::uint16_t>(number_in(checks.substr(4, 2)));
    tag.fits_own_checksum = mpeg_tag_checksum(frame.substr(0, at + extension_size - 2), 0) ==
                            number_in(checks.substr(6, 2));
}

/// None where the frame has sound.
std::optional<MpegTag> mpeg_tag(const MpegHeader& header, std::string_view frame) {
    if (header.layer != 3) return std::nullopt;
    std::size_t at = header.side_begin() + header.side_size();
    if (frame.size() < at + 8) return std::nullopt;
    const auto name = frame.substr(at, 4);
    if (name != "Xing" && name != "Info") return std::nullopt;
    const std::uint64_t flags = number_in(frame.substr(at + 4, 4));
    at += 8;
    MpegTag tag;
    if ((flags & 1U) != 0 && frame.size() >= at + 4) tag.frames = number_in(frame.substr(at, 4));
    if ((flags & 2U) != 0) tag.size_field = at + ((flags & 1U) != 0 ? 4 : 0);
    for (const auto& [flag, size] : {std::pair{1U, 4U}, {2U, 4U}, {4U, 100U}, {8U, 4U}})
        if ((flags & flag) != 0) at += size;
    read_extension(frame, at, tag);
    return tag;
}

class FrameWalk {
  public:
    explicit FrameWalk(FileBytes& bytes) : bytes_(bytes) {}

    MpegFrames run() {
        while (result_.damage.empty() && take_frame())
            continue;
        if (result_.damage.empty() && !only_tags_follow(bytes_, at_)) {
            result_.damage = fmt::format("damaged or truncated: no whole frame at byte {}", at_);
        }
        if (result_.damage.empty()) compare_with_tag();
        result_.shown.end = shown_end_;
        if (tag_ && tag_->size_field) {
            // Its decoder complains of another size, which trimming and tags make.
            result_.shown.replaced_at = *tag_->size_field;
            result_.shown.replaced_by = bytes_of(shown_end_, 4);
        }
        return result_;
    }

  private:
    /// False where no whole frame follows.
    bool take_frame() {
        const auto header = mpeg_header(bytes_.text(at_, 4));
        if (!header || (first_ && !header->continues(*first_))) return false;
        const auto frame = bytes_.view(at_, header->frame_size);
        if (frame.size() < header->frame_size) return false;
        if (!first_) tag_ = mpeg_tag(*header, frame);
        if (first_ || !tag_) take_sound(*header, frame);
        if (!first_) first_ = header;
        at_ += header->frame_size;
        if (!tag_ || result_.count <= tag_->frames.value_or(result_.count)) shown_end_ = at_;
        return true;
    }

    void take_sound(const MpegHeader& header, std::string_view frame) {
        const std::string wrong = header.layer == 3 ? sides_.add(header, frame) : std::string();
        if (!wrong.empty()) result_.damage = fmt::format("damaged: {}, at byte {}", wrong, at_);
        checksum_ = mpeg_tag_checksum(frame, checksum_);
        ++result_.count;
        result_.samples += header.samples();
        result_.bytes += frame.size();
    }

    void compare_with_tag() {
        if (!tag_) return;
        if (tag_->has_extension && !tag_->fits_own_checksum) {
            result_.damage = "damaged: its first frame does not fit its checksum";
            return;
        }
        // Some encoders count the frame that has the tag.
        result_.has_length = tag_->frames.has_value();
        const std::uint64_t announced = tag_->frames.value_or(0);
        if (result_.count + (tag_->has_extension ? 0 : 1) < announced) {
            result_.damage =
                fmt::format("truncated: its first frame announces {} frames, {} follow", announced,
                            result_.count);
        } else if (tag_->has_extension && result_.count == announced &&
                   tag_->checksum_of_frames != checksum_) {
            result_.damage = "damaged: its frames do not fit the checksum in the first";
        }
        result_.has_checksum = tag_->has_extension && result_.count == announced;
    }

    FileBytes& bytes_;
    std::uint64_t at_ = 0;
    std::uint64_t shown_end_ = 0;
    std::optional<MpegHeader> first_;
    std::optional<MpegTag> tag_;
    MpegSides sides_;
    std::uint16_t checksum_ = 0;
    MpegFrames result_;
};

}  // namespace

std::uint64_t MpegFrames::left_out_of(std::uint64_t announced) const {
    constexpr std::uint64_t usual = 4;  // frames
    if (count == 0 || announced + usual * (samples / count) >= samples) return 0;
    return samples - announced;
}

std::optional<MpegFrames> mpeg_frames(const OpenFile& file) {
    const std::uint64_t begin = end_of_leading_tags(file);
    FileBytes bytes(file, begin);
    const bool synchronous = bytes.byte(0) == 0xFF && (bytes.byte(1) & 0xE0U) == 0xE0;
    if (!synchronous) return std::nullopt;
    MpegFrames frames = FrameWalk(bytes).run();
    frames.shown.begin += begin;
    frames.shown.end += begin;
    return frames;
}

}  // namespace earbudget::files
