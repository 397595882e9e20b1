#include "files/measuring_setup.hpp"

#include <filesystem>

#include <fmt/format.h>

#include "files/error_list.hpp"
#include "files/ids.hpp"
#include "files/table_reader.hpp"
#include "files/toml_tree.hpp"

namespace earbudget::files {

namespace {

/// The path of a file that is named relative to the setup.
std::optional<std::string> recording_in(TableReader& file, std::string_view key,
                                        const std::string& setup) {
    const auto stated = file.text(key);
    if (!stated) return std::nullopt;
    if (stated->value.empty()) {
        file.report(key, "is empty; accepted: the name of a recording");
        return std::nullopt;
    }
    return (std::filesystem::path(setup).parent_path() / stated->value).string();
}

/// Both or neither.
void require_together(TableReader& file, std::string_view one, std::string_view other) {
    const auto require = [&](std::string_view there, std::string_view absent) {
        if (file.has(there) && !file.has(absent) && !file.is_misspelt(absent))
            file.report(there, fmt::format("stands without \"{}\"; accepted: both", absent));
    };
    require(one, other);
    require(other, one);
}

void check_calibration(TableReader& file) {
    require_together(file, "calibration", "calibrator_level");
    require_together(file, "sensitivity", "full_scale_volts");
    if (file.has("calibration_after") && !file.has("calibration"))
        file.report("calibration_after", "stands without \"calibration\"; accepted: both");
    std::string_view first;
    for (const std::string_view key : {"calibration", "full_scale_level", "sensitivity"}) {
        if (!file.has(key)) continue;
        if (!first.empty())
            file.report(key, fmt::format("stands beside \"{}\"; accepted: one way to calibrate, "
                                         "\"calibration\", \"full_scale_level\" or \"sensitivity\"",
                                         first));
        first = key;
    }
}

MeasuringSetup read_setup(TableReader& file, const std::string& path) {
    MeasuringSetup setup;
    setup.calibration = recording_in(file, "calibration", path);
    setup.calibration_after = recording_in(file, "calibration_after", path);
    setup.background = recording_in(file, "background", path);
    file.put("calibrator_level", setup.calibrator_level_dB);
    file.put("full_scale_level", setup.full_scale_level_dB);
    file.put("sensitivity", setup.sensitivity_mV_per_Pa);
    file.put("full_scale_volts", setup.full_scale_volts);
    file.put("channel", setup.channel);
    file.put("instrument_class", setup.instrument_class);
    file.put("uncertainty", setup.uncertainty_dB);
    file.put("instrument", setup.instrument);
    file.put("position", setup.position);
    file.put("scanner", setup.scanner);
    file.put("software", setup.software);
    file.put("coil", setup.coil);
    file.put("who", setup.who);
    file.put("when", setup.when);
    file.put("subject", setup.subject);
    check_calibration(file);
    return setup;
}

}  // namespace

MeasuringSetup read_measuring_setup(const std::string& path, TextInputs& inputs) {
    return without_mistakes([&](ErrorList& errors) {
        const TomlTable document = read_toml(path, inputs, nullptr, "setup");
        TableReader file = open_document(document, path, setup_file, errors);
        return read_setup(file, path);
    });
}

}  // namespace earbudget::files
