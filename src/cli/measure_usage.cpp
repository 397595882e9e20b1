#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>

#include <fmt/format.h>

#include "cli/measure_inputs.hpp"
#include "earbudget/study/visible_text.hpp"
#include "files/study_files.hpp"
#include "files/text_inputs.hpp"
#include "files/written_values.hpp"

namespace earbudget::cli {

namespace {

[[noreturn]] void refuse_usage(const std::string& message) {
    throw UsageProblem("earbudget measure: " + message);
}

/// A card of another name would not be found in its folder.
void check_names(const MeasureOptions& options) {
    if (options.card && !files::is_read_in_folder(*options.card)) {
        refuse_usage(
            fmt::format("--card \"{}\" would not be found among the cards of its folder; accepted: "
                        "a file name that ends in .toml and does not begin with a dot",
                        *options.card));
    }
    if (options.history && std::filesystem::path(*options.history).extension() != ".csv") {
        refuse_usage(
            fmt::format("--history \"{}\" is a table; accepted: a file name that ends in .csv",
                        *options.history));
    }
}

void check_pairs(const MeasureOptions& options) {
    if (options.calibration.empty() == options.calibrator_level_dB.has_value()) {
        refuse_usage(
            "--calibration and --calibrator-level go together; accepted: the recording of a "
            "calibrator's tone and the level in dB that it produced");
    }
    const std::size_t microphones = options.sensitivity_mV_per_Pa.size();
    const std::size_t volts = options.full_scale_volts.size();
    if (volts > 1 && microphones > 0 && volts != microphones) {
        refuse_usage(
            fmt::format("--sensitivity is given {} times and --full-scale-volts {} times; "
                        "accepted: the volts once, or once for each microphone",
                        microphones, volts));
    }
    if ((microphones == 0) != (volts == 0)) {
        refuse_usage(
            "--sensitivity and --full-scale-volts go together; accepted: mV/Pa of each microphone "
            "and the peak volts at full scale, once or for each");
    }
    if (options.calibration.empty() &&
        (!options.calibration_after.empty() || options.accept_drift)) {
        refuse_usage(
            "--calibration-after and --accept-drift need --calibration; accepted: the tone "
            "recorded before and after the measurement");
    }
    if (options.calibration_after.empty() && options.accept_drift) {
        refuse_usage("--accept-drift needs --calibration-after; accepted: both");
    }
}

void check_calibration(const MeasureOptions& options) {
    const int given = (options.calibration.empty() ? 0 : 1) +
                      (options.full_scale_level_dB.empty() ? 0 : 1) +
                      (options.sensitivity_mV_per_Pa.empty() ? 0 : 1);
    if (given > 1) {
        refuse_usage(
            "two calibrations are given; accepted: one of --calibration, --full-scale-level and "
            "--sensitivity");
    }
    if (given == 0) {
        refuse_usage(
            "without a calibration there are no decibels; accepted: --calibration FILE with "
            "--calibrator-level DB, --full-scale-level DB, or --sensitivity MV_PER_PA with "
            "--full-scale-volts V");
    }
}

std::string why_no_moment(const std::string& text) {
    const auto right = files::with_decimal_point(text);
    return right ? fmt::format(", with a decimal comma (with a decimal point: {})", *right)
                 : std::string(files::why_no_duration(text));
}

std::optional<Seconds> checked_moment(const std::optional<std::string>& text,
                                      std::string_view option) {
    if (!text) return std::nullopt;
    const auto time = parse_moment(*text);
    if (!time || !std::isfinite(time->count())) {
        refuse_usage(fmt::format("{} is \"{}\"{}; accepted: seconds, \"1 min 20 s\" or 00:01:20",
                                 option, *text, why_no_moment(*text)));
    }
    if (const auto note = files::note_on_duration(*text))
        say(fmt::format("note: {}: {}", option, *note));
    return time;
}

void check_part(const MeasureOptions& options) {
    const auto from = checked_moment(options.from, "--from");
    const auto to = checked_moment(options.to, "--to");
    if (to && from.value_or(Seconds(0.0)) >= *to) {
        refuse_usage("--to is not after --from; accepted: a later time");
    }
}

/// What no card could be read again with.
void check_texts(const MeasureOptions& options) {
    using Text = std::pair<std::string_view, const std::string&>;
    for (const auto& [option, text] :
         {Text{"--title", options.card_title}, Text{"--who", options.who},
          Text{"--when", options.when}, Text{"--where", options.where},
          Text{"--scanner", options.scanner}, Text{"--software", options.software},
          Text{"--coil", options.coil}, Text{"--instrument", options.instrument}}) {
        if (!characters_of(text)) {
            refuse_usage(fmt::format("{} is \"{}\", which is not UTF-8; accepted: text in UTF-8",
                                     option, visible_text(text)));
        }
        if (text.size() > files::longest_text) {
            refuse_usage(fmt::format("{} has {} bytes; accepted: at most {}", option, text.size(),
                                     files::longest_text));
        }
    }
}

void check_cards_usage(const MeasureOptions& options) {
    if (options.card || !options.card_id.empty() || !options.card_title.empty()) {
        refuse_usage(
            "--card, --id and --title are for one card, --cards for several; accepted: --cards "
            "FOLDER, with ids and titles in --table FILE");
    }
    if (options.find_runs) {
        refuse_usage(
            "--cards is for recordings of one run each, --find-runs for a session; accepted: "
            "--find-runs first, then --card with --from and --to");
    }
    check_texts(options);
}

void check_card_usage(const MeasureOptions& options) {
    if (options.cards) return check_cards_usage(options);
    if (options.table) {
        refuse_usage("--table is for several cards; accepted: with --cards FOLDER");
    }
    if (!options.card) {
        const auto is_stated = [](const std::string& text) { return !text.empty(); };
        const bool for_a_card =
            options.uncertainty_dB ||
            std::ranges::any_of(std::array{options.card_id, options.card_title, options.who,
                                           options.when, options.where, options.scanner,
                                           options.software, options.coil, options.instrument,
                                           options.subject.value_or("")},
                                is_stated);
        if (for_a_card) {
            refuse_usage(
                "--id, --title, --uncertainty, --who, --when, --where, --scanner, --software, "
                "--coil, --subject and --instrument are for a card; accepted: with --card FILE or "
                "--cards FOLDER");
        }
        return;
    }
    if (options.recordings.size() != 1) {
        refuse_usage(
            "--card is for one recording; accepted: one RECORDING, or --cards FOLDER for a card of "
            "each");
    }
    check_texts(options);
    if (const auto why = files::why_no_id(card_id(options))) {
        refuse_usage(fmt::format("\"{}\"{} is no id for a card; accepted: --id with {}",
                                 card_id(options), *why, files::accepted_ids));
    }
}

}  // namespace

void check_measure_usage(const MeasureOptions& options) {
    check_names(options);
    check_pairs(options);
    check_calibration(options);
    check_part(options);
    check_card_usage(options);
    if (options.card && options.find_runs) {
        refuse_usage(
            "--card is for one run, --find-runs for a session; accepted: --find-runs first, then "
            "--card with --from and --to");
    }
}

}  // namespace earbudget::cli
