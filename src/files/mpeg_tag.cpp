#include "files/mpeg_tag.hpp"

#include <array>

namespace earbudget::files {

namespace {

constexpr std::size_t extension_size = 36;

constexpr std::array<std::uint16_t, 256> checksum_table() {
    std::array<std::uint16_t, 256> table{};
    for (unsigned n = 0; n < 256; ++n) {
        unsigned value = n;
        for (int bit = 0; bit < 8; ++bit)
            value = (value >> 1U) ^ ((value & 1U) != 0 ? 0xA001U : 0U);
        table.at(n) = static_cast<std::uint16_t>(value);
    }
    return table;
}

std::uint64_t number(std::string_view bytes, std::size_t at, std::size_t length) {
    std::uint64_t value = 0;
    for (const char byte : bytes.substr(at, length))
        value = value << 8U | static_cast<unsigned char>(byte);
    return value;
}

void read_extension(std::string_view frame, std::size_t at, MpegTag& tag) {
    if (frame.size() < at + extension_size) return;
    // Length of the sound, its checksum, then that of all before.
    const auto checks = frame.substr(at + 28, 8);
    tag.has_extension = checks.find_first_not_of('\0') != std::string_view::npos;
    tag.checksum_of_frames = static_cast<std::uint16_t>(number(checks, 4, 2));
    tag.fits_own_checksum =
        mpeg_tag_checksum(frame.substr(0, at + extension_size - 2), 0) == number(checks, 6, 2);
}

}  // namespace

std::optional<MpegTag> mpeg_tag(const MpegHeader& header, std::string_view frame) {
    if (header.layer != 3) return std::nullopt;
    std::size_t at = header.side_begin() + header.side_size();
    if (frame.size() < at + 8) return std::nullopt;
    const auto name = frame.substr(at, 4);
    if (name != "Xing" && name != "Info") return std::nullopt;
    const std::uint64_t flags = number(frame, at + 4, 4);
    at += 8;
    MpegTag tag;
    if ((flags & 1U) != 0 && frame.size() >= at + 4) tag.frames = number(frame, at, 4);
    if ((flags & 2U) != 0) tag.size_field = at + ((flags & 1U) != 0 ? 4 : 0);
    for (const auto& [flag, size] : {std::pair{1U, 4U}, {2U, 4U}, {4U, 100U}, {8U, 4U}})
        if ((flags & flag) != 0) at += size;
    read_extension(frame, at, tag);
    return tag;
}

std::uint16_t mpeg_tag_checksum(std::string_view bytes, std::uint16_t start) {
    static constexpr auto table = checksum_table();
    unsigned sum = start;
    for (const char byte : bytes)
        sum = sum >> 8U ^ table[(sum ^ static_cast<unsigned char>(byte)) & 0xFFU];
    return static_cast<std::uint16_t>(sum);
}

}  // namespace earbudget::files
