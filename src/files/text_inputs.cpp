#include "files/text_inputs.hpp"

#include <stdexcept>
#include <utility>

#include "files/sha256.hpp"
#include "files/text_file.hpp"

namespace earbudget::files {

const std::string& TextInputs::text(const std::string& path, const SourcePosition& blamed,
                                    std::size_t most_bytes) {
    const auto known = read_.find(path);
    if (known != read_.end()) {
        if (known->second.text.size() > most_bytes) refuse_larger(path, blamed, most_bytes);
        return known->second.text;
    }
    std::string text = read_text_file(path, blamed, most_bytes);
    std::string sha256 = sha256_of_text(text);
    return read_.emplace(path, Read{std::move(text), std::move(sha256)}).first->second.text;
}

const std::string& TextInputs::sha256(const std::string& path) const {
    const auto known = read_.find(path);
    if (known == read_.end()) throw std::logic_error("a file that was not read has no hash");
    return known->second.sha256;
}

}  // namespace earbudget::files
