#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/excitation/rotation.hpp"
#include "earbudget/excitation/waveform.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/open_file.hpp"

namespace earbudget::waveforms {

/// How a waveform is played.
struct WaveformTerms {
    unsigned repeat = 1;  ///< so often one after another, at least once
    Rotation rotation{};  ///< of the scanner's orientation; the file's own come before it
};

/// A waveform's file, opened: what is known of it before it is played, and its gradients.
class WaveformFile {
  public:
    [[nodiscard]] const std::string& path() const { return file_->path(); }
    /// SHA-256 of the bytes that were read; waits until it is worked out.
    [[nodiscard]] const std::string& sha256();
    /// Of the open sequence format, "1.4.1"; none for a table.
    [[nodiscard]] const std::optional<std::string>& format_version() const { return version_; }
    /// As the file names itself; empty where it does not.
    [[nodiscard]] const std::string& title() const { return title_; }
    [[nodiscard]] const WaveformTerms& terms() const { return terms_; }
    /// What could be otherwise than it looks: unknown parts, a signature that does not fit.
    [[nodiscard]] const std::vector<ReadingNote>& notes() const { return notes_; }
    void add_note(ReadingNote note) { notes_.push_back(std::move(note)); }

    [[nodiscard]] WaveformSource& source() { return *source_; }

    /// Refuses a file that was written to since it was opened. Throws InputError; to be called once
    /// all is read.
    void require_unchanged() const;

  private:
    friend WaveformFile open_waveform(const std::string& path, const WaveformTerms& terms);
    explicit WaveformFile(std::shared_ptr<const files::OpenFile> file) : file_(std::move(file)) {}

    std::shared_ptr<const files::OpenFile> file_;
    std::unique_ptr<files::Sha256Meanwhile> sum_at_work_;
    std::string sum_;
    std::optional<std::string> version_;
    std::string title_;
    WaveformTerms terms_;
    std::vector<ReadingNote> notes_;
    std::unique_ptr<WaveformSource> source_;
};

/// Largest file of a waveform, in bytes; own choice: a table of ten minutes at 10 µs has 3e9.
inline constexpr std::uint64_t largest_waveform_file = std::uint64_t{8} << 30U;

/// Opens a sequence in the open format or a table of samples, which is told by what it holds. All
/// of a sequence is looked through; a table's rows are refused when they are read. Throws
/// InputError for what is missing, cannot be read, or is wrong.
[[nodiscard]] WaveformFile open_waveform(const std::string& path, const WaveformTerms& terms = {});

/// A rotation as it is typed: "z:30", about an axis by degrees; several of these with commas, each
/// after the one before; or the nine numbers of a matrix, rows first, with commas or blanks. None
/// for anything else.
[[nodiscard]] std::optional<Rotation> parse_rotation(std::string_view text);
inline constexpr std::string_view accepted_rotations =
    "an axis and degrees such as z:30, several of them with commas, or the nine numbers of a "
    "rotation matrix, rows first";

}  // namespace earbudget::waveforms
