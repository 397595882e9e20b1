#pragma once

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <string>
#include <vector>

#include <zlib.h>

#include "bids/scans.hpp"
#include "files/error_list.hpp"
#include "files/text_inputs.hpp"
#include "support/temporary_folder.hpp"

namespace earbudget::test {

/// Puts a number into bytes, in the byte order of this machine or the other.
template <class Number>
void put_number(std::string& bytes, std::size_t place, Number number, bool swapped = false) {
    char raw[sizeof(Number)];
    std::memcpy(raw, &number, sizeof(Number));
    if (swapped) std::reverse(raw, raw + sizeof(Number));
    bytes.replace(place, sizeof(Number), raw, sizeof(Number));
}

/// A header of NIfTI-1 with so many volumes, `step` seconds from one to the next, without samples.
inline std::string nifti_1(int volumes, float step = 0.0F, bool swapped = false) {
    std::string bytes(352, '\0');
    put_number<std::int32_t>(bytes, 0, 348, swapped);
    const std::int16_t dim[] = {4, 64, 64, 32, static_cast<std::int16_t>(volumes), 1, 1, 1};
    for (std::size_t n = 0; n < 8; ++n)
        put_number(bytes, 40 + 2 * n, dim[n], swapped);
    put_number(bytes, 76 + 4 * 4, step, swapped);
    bytes[123] = 2 | 8;  // mm, s
    bytes.replace(344, 3, "n+1");
    return bytes;
}

/// The same of NIfTI-2.
inline std::string nifti_2(std::int64_t volumes, bool swapped = false) {
    std::string bytes(544, '\0');
    put_number<std::int32_t>(bytes, 0, 540, swapped);
    bytes.replace(4, 8, std::string("n+2\0\r\n\032\n", 8));
    const std::int64_t dim[] = {4, 64, 64, 32, volumes, 1, 1, 1};
    for (std::size_t n = 0; n < 8; ++n)
        put_number(bytes, 16 + 8 * n, dim[n], swapped);
    return bytes;
}

/// Compressed with gzip.
inline std::string gzipped(const std::string& bytes) {
    z_stream stream = {};
    if (deflateInit2(&stream, 6, Z_DEFLATED, 16 + MAX_WBITS, 8, Z_DEFAULT_STRATEGY) != Z_OK)
        throw std::runtime_error("no zlib");
    std::string result(deflateBound(&stream, bytes.size()), '\0');
    std::string input = bytes;
    stream.next_in = reinterpret_cast<Bytef*>(input.data());
    stream.avail_in = static_cast<uInt>(input.size());
    stream.next_out = reinterpret_cast<Bytef*>(result.data());
    stream.avail_out = static_cast<uInt>(result.size());
    deflate(&stream, Z_FINISH);
    result.resize(stream.total_out);
    deflateEnd(&stream);
    return result;
}

/// What is read of a folder, with its mistakes.
struct ReadScans {
    bids::Scans scans;
    std::vector<std::string> mistakes;

    explicit ReadScans(const std::string& folder) {
        files::TextInputs inputs;
        files::ErrorList errors;
        errors.attempt([&] { scans = bids::read_scans(folder, inputs, errors); });
        try {
            errors.throw_if_any();
        } catch (const files::InputErrors& all) {
            for (const InputError& error : all.all())
                mistakes.emplace_back(error.what());
        }
    }

    /// The only session's run of this name; throws where there is none.
    [[nodiscard]] const bids::Run& run(const std::string& name) const {
        for (const bids::Session& session : scans.sessions)
            for (const bids::Run& each : session.runs)
                if (each.name == name) return each;
        throw std::runtime_error("no run " + name);
    }
};

/// Whether a note on the first session holds these words.
inline bool is_noted(const ReadScans& read, const std::string& words) {
    const auto& notes = read.scans.sessions.at(0).notes;
    return std::ranges::any_of(
        notes, [&](const std::string& note) { return note.find(words) != std::string::npos; });
}

}  // namespace earbudget::test
