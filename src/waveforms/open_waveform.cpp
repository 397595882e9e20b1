#include "waveforms/open_waveform.hpp"

#include <cmath>
#include <filesystem>
#include <system_error>

#include <fmt/format.h>

#include "files/text_inputs.hpp"
#include "files/written_values.hpp"
#include "waveforms/seq_sections.hpp"
#include "waveforms/seq_waveform.hpp"
#include "waveforms/waveform_table.hpp"

namespace earbudget::waveforms {

namespace {

// What the duration that a file states may differ by: rounding of its digits; own choice.
constexpr double most_off_stated = 1e-4;

bool may_be_a_waveform(const std::filesystem::path& path) {
    const std::string ending = files::in_small_letters(path.extension().string());
    return ending == ".seq" || ending == ".csv" || ending == ".tsv";
}

[[noreturn]] void refuse(const std::string& path, const std::string& why) {
    throw InputError({path}, fmt::format("{}; accepted: a sequence in the open format (.seq) as "
                                         "text, or a table of samples, CSV",
                                         why));
}

std::shared_ptr<const files::OpenFile> opened(const std::string& path) {
    try {
        auto file = std::make_shared<const files::OpenFile>(path);
        if (file->size() > largest_waveform_file) refuse(path, "a file of more than 8 GiB");
        return file;
    } catch (const files::CannotRead& cannot) {
        if (files::is_machine_fault(cannot.error()))
            throw std::system_error(cannot.error(), std::generic_category(), path);
        const bool is_missing = cannot.why() == files::CannotRead::Why::Missing;
        refuse(path, fmt::format("cannot be read: {}{}", cannot.what(),
                                 is_missing ? files::nearest_there(path, may_be_a_waveform) : ""));
    }
}

/// Whether it is a sequence: the first line that says something is a section's heading.
bool is_sequence(const files::OpenFile& file) {
    constexpr std::string_view binary = "\x01pulseq\x02";
    std::array<char, binary.size()> begin{};
    if (file.read_at(0, begin) == begin.size() && std::string_view(begin.data(), 8) == binary)
        refuse(file.path(), "a sequence in the format's binary form");
    TextLines lines(file);
    while (lines.next()) {
        if (!says_nothing(lines.text())) return is_heading(lines.text());
    }
    refuse(file.path(), "nothing stands in the file");
}

void add_notes(const SeqParts& parts, const SeqSurvey& survey, const std::string& path,
               std::vector<ReadingNote>& notes) {
    notes = parts.notes;
    const auto add = [&](const char* code, unsigned line, std::string text) {
        notes.push_back({code, std::move(text), {path, line}});
    };
    if (survey.waits_at) {
        add("waits", *survey.waits_at,
            "the sequence waits for a trigger here: it may last longer, and be quieter on average");
    }
    if (survey.soft_at) {
        add("soft-delay", *survey.soft_at,
            "how long this block lasts may be set at the scanner; the file's own duration counts");
    }
    const Seconds lasts(survey.once_through);
    if (parts.stated_duration &&
        std::abs((*parts.stated_duration - lasts).count()) > most_off_stated * lasts.count()) {
        notes.push_back({"duration",
                         fmt::format("TotalDuration says {:.6g} s, the blocks last {:.6g} s, which "
                                     "counts",
                                     parts.stated_duration->count(), lasts.count()),
                         parts.stated_at});
    }
}

}  // namespace

const std::string& WaveformFile::sha256() {
    if (sum_at_work_) {
        sum_ = sum_at_work_->sum();
        sum_at_work_.reset();
    }
    return sum_;
}

void WaveformFile::require_unchanged() const {
    if (!file_->is_unchanged()) refuse(path(), "written to while it was read");
}

WaveformFile open_waveform(const std::string& path, const WaveformTerms& terms) {
    WaveformFile waveform(opened(path));
    const auto& file = waveform.file_;
    waveform.terms_ = terms;
    std::unique_ptr<WaveformSource> source;
    if (is_sequence(*file)) {
        auto parts = std::make_shared<const SeqParts>(read_seq_parts(*file));
        const SeqSurvey survey = survey_blocks(*file, *parts, terms.repeat);
        waveform.version_ = std::string(parts->version.name);
        waveform.title_ = parts->title;
        add_notes(*parts, survey, path, waveform.notes_);
        source = std::make_unique<SeqWaveform>(file, std::move(parts), terms.repeat,
                                               survey.waits_at.has_value());
    } else {
        auto table = std::make_unique<TableWaveform>(file, terms.repeat);
        for (const std::string& heading : table->passed_over()) {
            waveform.add_note({"unused-column",
                               fmt::format("the column \"{}\" was passed over", heading),
                               {path}});
        }
        source = std::move(table);
    }
    if (terms.rotation != Rotation())
        source = std::make_unique<TurnedWaveform>(std::move(source), terms.rotation);
    waveform.source_ = std::move(source);
    waveform.sum_at_work_ = std::make_unique<files::Sha256Meanwhile>(file);
    return waveform;
}

}  // namespace earbudget::waveforms
