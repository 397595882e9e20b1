#include "waveforms/waveform_table.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "files/written_values.hpp"
#include "waveforms/seq_parts.hpp"
#include "waveforms/seq_sections.hpp"

namespace earbudget::waveforms {

namespace {

constexpr std::array<std::string_view, gradient_axes + 1> headings = {"time_s", "Gx_mT_per_m",
                                                                      "Gy_mT_per_m", "Gz_mT_per_m"};
constexpr std::string_view all_headings = "time_s, Gx_mT_per_m, Gy_mT_per_m, Gz_mT_per_m";
constexpr std::size_t most_columns = 100;
constexpr double longest_time = most_microseconds * 1e-6;  // s
constexpr double most_mT_per_metre = most_tesla_per_metre * 1e3;

std::string_view without_quotes(std::string_view cell) {
    cell = files::trimmed(cell, " \t");
    if (cell.size() >= 2 && cell.front() == '"' && cell.back() == '"')
        cell = files::trimmed(cell.substr(1, cell.size() - 2), " \t");
    return cell;
}

/// Calls with each cell of a line and its number from 0.
template <class Do>
void for_each_cell(std::string_view line, char separator, const Do& what) {
    for (std::size_t column = 0;; ++column) {
        const std::size_t end = line.find(separator);
        what(line.substr(0, end), column);
        if (end == line.npos) return;
        line.remove_prefix(end + 1);
    }
}

char separator_of(std::string_view line) {
    for (const char separator : {'\t', ';'})
        if (line.find(separator) != line.npos) return separator;
    return ',';
}

}  // namespace

TableWaveform::TableWaveform(std::shared_ptr<const files::OpenFile> file, unsigned repeat)
    : file_(std::move(file)), repeat_(repeat), lines_(*file_) {
    read_headings();
}

void TableWaveform::read_headings() {
    do {
        if (!lines_.next())
            throw InputError({file_->path()}, fmt::format("an empty file; accepted: a sequence, "
                                                          "or a table with the headings {}",
                                                          all_headings));
    } while (says_nothing(lines_.text()));
    separator_ = separator_of(lines_.text());
    std::array<bool, headings.size()> has{};
    for_each_cell(lines_.text(), separator_, [&](std::string_view cell, std::size_t column) {
        const auto at = static_cast<std::size_t>(cell.data() - lines_.text().data());
        cell = without_quotes(cell);
        if (column == most_columns)
            throw InputError(lines_.at(at), "more than 100 columns; accepted: at most that");
        width_ = column + 1;
        const std::string name = files::in_small_letters(cell);
        for (std::size_t i = 0; i < headings.size(); ++i) {
            if (name != files::in_small_letters(headings[i])) continue;
            if (has[i])
                throw InputError(lines_.at(at), fmt::format("{} a second time; accepted: each "
                                                            "heading once",
                                                            headings[i]));
            has[i] = true;
            columns_[i] = column;
            return;
        }
        passed_over_.push_back(shown(cell));
    });
    for (std::size_t i = 0; i < headings.size(); ++i) {
        if (has[i]) continue;
        throw InputError(lines_.at(), fmt::format("neither a sequence nor a table with the heading "
                                                  "{}; accepted: a sequence in the open format "
                                                  "(.seq) as text, or a table with the headings {}",
                                                  headings[i], all_headings));
    }
    samples_ = lines_.place();
}

double TableWaveform::number_in(std::string_view cell, std::size_t column) const {
    const std::string_view text = without_quotes(cell);
    auto value = finite_number(text);
    if (!value && separator_ != ',') {
        if (const auto with_point = files::with_decimal_point(text))
            value = finite_number(*with_point);
    }
    const bool is_time = column == 0;
    const double most = is_time ? 1e9 : most_mT_per_metre;
    if (!value || std::abs(*value) > most) {
        const auto at = static_cast<std::size_t>(cell.data() - lines_.text().data());
        throw InputError(lines_.at(at),
                         fmt::format("{} is \"{}\"; accepted: a finite number from {:g} to {:g}",
                                     headings[column], shown(text), -most, most));
    }
    return *value;
}

std::optional<TableWaveform::Sample> TableWaveform::next_sample() {
    do {
        if (!lines_.next()) return std::nullopt;
    } while (says_nothing(lines_.text()));
    Sample sample;
    std::size_t cells = 0;
    for_each_cell(lines_.text(), separator_, [&](std::string_view cell, std::size_t column) {
        ++cells;
        for (std::size_t i = 0; i < columns_.size(); ++i) {
            if (columns_[i] != column) continue;
            const double value = number_in(cell, i);
            if (i == 0) {
                sample.time = Seconds(value);
            } else {
                sample.gradient[i - 1] = value * 1e-3;
            }
        }
    });
    if (cells < width_)
        throw InputError(lines_.at(), fmt::format("{} cells; accepted: {}, as there are headings",
                                                  cells, width_));
    return sample;
}

void TableWaveform::rewind() {
    repetition_ = 1;
    begins_ = Seconds(0.0);
    last_.reset();
    lines_.go_to(samples_);
    (void)lines_.next();
}

std::optional<GradientPiece> TableWaveform::next() {
    if (!last_) {
        last_ = next_sample();
        if (!last_)
            throw InputError(lines_.at(), "a table without samples; accepted: two at least");
        first_time_ = last_->time;
    }
    auto sample = next_sample();
    if (!sample) {
        if (last_->time == first_time_)
            throw InputError(lines_.at(), "a table of one sample; accepted: two at least");
        if (repetition_ == repeat_) return std::nullopt;
        ++repetition_;
        begins_ += last_->time - first_time_;
        lines_.go_to(samples_);
        (void)lines_.next();
        last_.reset();
        return next();
    }
    if (sample->time <= last_->time) {
        throw InputError(lines_.at(), fmt::format("a sample at {:.9g} s behind one at {:.9g} s; "
                                                  "accepted: times that grow",
                                                  sample->time.count(), last_->time.count()));
    }
    const Seconds start = begins_ + (last_->time - first_time_);
    if ((start + (sample->time - last_->time)).count() > longest_time)
        throw InputError(lines_.at(),
                         "the waveform lasts more than a day; accepted: at most a day");
    const GradientPiece piece{start, sample->time - last_->time, last_->gradient, sample->gradient};
    last_ = sample;
    return piece;
}

}  // namespace earbudget::waveforms
