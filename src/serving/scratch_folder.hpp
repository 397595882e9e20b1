#pragma once

#include <cstdlib>
#include <filesystem>
#include <string>
#include <system_error>
#include <utility>

namespace earbudget::serving {

/// A folder of this program alone, which goes with all in it.
class ScratchFolder {
  public:
    ScratchFolder() {
        std::string name = (std::filesystem::temp_directory_path() / "earbudget-XXXXXX").string();
        if (!::mkdtemp(name.data())) {
            throw std::system_error(errno, std::generic_category(),
                                    "no folder for what was sent, in " + name);
        }
        path_ = name;
    }
    ScratchFolder(ScratchFolder&& other) noexcept : path_(std::exchange(other.path_, {})) {}
    ScratchFolder& operator=(ScratchFolder&& other) noexcept {
        std::swap(path_, other.path_);
        return *this;
    }
    ~ScratchFolder() {
        std::error_code ignored;
        if (!path_.empty()) std::filesystem::remove_all(path_, ignored);
    }

    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

  private:
    std::filesystem::path path_;
};

}  // namespace earbudget::serving
