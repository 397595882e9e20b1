// Whether a file's sound is all there and as it was written.
#include <array>
#include <functional>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "files/sound_files.hpp"
#include "measurement/signals.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;
using earbudget::files::SoundFile;

namespace {

constexpr double seconds = 1.0;
constexpr int rate = 48000;

std::vector<double> sound_to_keep() { return white_noise(0.2, seconds, rate); }

std::string number(std::uint64_t value, std::size_t length, bool big) {
    std::string bytes;
    for (std::size_t n = 0; n < length; ++n)
        bytes += static_cast<char>(value >> 8 * (big ? length - 1 - n : n));
    return bytes;
}

/// A format, where its header states the bytes of its samples, and how.
struct Header {
    const char* name;
    int format;
    int sample;          ///< bytes
    const char* chunk;   ///< empty: at a fixed place
    std::size_t offset;  ///< from there
    std::size_t length;  ///< of the number
    bool big;
    std::uint64_t counts;  ///< more than the samples
};

constexpr std::array<Header, 10> headers = {{
    {"a.wav", wav_16, 2, "data", 4, 4, false, 0},
    {"24.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_24, 3, "data", 4, 4, false, 0},
    {"x.wav", SF_FORMAT_WAVEX | SF_FORMAT_PCM_16, 2, "data", 4, 4, false, 0},
    {"float.wav", wav_float, 4, "data", 4, 4, false, 0},
    {"big.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_16 | SF_ENDIAN_BIG, 2, "data", 4, 4, true, 0},
    {"a.rf64", SF_FORMAT_RF64 | SF_FORMAT_PCM_16, 2, "ds64", 16, 8, false, 0},
    {"a.w64", SF_FORMAT_W64 | SF_FORMAT_PCM_16, 2, "data", 16, 8, false, 24},
    {"a.aiff", SF_FORMAT_AIFF | SF_FORMAT_PCM_16, 2, "SSND", 4, 4, true, 8},
    {"a.caf", SF_FORMAT_CAF | SF_FORMAT_PCM_16, 2, "data", 4, 8, true, 4},
    {"a.au", SF_FORMAT_AU | SF_FORMAT_PCM_16, 2, "", 8, 4, true, 0},
}};

std::string announcing(std::string bytes, const Header& header, std::uint64_t samples) {
    const std::size_t chunk = *header.chunk != '\0' ? bytes.find(header.chunk) : 0;
    const std::uint64_t size = samples * static_cast<std::uint64_t>(header.sample) + header.counts;
    return bytes.replace(chunk + header.offset, header.length,
                         number(size, header.length, header.big));
}

SourceState state_of(const std::string& path) { return SoundFile(path).state(); }

std::string chunk(const std::string& name, const std::string& holds) {
    return name + number(holds.size(), 4, false) + holds;
}

}  // namespace

TEST_CASE("a header that announces less than there is, is told in every format with sizes") {
    const Folder folder;
    constexpr std::uint64_t announced = 12001;
    std::size_t rows = 0;
    for (const Header& header : headers) {
        CAPTURE(std::string(header.name));
        const auto whole = write_sound(folder.file(header.name), sound_to_keep(), header.format);
        CHECK(state_of(whole).bytes_beyond_header == 0);
        const auto old = write_bytes(folder.file(std::string("old-") + header.name),
                                     announcing(bytes_of(whole), header, announced));
        const SourceState state = state_of(old);
        // Up to a padding.
        const auto beyond = (48000 - announced) * static_cast<std::uint64_t>(header.sample);
        CHECK(state.bytes_beyond_header <= beyond);
        CHECK(state.bytes_beyond_header + 8 > beyond);
        CHECK(samples_of(old).size() == announced);
        REQUIRE(state.time_beyond_header.has_value());
        CHECK(
            near(state.time_beyond_header->count(), 35999.0 / 48000.0, 0.001, Because::Arithmetic));
        CHECK(!is_whole(state, false));
        CHECK(is_whole(state, true));
        ++rows;
    }
    CHECK(rows == headers.size());
}

TEST_CASE("where samples have no size of their own a length is not accepted") {
    const Folder folder;
    std::size_t rows = 0;
    for (const Header& header :
         {Header{"ima.w64", SF_FORMAT_W64 | SF_FORMAT_IMA_ADPCM, 1, "data", 16, 8, false, 24},
          Header{"g721.au", SF_FORMAT_AU | SF_FORMAT_G721_32, 1, "", 8, 4, true, 0},
          Header{"alac.caf", SF_FORMAT_CAF | SF_FORMAT_ALAC_24, 1, "data", 4, 8, true, 4}}) {
        CAPTURE(std::string(header.name));
        const auto whole = write_sound(folder.file(header.name), sound_to_keep(), header.format);
        CHECK(is_whole(state_of(whole), false));
        const SourceState state =
            state_of(write_bytes(folder.file(std::string("old-") + header.name),
                                 announcing(bytes_of(whole), header, 8192)));
        CHECK(state.bytes_beyond_header > 0);
        CHECK(!state.time_beyond_header.has_value());
        CHECK(!is_whole(state, true));
        REQUIRE(!findings_on(state, true).empty());
        CHECK(text_of(findings_on(state, true)[0].says).find("does not serve") !=
              std::string::npos);
        ++rows;
    }
    CHECK(rows == 3);
}

TEST_CASE("a length that is not known is read to the end, an impossible one refused") {
    const Folder folder;
    const auto with = [&](const Header& header, std::uint64_t size) {
        const auto whole = write_sound(folder.file(header.name), sound_to_keep(), header.format);
        Header plain = header;
        plain.sample = 1;
        plain.counts = 0;
        return write_bytes(folder.file(std::string("open-") + header.name),
                           announcing(bytes_of(whole), plain, size));
    };
    const Header &caf = headers[8], &au = headers[9], &w64 = headers[6];
    CHECK(samples_of(with(caf, ~std::uint64_t{0})).size() == 48000);
    CHECK(state_of(with(caf, ~std::uint64_t{0})).bytes_beyond_header == 0);
    CHECK(samples_of(with(au, 0xFFFFFFFF)).size() == 48000);
    // As a writer does that knows no length, −1, and adds the 24 bytes of the head.
    for (const std::uint64_t size : {0U, 1U, 23U})
        CHECK_THROWS_AS(SoundFile{with(w64, size)}, InputError);
}

TEST_CASE("what writers put behind samples is no sound") {
    const Folder folder;
    const std::string list = chunk("LIST", std::string("INFOISFT\x06\0\0\0writer", 18));
    const std::vector<std::string> tails = {
        "",
        list,
        list + chunk("id3 ", std::string("ID3\3\0\0\0\0\0\0", 10)),
        chunk("bext", std::string(602, 'x')) + list,
        chunk("junk", "odd") + '\0' + list,
        chunk("junk", "odd") + list,  // not padded
        chunk("junk", "odd"),
        chunk("PAD ", ""),
        chunk("cue ", std::string(4, '\0')) + std::string(37, '\0'),
        std::string(1, '\0'),
        std::string(4096, '\0'),
        list + std::string(100000, '\0'),
        chunk("LIST", std::string(9, 'x')) + std::string(1, '\x7F'),
        "LIST" + number(5000, 4, false) + std::string(2000, 'x'),  // cut off
        std::string("TAG") + std::string(125, ' '),
        std::string("ID3\4\0\0\0\0\0\x14", 10) + std::string(20, '\1'),
        std::string("APETAGEX") + number(2000, 4, false) + number(32, 4, false) +
            std::string(16, '\0'),
        std::string(510, '\0') + list,
        std::string(4, '\0') + list,
        std::string(3000, '\xFF'),
        "\r\n"};
    std::size_t rows = 0;
    for (const int format : {wav_16, SF_FORMAT_WAV | SF_FORMAT_PCM_U8}) {
        for (const std::size_t samples : {std::size_t{4000}, std::size_t{4001}}) {
            std::vector<double> few = sound_to_keep();
            few.resize(samples);
            const std::string whole = bytes_of(write_sound(folder.file("a.wav"), few, format));
            // libsndfile pads; other writers do not.
            const std::size_t data = whole.find("data") + 8;
            const std::size_t end = data + samples * (format == wav_16 ? 2 : 1);
            for (const std::string& tail : tails) {
                for (const std::string& before : {whole.substr(0, end), whole}) {
                    CAPTURE(tail.substr(0, 4));
                    const auto path = write_bytes(folder.file("t.wav"), before + tail);
                    CHECK(state_of(path).bytes_beyond_header == 0);
                    CHECK(samples_of(path).size() == samples);
                    ++rows;
                }
            }
        }
    }
    CHECK(rows == 4 * 2 * tails.size());
}

TEST_CASE("what is neither chunks nor zeros behind samples is taken for sound") {
    const Folder folder;
    const std::string whole = bytes_of(write_sound(folder.file("a.wav"), sound_to_keep(), wav_16));
    const std::string more = whole.substr(whole.size() - 2000);
    const std::vector<std::pair<std::string, std::uint64_t>> tails = {
        {more, 2000},
        {chunk("LIST", "INFO") + more, 2000},
        {std::string(1000, '\0') + more, 3000},
        {"Lost" + number(5000, 4, false) + more, 2008},
        {"x", 1}};
    for (const auto& [tail, beyond] : tails) {
        CAPTURE(beyond);
        const auto path = write_bytes(folder.file("t.wav"), whole + tail);
        CHECK(state_of(path).bytes_beyond_header == (tail == "x" ? 0 : beyond));
    }
    // A second chunk of samples: not for libsndfile.
    CHECK_THROWS_AS(SoundFile{write_bytes(folder.file("t.wav"), whole + chunk("data", more))},
                    InputError);
    // A line's end is none.
    for (const std::size_t count : {std::size_t{31}, std::size_t{32}}) {
        const auto path = write_bytes(folder.file("t.au"),
                                      bytes_of(write_sound(folder.file("a.au"), sound_to_keep(),
                                                           SF_FORMAT_AU | SF_FORMAT_PCM_S8)) +
                                          std::string(count, 'x'));
        CHECK(state_of(path).bytes_beyond_header == (count < 32 ? 0 : count));
    }
}

TEST_CASE("chunks behind samples of an unknown length are no sound") {
    const Folder folder;
    const std::string list = chunk("LIST", std::string("INFOISFT\x06\0\0\0writer", 18));
    const std::string whole = bytes_of(write_sound(folder.file("a.wav"), sound_to_keep(), wav_16));
    const std::size_t size = whole.find("data") + 4;
    for (const std::uint32_t unknown : {0U, 0xFFFFFFFFU, 0x7FFFFFFFU}) {
        for (const std::string& tail :
             {std::string(), list, chunk("bext", std::string(602, 'x')) + list}) {
            CAPTURE(unknown);
            CAPTURE(tail.size());
            std::string bytes = whole + tail;
            bytes.replace(size, 4, number(unknown, 4, false));
            const auto path = write_bytes(folder.file("u.wav"), bytes);
            CHECK(samples_of(path) == samples_of(write_bytes(folder.file("w.wav"), whole)));
            CHECK(state_of(path).bytes_beyond_header == 0);
        }
    }
}

TEST_CASE("a FLAC header that is older than its frames is told, however the file ends") {
    const Folder folder;
    // Eight channels of noise make frames of some 100 kB.
    std::vector<double> noise(8 * 24000);
    std::uint32_t state = 1;
    for (double& sample : noise) {
        state = state * 1664525U + 1013904223U;
        sample = static_cast<double>(state >> 8U) / 16777216.0 - 0.5;
    }
    const std::vector<std::string> wholes = {
        bytes_of(
            write_sound(folder.file("a.flac"), sound_to_keep(), SF_FORMAT_FLAC | SF_FORMAT_PCM_16)),
        bytes_of(write_sound(folder.file("n.flac"), noise, SF_FORMAT_FLAC | SF_FORMAT_PCM_24, 8))};
    const std::string tag = std::string("TAG") + std::string(125, ' ');
    for (const std::string& whole : wholes) {
        CAPTURE(whole.size());
        std::string old = whole;
        // The last 36 of 64 bits are the samples: few of them.
        old.replace(22, 4, number(4500, 4, true));
        for (const std::string& bytes :
             {old, old + tag, old.substr(0, old.size() - 100), old + std::string(5000, '\0')}) {
            CAPTURE(bytes.size());
            CHECK(state_of(write_bytes(folder.file("old.flac"), bytes)).bytes_beyond_header > 1000);
        }
        for (const std::string& bytes : {whole, whole + tag, whole + std::string(5000, '\0')})
            CHECK(state_of(write_bytes(folder.file("w.flac"), bytes)).bytes_beyond_header == 0);
        // One file behind another: decoders read the first.
        const auto two = write_bytes(folder.file("two.flac"), whole + whole);
        CHECK(state_of(two).bytes_beyond_header == whole.size());
        SoundFile read(two);
        std::vector<double> samples(4096);
        while (read.read(samples) > 0) {
        }
        CHECK(read.state().bytes_beyond_header == whole.size());
        // Of more than there is at first sight the sum tells nothing.
        std::string other_sum = whole;
        other_sum[26] = static_cast<char>(other_sum[26] ^ 1);
        CHECK_THROWS_AS(samples_of(write_bytes(folder.file("sum.flac"), other_sum)), InputError);
        CHECK(samples_of(write_bytes(folder.file("sums.flac"), other_sum + whole)) ==
              samples_of(two));
    }
}

TEST_CASE("a Wave64 file whose size of samples cannot be right is refused") {
    const Folder folder;
    std::string bytes = bytes_of(
        write_sound(folder.file("a.w64"), sound_to_keep(), SF_FORMAT_W64 | SF_FORMAT_PCM_16));
    CHECK(samples_of(folder.file("a.w64")).size() == 48000);
    // The size counts the 24 bytes of its own head.
    bytes.replace(bytes.find("data") + 16, 8, number(23, 8, false));
    CHECK_THROWS_AS(SoundFile{write_bytes(folder.file("b.w64"), bytes)}, InputError);
}

TEST_CASE("sizes behind a tag at the start are seen") {
    const Folder folder;
    const std::string whole = bytes_of(write_sound(folder.file("a.wav"), sound_to_keep(), wav_16));
    std::string tag("ID3\4\0\0\0\0\0\x14", 10);
    tag.append(20, '\0');
    const auto path = write_bytes(folder.file("t.wav"), tag + whole);
    if (samples_of(path).size() == 48000) CHECK(state_of(path).bytes_beyond_header == 0);
    const auto cut = write_bytes(folder.file("c.wav"), tag + whole.substr(0, 50000));
    CHECK_THROWS_AS(SoundFile{cut}, InputError);
}

TEST_CASE("which formats lose something is known") {
    const Folder folder;
    struct Row {
        const char* name;
        int format;
        double loss;  // 0: none
    };
    std::size_t rows = 0;
    for (const SoundFormat& format : formats) {
        CAPTURE(format.name);
        CHECK(!state_of(write_sound(folder.file(format.name), sound_to_keep(), format.format))
                   .loss.has_value());
        ++rows;
    }
    for (const Row& row : {Row{"mu.au", SF_FORMAT_AU | SF_FORMAT_ULAW, 0.5},
                           Row{"a.wav", SF_FORMAT_WAV | SF_FORMAT_ALAW, 0.5},
                           Row{"a.caf", SF_FORMAT_CAF | SF_FORMAT_ALAC_24, 0.0},
                           Row{"a.ogg", SF_FORMAT_OGG | SF_FORMAT_VORBIS, 1.5},
                           Row{"o.ogg", SF_FORMAT_OGG | SF_FORMAT_OPUS, 1.5},
                           Row{"a.mp3", SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III, 1.5},
                           Row{"gsm.wav", SF_FORMAT_WAV | SF_FORMAT_GSM610, 4.0},
                           Row{"ima.wav", SF_FORMAT_WAV | SF_FORMAT_IMA_ADPCM, 1.5},
                           Row{"ms.wav", SF_FORMAT_WAV | SF_FORMAT_MS_ADPCM, 1.5},
                           Row{"nms.wav", SF_FORMAT_WAV | SF_FORMAT_NMS_ADPCM_32, 4.0},
                           Row{"g721.au", SF_FORMAT_AU | SF_FORMAT_G721_32, 4.0},
                           Row{"g723.au", SF_FORMAT_AU | SF_FORMAT_G723_24, 4.0}}) {
        CAPTURE(row.name);
        const auto loss =
            state_of(write_sound(folder.file(row.name), sound_to_keep(), row.format)).loss;
        CHECK(loss.value_or(LevelDifference(0.0)).dB() == row.loss);
        ++rows;
    }
    CHECK(rows == formats.size() + 12);
}

TEST_CASE("other names of a recording, and who may read it, are no change of it") {
    const Folder folder;
    const auto path = write_sound(folder.file("a.wav"), sound_to_keep(), wav_16);
    const std::string sum = SoundFile(path).sha256();
    SoundFile file(path);
    std::filesystem::create_hard_link(path, folder.file("link.wav"));
    CHECK(file.sha256() == sum);
    std::filesystem::permissions(path, std::filesystem::perms::owner_read);
    CHECK(file.sha256() == sum);
    std::filesystem::remove(folder.file("link.wav"));
    CHECK(file.sha256() == sum);
}

TEST_CASE("a recording that changes after it was opened has no hash") {
    const Folder folder;
    const auto path = write_sound(folder.file("a.wav"), sound_to_keep(), wav_16);
    const std::string bytes = bytes_of(path);
    const std::string sum = SoundFile(path).sha256();
    CHECK(sum.size() == 64);
    CHECK(SoundFile(path).sha256() == sum);
    const std::vector<std::function<void()>> changes = {
        [&] { std::ofstream(path, std::ios::binary | std::ios::app) << "more"; },
        [&] { std::filesystem::resize_file(path, 1000); }, [&] { write_bytes(path, bytes); },
        [&] { std::filesystem::rename(write_bytes(folder.file("other"), bytes + "other"), path); }};
    std::size_t rows = 0;
    for (const auto& change : changes) {
        write_bytes(path, bytes);
        SoundFile file(path);
        std::vector<double> block(1000);
        REQUIRE(file.read(block) == 1000);
        change();
        try {
            static_cast<void>(file.sha256());
            FAIL_CHECK("hashed");
        } catch (const InputError& error) {
            CHECK(std::string(error.what()) ==
                  path + ":1:1: \"" + path +
                      "\" changed while it was read; accepted: a recording that is finished");
        }
        ++rows;
    }
    CHECK(rows == 4);
}
