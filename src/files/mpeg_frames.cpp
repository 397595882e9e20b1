#include "files/mpeg_frames.hpp"

#include <string_view>

#include <fmt/format.h>

#include "files/file_bytes.hpp"
#include "files/mpeg_header.hpp"
#include "files/mpeg_side.hpp"
#include "files/mpeg_tag.hpp"
#include "files/trailing_bytes.hpp"

namespace earbudget::files {

namespace {

std::string big_endian(std::uint64_t value) {
    std::string bytes;
    for (const unsigned shift : {24U, 16U, 8U, 0U})
        bytes += static_cast<char>(value >> shift & 0xFFU);
    return bytes;
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
            result_.shown.replaced_by = big_endian(shown_end_);
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
