#include "files/text_inputs.hpp"

#include <filesystem>
#include <stdexcept>
#include <system_error>
#include <utility>

#include "files/sha256.hpp"
#include "files/text_file.hpp"

namespace earbudget::files {

namespace {

/// One for all names of a file; what leads nowhere keeps its own, to be refused by it.
std::string key_of(const std::string& path) {
    std::error_code failure;
    const auto canonical = std::filesystem::canonical(path, failure);
    return failure ? path : canonical.string();
}

}  // namespace

const std::string& TextInputs::text(const std::string& path, const SourcePosition& blamed,
                                    std::size_t most_bytes) {
    const auto asked = keys_.find(path);
    const std::string key = asked != keys_.end() ? asked->second : key_of(path);
    auto read = read_.find(key);
    if (read == read_.end()) {
        std::string text = read_text_file(path, blamed, most_bytes);
        std::string sha256 = sha256_of_text(text);
        read = read_.emplace(key, Read{path, std::move(text), std::move(sha256)}).first;
    }
    keys_.emplace(path, key);
    if (read->second.text.size() > most_bytes) refuse_larger(path, blamed, most_bytes);
    return read->second.text;
}

const TextInputs::Read& TextInputs::known(const std::string& path) const {
    const auto key = keys_.find(path);
    if (key == keys_.end()) throw std::logic_error("a file that was not read has no hash");
    return read_.at(key->second);
}

const std::string& TextInputs::sha256(const std::string& path) const { return known(path).sha256; }

const std::string& TextInputs::first_name(const std::string& path) const {
    return known(path).name;
}

}  // namespace earbudget::files
