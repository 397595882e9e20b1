#pragma once

#include <string>
#include <vector>

#include "earbudget/excitation/waveform_figures.hpp"
#include "support/temporary_folder.hpp"
#include "waveforms/open_waveform.hpp"

namespace earbudget::test {

/// 1 mT/m as sequences write it, in Hz/m, with 42.576 MHz/T.
inline constexpr double Hz_per_m_of_one_mT = 42576.0;

/// The head of a sequence of a version from 1.4 on.
inline std::string sequence_head(const std::string& minor = "4", const std::string& revision = "1",
                                 const std::string& more_definitions = "") {
    return "# A sequence of a test\n\n[VERSION]\nmajor 1\nminor " + minor + "\nrevision " +
           revision +
           "\n\n[DEFINITIONS]\nAdcRasterTime 1e-07\nBlockDurationRaster 1e-05\n"
           "GradientRasterTime 1e-05\nRadiofrequencyRasterTime 1e-06\n" +
           more_definitions + "\n";
}

/// The head of a sequence of an earlier version.
inline std::string early_head(const std::string& minor, const std::string& revision) {
    return "[VERSION]\nmajor 1\nminor " + minor + "\nrevision " + revision +
           "\n\n[DEFINITIONS]\nName test\n\n";
}

/// A sequence that a test wrote, with all of its pieces.
struct WrittenSequence {
    TemporaryFolder folder;
    std::string path;

    explicit WrittenSequence(const std::string& text, const std::string& name = "test.seq")
        : path(folder.write(name, text)) {}

    [[nodiscard]] waveforms::WaveformFile opened(const waveforms::WaveformTerms& terms = {}) const {
        return waveforms::open_waveform(path, terms);
    }
    [[nodiscard]] WaveformFigures figures(const waveforms::WaveformTerms& terms = {}) const {
        auto file = opened(terms);
        return figures_of(file.source());
    }
    [[nodiscard]] std::vector<GradientPiece> pieces(
        const waveforms::WaveformTerms& terms = {}) const {
        auto file = opened(terms);
        std::vector<GradientPiece> all;
        while (const auto piece = file.source().next())
            all.push_back(*piece);
        return all;
    }
    /// The codes of what is noted of it.
    [[nodiscard]] std::string notes() const {
        std::string codes;
        const auto file = opened();
        for (const ReadingNote& note : file.notes())
            codes += (codes.empty() ? "" : " ") + note.code;
        return codes;
    }
    /// What it is refused with, behind the path; empty where it is not.
    [[nodiscard]] std::string refusal() const {
        try {
            static_cast<void>(figures());
            return "";
        } catch (const InputError& error) {
            const std::string text = error.what();
            return text.starts_with(path) ? text.substr(path.size() + 1) : text;
        }
    }
};

}  // namespace earbudget::test
