#pragma once

#include <optional>

#include "cli/commands.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"
#include "earbudget/measuring/measure.hpp"
#include "files/sound_file.hpp"
#include "report/record.hpp"
#include "report/reports.hpp"

namespace earbudget::cli {

/// Refuses options of `measure` that contradict each other or lack one another. Throws
/// UsageProblem.
void check_measure_usage(const MeasureOptions& options);

/// A time given as "12.5" in seconds or as any duration; none for anything else.
[[nodiscard]] std::optional<Seconds> parse_moment(const std::string& text);

/// Every file that `measure` reads.
[[nodiscard]] std::vector<std::string> measure_inputs(const MeasureOptions& options);

/// Files that were read, each with the SHA-256 of what was read of it.
using FilesRead = std::vector<report::SourceFile>;

/// The calibration that was asked for; its recordings are added to `read`. Throws what reading them
/// throws.
[[nodiscard]] CalibrationSource calibration_source(const MeasureOptions& options, FilesRead& read);

/// The background, read over whole strokes of the pump, and added to `read`; none where none is
/// given. Throws what reading throws.
[[nodiscard]] std::optional<RecordedBackground> background_for(const MeasureOptions& options,
                                                               FilesRead& read);

/// The part of a recording between --from and --to; none where neither is given. Throws InputError
/// for a part beyond the recording's end.
[[nodiscard]] std::optional<Excerpt> part_of(files::SoundFile& recording, const std::string& path,
                                             const MeasureOptions& options);

/// The id on the card: the one stated, else the name of the card's file.
[[nodiscard]] std::string card_id(const MeasureOptions& options);

/// Puts what the setup file states where no option does, and adds the file to `read`. Of the ways
/// to calibrate one stands as a whole for another. Throws InputErrors for its mistakes.
[[nodiscard]] MeasureOptions with_setup(MeasureOptions options, FilesRead& read);

/// What each recording's card is written with, in the order of the recordings: its file, id and
/// title, by the table where one is named, which is added to `read`; else by the recordings' names.
/// Throws InputErrors for rows of no recording, and for two recordings with one id.
[[nodiscard]] std::vector<MeasureOptions> options_of_cards(const MeasureOptions& options,
                                                           FilesRead& read);

/// A folder of cards that is made where there is none, and gone again where none came into it.
class FolderOfCards {
  public:
    /// Throws what the system refuses.
    explicit FolderOfCards(const std::optional<std::string>& folder);
    FolderOfCards(const FolderOfCards&) = delete;
    FolderOfCards& operator=(const FolderOfCards&) = delete;
    ~FolderOfCards();

    void keep() { made_.clear(); }

  private:
    std::string made_;  ///< empty: nothing was
};

/// The text of the sequence card of a measured recording, which reads back to its levels. What the
/// card's reader must know goes to standard error as notes. Throws InputError where there is no
/// level, where a channel is clipped, and where the levels contradict each other.
[[nodiscard]] std::string measured_card(const report::RecordingReport& recording,
                                        const MeasureOptions& options);

}  // namespace earbudget::cli
