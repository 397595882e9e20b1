#pragma once

#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <string_view>

#include <stdlib.h>

namespace earbudget::test {

/// A folder that is there as long as the object.
class TemporaryFolder {
  public:
    TemporaryFolder() {
        std::string pattern =
            (std::filesystem::temp_directory_path() / "earbudget-XXXXXX").string();
        if (!::mkdtemp(pattern.data())) throw std::runtime_error("no temporary folder");
        path_ = pattern;
    }
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    ~TemporaryFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }

    [[nodiscard]] std::string path(std::string_view name) const { return (path_ / name).string(); }

    /// Writes a file, making the folders on its way; returns its path.
    [[nodiscard]] std::string write(std::string_view name, std::string_view content) const {
        const std::filesystem::path place = path_ / name;
        std::filesystem::create_directories(place.parent_path());
        std::ofstream file(place, std::ios::binary);
        file << content;
        if (!file.flush()) throw std::runtime_error("cannot write " + place.string());
        return place.string();
    }

  private:
    std::filesystem::path path_;
};

/// The whole of a file; throws when it is missing, so that no test passes without its file.
inline std::string content_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    if (!file) throw std::runtime_error("cannot read " + path);
    std::ostringstream content;
    content << file.rdbuf();
    return content.str();
}

}  // namespace earbudget::test
