#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "files/error_list.hpp"
#include "files/ids.hpp"
#include "files/keys.hpp"
#include "files/table_reader.hpp"
#include "files/toml_tree.hpp"
#include "responses/stored_response.hpp"

namespace earbudget::responses {

namespace {

using files::TableReader;
using Numbers = std::vector<files::Located<double>>;

/// A frequency counts as the multiple of the bin width that it is nearest to, within this part of
/// the width: three decimals of a hertz at the narrowest. Own choice.
constexpr double nearest_multiple = 0.05;

Numbers numbers_in(TableReader& axis, std::string_view key) {
    auto stated = axis.numbers(key);
    return stated ? std::move(stated->value) : Numbers();
}

/// All of one length, or none.
void check_lengths(TableReader& axis, const Numbers& frequencies, const Numbers& others,
                   std::string_view key) {
    if (others.size() == frequencies.size()) return;
    axis.refuse(axis.has(key) ? key : "frequency_Hz",
                fmt::format("has {} values where \"frequency_Hz\" has {}; accepted: as many",
                            others.size(), frequencies.size()));
}

std::size_t bin_of(const files::Located<double>& frequency, double width, std::size_t before) {
    const double multiple = frequency.value / width;
    const double nearest = std::round(multiple);
    if (std::abs(multiple - nearest) > nearest_multiple || nearest < 1.0) {
        throw InputError(frequency.position,
                         fmt::format("{:.3f} Hz is no multiple of \"bin_width_Hz\", {:g} Hz; "
                                     "accepted: multiples of it",
                                     frequency.value, width));
    }
    const auto bin = static_cast<std::size_t>(nearest);
    if (bin <= before) {
        throw InputError(frequency.position,
                         fmt::format("{:.3f} Hz does not lie above the frequency before; accepted: "
                                     "rising frequencies",
                                     frequency.value));
    }
    return bin;
}

void read_lines(TableReader& table, double width, AxisResponse& axis) {
    const Numbers frequencies = numbers_in(table, "frequency_Hz");
    const Numbers magnitudes = numbers_in(table, "magnitude_Pa_per_T_per_m");
    const Numbers phases = numbers_in(table, "phase_deg");
    const Numbers coherences = numbers_in(table, "coherence");
    if (table.has_mistakes()) return;
    check_lengths(table, frequencies, magnitudes, "magnitude_Pa_per_T_per_m");
    check_lengths(table, frequencies, phases, "phase_deg");
    check_lengths(table, frequencies, coherences, "coherence");
    std::size_t bin = 0;
    for (std::size_t n = 0; n < frequencies.size(); ++n) {
        bin = bin_of(frequencies[n], width, bin);
        if (bin >= axis.lines.size()) axis.lines.resize(bin + 1);
        axis.lines[bin] = ResponseLine{
            std::polar(magnitudes[n].value, phases[n].value * std::numbers::pi / 180.0),
            coherences[n].value};
    }
}

void read_axis(TableReader& axes, std::string_view name, double width, AxisResponse& axis) {
    auto table = axes.table(name);
    if (!table) return;
    axis.driven = true;
    table->put("driven", axis.driven);
    table->put("separable", axis.separable);
    table->put("time_base", axis.time_base);
    table->attempt([&] { read_lines(*table, width, axis); });
}

void read_uncertainty(TableReader& file, ResponseUncertainty& uncertainty) {
    auto table = file.table("uncertainty");
    if (!table) return;
    table->put("LAeq", uncertainty.LAeq);
    auto bands = table->table("third_octave");
    if (!bands) return;
    for (std::size_t band = 0; band < third_octave_count; ++band)
        bands->put(third_octave_names[band], uncertainty.third_octave[band]);
}

void read_origin(TableReader& file, ResponseOrigin& origin) {
    auto table = file.table("origin");
    if (!table) return;
    table->put("how", origin.how);
    table->put("who", origin.who);
    table->put("when", origin.when);
    table->put("where", origin.where);
    table->put("subject", origin.subject);
    table->put("instrument", origin.instrument);
    table->put("calibration", origin.calibration);
    if (const auto recordings = table->texts("recordings")) {
        for (const auto& recording : recordings->value)
            origin.recordings.push_back(recording.value);
    }
}

void read_records(TableReader& file, StoredResponse& stored) {
    for (TableReader& table : file.tables("left_out")) {
        LeftOut left_out;
        table.put("recording", left_out.recording);
        table.put("LAeq_error_dB", left_out.LAeq_error);
        stored.left_out.push_back(left_out);
    }
    for (TableReader& table : file.tables("comparison")) {
        file.errors().attempt([&] {
            Comparison comparison;
            comparison.sequence = table.require_text("sequence").value;
            comparison.LAeq_difference =
                LevelDifference(table.require_number("LAeq_difference_dB").value);
            table.put("when", comparison.when);
            table.put("inside", comparison.inside);
            stored.comparisons.push_back(comparison);
        });
    }
}

void read_axes(TableReader& file, StoredResponse& stored) {
    const double width = file.require_number("bin_width_Hz").value;
    stored.response.bin_width = Frequency(width);
    auto axes = file.table("axis");
    if (!axes) {
        if (!file.has("axis") && !file.is_misspelt("axis"))
            file.errors().add({file.position(),
                               "the response file has no [axis.x], [axis.y] or "
                               "[axis.z]; accepted: at least one of them"});
        return;
    }
    read_axis(*axes, "x", width, stored.response.axes[0]);
    read_axis(*axes, "y", width, stored.response.axes[1]);
    read_axis(*axes, "z", width, stored.response.axes[2]);
}

}  // namespace

StoredResponse read_response(const std::string& path, files::TextInputs& inputs) {
    return files::without_mistakes([&](files::ErrorList& errors) {
        const files::TomlTable document = files::read_toml(path, inputs, nullptr, "response");
        TableReader file = files::open_document(document, path, files::response_file, errors);
        StoredResponse stored;
        file.put("title", stored.title);
        file.put("scanner", stored.scanner);
        file.put("software", stored.software);
        file.put("coil", stored.coil);
        read_uncertainty(file, stored.response.uncertainty);
        read_origin(file, stored.origin);
        errors.attempt([&] { read_axes(file, stored); });
        read_records(file, stored);
        return stored;
    });
}

}  // namespace earbudget::responses
