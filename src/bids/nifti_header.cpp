#include "bids/nifti_header.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstring>
#include <span>
#include <string_view>

#include <fmt/format.h>
#include <zlib.h>

#include "files/open_file.hpp"

namespace earbudget::bids {

namespace {

// NIfTI-1.1 and NIfTI-2, nifti1.h and nifti2.h (memory): where the fields of a header begin.
struct Layout {
    std::size_t size;
    std::size_t magic;
    std::size_t dim, bytes_of_dim;
    std::size_t pixdim, bytes_of_pixdim;
    std::size_t units, bytes_of_units;
};
constexpr Layout nifti_1{348, 344, 40, 2, 76, 4, 123, 1};
constexpr Layout nifti_2{540, 4, 16, 8, 104, 8, 500, 4};
constexpr std::size_t most_bytes = nifti_2.size;

constexpr std::uint32_t bits_of_time = 0x38;
constexpr std::int64_t most_volumes = 10'000'000;  // own choice: a month at 4 a second

/// The bytes of a file, decompressed where it is compressed, as far as a header goes.
class HeaderBytes {
  public:
    explicit HeaderBytes(const files::OpenFile& file) {
        std::string begin(chunk, '\0');
        begin.resize(file.read_at(0, begin));
        if (begin.starts_with("\x1f\x8b")) {
            inflate_header(file, begin);
        } else {
            bytes_ = begin.substr(0, most_bytes);
        }
    }

    [[nodiscard]] const std::string& bytes() const { return bytes_; }

  private:
    static constexpr std::size_t chunk = 16'384;
    static constexpr std::uint64_t most_compressed = 1'048'576;  // a header of gzip may name much

    void inflate_header(const files::OpenFile& file, std::string input) {
        constexpr int gzip_alone = 16 + MAX_WBITS;
        z_stream stream = {};
        if (inflateInit2(&stream, gzip_alone) != Z_OK) throw std::bad_alloc();
        bytes_.resize(most_bytes);
        stream.next_out = reinterpret_cast<Bytef*>(bytes_.data());
        stream.avail_out = static_cast<uInt>(bytes_.size());
        int state = Z_OK;
        for (std::uint64_t at = 0; state == Z_OK && stream.avail_out > 0 && at < most_compressed;) {
            stream.next_in = reinterpret_cast<Bytef*>(input.data());
            stream.avail_in = static_cast<uInt>(input.size());
            state = inflate(&stream, Z_NO_FLUSH);
            at += input.size();
            input.resize(chunk);
            input.resize(file.read_at(at, input));
            if (input.empty()) break;
        }
        bytes_ = bytes_.substr(0, most_bytes - stream.avail_out);
        inflateEnd(&stream);
        if (state != Z_OK && state != Z_STREAM_END && state != Z_BUF_ERROR)
            throw NoNifti("it is damaged: what was compressed with gzip cannot be decompressed");
    }

    std::string bytes_;
};

/// Fields of a header in its byte order.
class Fields {
  public:
    Fields(std::string_view bytes, bool swapped) : bytes_(bytes), swapped_(swapped) {}

    template <class Number>
    [[nodiscard]] Number at(std::size_t place) const {
        std::array<char, sizeof(Number)> raw{};
        std::memcpy(raw.data(), bytes_.data() + place, raw.size());
        if (swapped_) std::ranges::reverse(raw);
        return std::bit_cast<Number>(raw);
    }

    [[nodiscard]] std::int64_t dim(const Layout& layout, std::size_t n) const {
        const std::size_t place = layout.dim + n * layout.bytes_of_dim;
        return layout.bytes_of_dim == 2 ? at<std::int16_t>(place) : at<std::int64_t>(place);
    }

    [[nodiscard]] double step(const Layout& layout) const {
        const std::size_t place = layout.pixdim + 4 * layout.bytes_of_pixdim;
        return layout.bytes_of_pixdim == 4 ? at<float>(place) : at<double>(place);
    }

    [[nodiscard]] std::uint32_t units(const Layout& layout) const {
        return layout.bytes_of_units == 1 ? at<std::uint8_t>(layout.units)
                                          : at<std::uint32_t>(layout.units);
    }

  private:
    std::string_view bytes_;
    bool swapped_;
};

bool has_magic(std::string_view bytes, const Layout& layout, std::string_view first,
               std::string_view other) {
    const std::string_view magic = bytes.substr(layout.magic, first.size());
    return magic == first || magic == other;
}

const Layout* layout_of(std::string_view bytes, std::uint32_t size) {
    using namespace std::string_view_literals;
    if (size == nifti_1.size && bytes.size() >= nifti_1.size &&
        has_magic(bytes, nifti_1, "n+1\0"sv, "ni1\0"sv))
        return &nifti_1;
    if (size == nifti_2.size && bytes.size() >= nifti_2.size &&
        has_magic(bytes, nifti_2, "n+2\0\r\n\032\n"sv, "ni2\0\r\n\032\n"sv))
        return &nifti_2;
    return nullptr;
}

/// How many of its units are a second; none where it has no unit of time.
std::optional<double> units_of_second(std::uint32_t units) {
    switch (units & bits_of_time) {
        case 8:
            return 1.0;
        case 16:
            return 1e3;
        case 24:
            return 1e6;
        default:
            return std::nullopt;
    }
}

std::optional<Seconds> step_of(const Fields& fields, const Layout& layout) {
    const auto units = units_of_second(fields.units(layout));
    if (!units) return std::nullopt;
    const double step = fields.step(layout) / *units;  // the smallest numbers become 0
    return std::isfinite(step) && step > 0.0 ? std::optional(Seconds(step)) : std::nullopt;
}

NiftiHeader header_of(const Fields& fields, const Layout& layout) {
    const std::int64_t dimensions = fields.dim(layout, 0);
    if (dimensions < 1 || dimensions > 7)
        throw NoNifti(fmt::format("its header says {} dimensions", dimensions));
    if (dimensions < 4) return {};
    const std::int64_t volumes = fields.dim(layout, 4);
    if (volumes < 1 || volumes > most_volumes)
        throw NoNifti(fmt::format("its header says {} volumes", volumes));
    return {static_cast<std::uint64_t>(volumes), step_of(fields, layout)};
}

}  // namespace

NiftiHeader read_nifti_header(const std::string& path) {
    const files::OpenFile file(path);
    const HeaderBytes header(file);
    const std::string& bytes = header.bytes();
    if (bytes.size() < nifti_1.size)
        throw NoNifti(fmt::format("it ends after {} bytes, within its header", bytes.size()));
    for (const bool swapped : {false, true}) {
        const Fields fields(bytes, swapped);
        const auto size = fields.at<std::uint32_t>(0);
        if (const Layout* layout = layout_of(bytes, size)) return header_of(fields, *layout);
        if (size == nifti_2.size && bytes.size() < nifti_2.size)
            throw NoNifti(fmt::format("it ends after {} bytes, within its header", bytes.size()));
    }
    throw NoNifti("it has no header of NIfTI-1 or NIfTI-2");
}

}  // namespace earbudget::bids
