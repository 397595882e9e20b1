#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/excitation/waveform.hpp"
#include "waveforms/text_lines.hpp"

namespace earbudget::waveforms {

/// Gradients from a table of samples: time_s, Gx_mT_per_m, Gy_mT_per_m, Gz_mT_per_m, in any order,
/// between commas, semicolons or tabs; straight between the samples, from the first to the last.
class TableWaveform final : public WaveformSource {
  public:
    /// Reads the headings. Throws InputError at the place where one is missing or twice.
    TableWaveform(std::shared_ptr<const files::OpenFile> file, unsigned repeat);

    /// Throws InputError for a cell that is no finite number or out of range, for times that do not
    /// grow, for fewer than two samples and for more than a day.
    [[nodiscard]] std::optional<GradientPiece> next() override;
    void rewind() override;

    /// Headings that are none of the four.
    [[nodiscard]] const std::vector<std::string>& passed_over() const { return passed_over_; }

  private:
    struct Sample {
        Seconds time{0.0};
        AxisVector gradient{};
    };
    void read_headings();
    [[nodiscard]] std::optional<Sample> next_sample();
    [[nodiscard]] double number_in(std::string_view cell, std::size_t column) const;

    std::shared_ptr<const files::OpenFile> file_;
    unsigned repeat_;
    TextLines lines_;
    char separator_ = ',';
    std::array<std::size_t, gradient_axes + 1> columns_{};  ///< of time, x, y, z
    std::size_t width_ = 0;
    std::vector<std::string> passed_over_;
    LinePlace samples_;  ///< the line of the headings
    unsigned repetition_ = 1;
    std::optional<Sample> last_;
    Seconds begins_{0.0};  ///< of this repetition, less the first sample's time
    Seconds first_time_{0.0};
};

}  // namespace earbudget::waveforms
