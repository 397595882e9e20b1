#pragma once

#include <cstddef>
#include <filesystem>
#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/study/input_error.hpp"

namespace earbudget::files {

// How much a file may hold. Each is far more than a facility has, and so little that a file made by
// accident or in bad faith is refused at once and not computed for hours. Own choices.

inline constexpr std::size_t largest_card = std::size_t{256} << 10U;  ///< bytes, in a folder
/// In the folders that a file names, each as often as it is named.
inline constexpr std::size_t most_cards_at_positions = 5'000;
inline constexpr std::size_t largest_text_file = std::size_t{4} << 20U;  ///< bytes
/// Keys, values and parts of dotted keys of one file: each takes up to 400 bytes of memory.
inline constexpr std::size_t most_values_of_a_file = 800'000;
inline constexpr std::size_t most_timeline_rows = 2'000;
/// People with their tasks, times the rows that each of them hears.
inline constexpr std::size_t most_exposure_rows = 20'000;
inline constexpr std::size_t most_people = 2'000;
inline constexpr std::size_t most_tasks = 200;  ///< of one person
inline constexpr std::size_t most_positions = 200;
inline constexpr std::size_t most_own_criteria = 100;
inline constexpr std::size_t most_cards = 1'000;  ///< in one folder
inline constexpr std::size_t most_visits = 100;   ///< that differ, of a study
inline constexpr std::size_t most_protectors = 200;
inline constexpr std::size_t most_pairs = 10'000;
inline constexpr std::size_t most_values = 1'000;    ///< texts or numbers of one array
inline constexpr std::size_t longest_text = 10'000;  ///< bytes
inline constexpr std::size_t most_channels = 64;     ///< of a recording: some 4 MB each at 48 kHz

/// The name that is nearest to that of a path, among those in its folder that are meant, as
/// ", the nearest there is \"cards\""; empty for none.
[[nodiscard]] std::string nearest_there(
    const std::string& path, const std::function<bool(const std::filesystem::path&)>& is_meant);

/// The text files of one run of the program. Each is read once: whatever becomes of the file
/// meanwhile, all that is computed and its hash are of the same bytes.
///
/// Where a program serves a folder, texts that nobody saved yet stand in the place of files, and
/// nothing outside of the folder is read.
class TextInputs {
  public:
    /// Has this text read in the place of what the file holds, whether it is there or not, by
    /// whatever name leads to it; its hash is then that of the text. Throws std::logic_error for a
    /// file that was read already.
    void put_in_place(const std::string& path, std::string text);

    /// Refuses from now on whatever lies outside of a folder, links resolved. Throws InputError
    /// where there is no such folder.
    void confine_to(const std::string& folder);

    /// Refuses a file or a folder that lies outside, at `blamed`, whether it is there or not; does
    /// nothing where nothing was confined. Throws InputError.
    void refuse_outside(const std::string& path, const SourcePosition& blamed) const;

    /// The whole of a file, read when it is asked for for the first time, by whatever name that
    /// leads to it. Throws InputError at `blamed` when it is missing, not a regular file, not
    /// readable, outside, larger than so many bytes, or written to while it is read; of a missing
    /// one the nearest is named, of this kind where one is stated. The result lives as long as
    /// this.
    [[nodiscard]] const std::string& text(const std::string& path, const SourcePosition& blamed,
                                          std::size_t most_bytes = largest_text_file,
                                          std::string_view kind = {});

    /// SHA-256 of the bytes that text() gave. Throws std::logic_error for a file never asked for.
    [[nodiscard]] const std::string& sha256(const std::string& path) const;

    /// The name by which a file was asked for first. Throws std::logic_error as sha256().
    [[nodiscard]] const std::string& first_name(const std::string& path) const;

    /// The names by which files were asked for first, each once.
    [[nodiscard]] std::vector<std::string> names() const;

    /// Keeps that a file says of itself that its figures are examples.
    void keep_as_example(const std::string& path);
    /// Whether it was said of this file; false for a file never asked for.
    [[nodiscard]] bool is_example(const std::string& path) const;

  private:
    struct Read {
        std::string name;
        std::string text;
        std::string sha256;
        bool example = false;
    };
    [[nodiscard]] const Read& known(const std::string& path) const;
    std::map<std::string, Read> read_;             // by the name without "." and links on the way
    std::map<std::string, std::string> keys_;      // of the names asked for
    std::map<std::string, std::string> in_place_;  // texts not read yet, as read_
    std::string folder_;                           // canonical; empty: nothing is confined
};

}  // namespace earbudget::files
