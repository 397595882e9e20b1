#include "files/text_file.hpp"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <optional>
#include <system_error>
#include <vector>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include "files/foreign_format.hpp"
#include "files/machine_fault.hpp"
#include "files/nearest_name.hpp"

namespace earbudget::files {

namespace {

std::string size_words(std::size_t bytes) {
    constexpr std::size_t kibi = 1024;
    return bytes >= kibi * kibi ? fmt::format("{} MiB", bytes / (kibi * kibi))
                                : fmt::format("{} KiB", bytes / kibi);
}

/// A word on the file whose name is nearest in the same folder; empty for none.
std::string nearest_file(const std::string& path) {
    constexpr std::size_t most_names = 1000;
    const std::filesystem::path wanted(path);
    const auto folder =
        wanted.parent_path().empty() ? std::filesystem::path(".") : wanted.parent_path();
    std::vector<std::string> names;
    std::error_code failure;
    std::filesystem::directory_iterator entry(folder, failure);
    for (; !failure && entry != std::filesystem::directory_iterator() && names.size() < most_names;
         entry.increment(failure)) {
        names.push_back(entry->path().filename().string());
    }
    std::ranges::sort(names);
    const std::string name = wanted.filename().string();
    const bool is_without_ending = std::ranges::find(names, name + ".toml") != names.end();
    const auto nearest =
        is_without_ending ? std::optional(name + ".toml") : nearest_name(name, names);
    return nearest ? fmt::format(", the nearest there is \"{}\"", *nearest) : "";
}

bool is_link(const std::string& path) {
    struct stat state = {};
    return ::lstat(path.c_str(), &state) == 0 && S_ISLNK(state.st_mode);
}

/// A folder in the place of a file, which may be that of a study.
[[noreturn]] void refuse_folder(const std::string& path, const SourcePosition& blamed) {
    const auto plan = std::filesystem::path(path) / "plan.toml";
    std::error_code ignored;
    throw InputError(blamed, fmt::format("cannot read \"{}\": a folder; accepted: {}", path,
                                         std::filesystem::exists(plan, ignored)
                                             ? "a file in it, such as " + plan.string()
                                             : std::string("the name of a file")));
}

[[noreturn]] void refuse(const std::string& path, const SourcePosition& blamed,
                         std::size_t most_bytes, const std::string& why) {
    throw InputError(
        blamed, fmt::format("cannot read \"{}\": {}; accepted: a readable file of at most {}", path,
                            why, size_words(most_bytes)));
}

/// A file through one descriptor, so that all that is known of it is of the same file.
class Opened {
  public:
    // A pipe must not be waited for.
    explicit Opened(const std::string& path)
        : descriptor_(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY)) {}
    Opened(const Opened&) = delete;
    Opened& operator=(const Opened&) = delete;
    ~Opened() {
        if (descriptor_ >= 0) ::close(descriptor_);
    }

    [[nodiscard]] bool is_open() const { return descriptor_ >= 0; }
    [[nodiscard]] bool state(struct stat& state) const { return ::fstat(descriptor_, &state) == 0; }

    /// At most so many bytes from where the last ended; false, with errno, where reading failed.
    [[nodiscard]] bool read(std::string& text, std::size_t most) const {
        text.resize(most);
        std::size_t held = 0;
        while (held < most) {
            const ssize_t got = ::read(descriptor_, text.data() + held, most - held);
            if (got < 0 && errno == EINTR) continue;
            if (got < 0) return false;
            if (got == 0) break;
            held += static_cast<std::size_t>(got);
        }
        text.resize(held);
        return true;
    }

  private:
    int descriptor_;
};

bool is_same_state(const struct stat& a, const struct stat& b) {
    return a.st_size == b.st_size && a.st_mtim.tv_sec == b.st_mtim.tv_sec &&
           a.st_mtim.tv_nsec == b.st_mtim.tv_nsec;
}

/// What is too large may be a recording.
void refuse_foreign(const Opened& file, const std::string& path) {
    std::string begin;
    if (!file.read(begin, 16)) return;
    if (const auto foreign = foreign_format_of(begin)) {
        throw InputError({path},
                         fmt::format("this is {}; accepted: {}", foreign->what, foreign->accepted));
    }
}

}  // namespace

void refuse_larger(const std::string& path, const SourcePosition& blamed, std::size_t most_bytes) {
    refuse(path, blamed, most_bytes, "larger than " + size_words(most_bytes));
}

std::string read_text_file(const std::string& path, const SourcePosition& blamed,
                           std::size_t most_bytes) {
    const auto fail = [&](const std::string& why) { refuse(path, blamed, most_bytes, why); };
    const auto fail_by = [&](int error) {
        if (is_machine_fault(error)) throw std::system_error(error, std::generic_category(), path);
        fail(std::strerror(error));
    };
    const Opened file(path);
    const int failure = file.is_open() ? 0 : errno;
    if (failure == ENOENT)
        fail(is_link(path) ? "a symbolic link to nothing" : "no such file" + nearest_file(path));
    // What cannot be opened may still be known to be something else.
    struct stat before = {};
    if (file.is_open() ? !file.state(before) : ::stat(path.c_str(), &before) != 0) fail_by(errno);
    if (S_ISDIR(before.st_mode)) refuse_folder(path, blamed);
    if (!S_ISREG(before.st_mode)) fail("not a regular file");
    if (!file.is_open()) fail_by(failure);
    if (static_cast<std::size_t>(before.st_size) > most_bytes) {
        refuse_foreign(file, path);
        refuse_larger(path, blamed, most_bytes);
    }
    std::string text;
    struct stat after = {};
    if (!file.read(text, static_cast<std::size_t>(before.st_size) + 1) || !file.state(after))
        fail_by(errno);
    if (!is_same_state(before, after) || text.size() != static_cast<std::size_t>(before.st_size))
        fail("written to while it was read");
    text.shrink_to_fit();
    return text;
}

}  // namespace earbudget::files
