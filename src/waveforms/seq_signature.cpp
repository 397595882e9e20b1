#include <functional>
#include <stdexcept>
#include <string>

#include <fmt/format.h>

// What it names in its place allocates thousands of times to load a provider.
#ifndef OPENSSL_SUPPRESS_DEPRECATED
#define OPENSSL_SUPPRESS_DEPRECATED
#endif
#include <openssl/md5.h>
#include <openssl/sha.h>

#include "files/written_values.hpp"
#include "waveforms/seq_sections.hpp"

namespace earbudget::waveforms {

namespace {

/// The hexadecimal sum of the first bytes of a file, by the functions of one algorithm.
template <class Context, int Length, auto Begin, auto Add, auto End>
std::string sum_of(const files::OpenFile& file, std::uint64_t bytes) {
    Context context{};
    const auto require = [](int succeeded) {
        if (succeeded != 1) throw std::runtime_error("a signature could not be computed");
    };
    require(Begin(&context));
    std::vector<char> window(std::size_t{1} << 16U);
    for (std::uint64_t at = 0; at < bytes;) {
        const auto wanted =
            static_cast<std::size_t>(std::min<std::uint64_t>(window.size(), bytes - at));
        const std::size_t got = file.read_at(at, {window.data(), wanted});
        if (got == 0) break;  // cut short meanwhile: another sum
        require(Add(&context, window.data(), got));
        at += got;
    }
    std::array<unsigned char, Length> digest{};
    require(End(digest.data(), &context));
    std::string text;
    for (const unsigned char byte : digest)
        text += fmt::format("{:02x}", byte);
    return text;
}

std::string sum_by(std::string_view algorithm, const files::OpenFile& file, std::uint64_t bytes) {
    if (algorithm == "md5")
        return sum_of<MD5_CTX, MD5_DIGEST_LENGTH, MD5_Init, MD5_Update, MD5_Final>(file, bytes);
    if (algorithm == "sha1")
        return sum_of<SHA_CTX, SHA_DIGEST_LENGTH, SHA1_Init, SHA1_Update, SHA1_Final>(file, bytes);
    if (algorithm == "sha256")
        return sum_of<SHA256_CTX, SHA256_DIGEST_LENGTH, SHA256_Init, SHA256_Update, SHA256_Final>(
            file, bytes);
    return "";
}

}  // namespace

void check_signature(const files::OpenFile& file, const Sections& sections, SeqParts& parts) {
    if (!sections.has("SIGNATURE")) return;
    std::string type, hash;
    SourcePosition place{file.path(), sections.signature.line};
    for_each_row(file, sections, "SIGNATURE", [&](const TextLines& lines) {
        Words words(lines, "Type and Hash");
        const std::string_view key = words.word("a name");
        if (key == "Type") type = files::in_small_letters(words.word("the type"));
        if (key == "Hash") {
            hash = files::in_small_letters(words.word("the sum"));
            place = words.place();
        }
    });
    if (hash.empty()) {
        throw InputError(place, "a signature without a sum; accepted: Type such as md5, and Hash");
    }
    // The line feed before the heading is of the signature.
    const std::uint64_t bytes = sections.signature.offset - (sections.signature.offset > 0 ? 1 : 0);
    const std::string sum = sum_by(type, file, bytes);
    if (sum.empty()) {
        parts.notes.push_back({"signature",
                               fmt::format("the signature is by \"{}\" and was not checked; md5, "
                                           "sha1 and sha256 are",
                                           shown(type)),
                               place});
    } else if (sum != hash) {
        parts.notes.push_back({"signature",
                               fmt::format("the signature does not fit: the file was changed after "
                                           "it was written; by its contents {} is {}",
                                           type, sum),
                               place});
    }
}

}  // namespace earbudget::waveforms
