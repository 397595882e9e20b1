#include "earbudget/protection/protector.hpp"
#include "earbudget/study/sequence.hpp"
#include "files/keys.hpp"

namespace earbudget::files {

// Cards and catalogues: what was measured, whatever is planned with it.

namespace {

constexpr NumberRange uncertainty_range{0.0, highest_uncertainty.dB(), "dB"};
constexpr NumberRange attenuation_range{-20.0, 80.0, "dB"};

constexpr auto level_bands = row::bands(level_range);

constexpr Key rows_of_parts[] = {
    row::number("instrument", uncertainty_range, "of the instrument", "0"),
    row::number("position", uncertainty_range, "of the microphone's place", "0"),
    row::number("run", uncertainty_range, "from one run to the next", "0"),
};
constexpr KeyTable part_keys{"uncertainty_parts", rows_of_parts};

constexpr Key rows_of_levels[] = {
    row::number("LAeq", level_range, "dB(A); may be left out where the octave bands are stated",
                "the sum of the bands"),
    row::number("LCeq", level_range,
                "dB(C); needed by `slc80` where there are no octave bands, and by `snr` unless "
                "`low_frequency = false`"),
    row::number("LCpeak", level_range, "highest peak, C-weighted"),
    row::number("LZpeak", level_range, "highest peak, unweighted"),
    row::number("uncertainty", uncertainty_range,
                "standard uncertainty (k = 1) of the levels as a whole"),
    row::table(
        "uncertainty_parts", &part_keys,
        "what it is made of (k = 1): the parts combine to `uncertainty` within 0.1 dB, or give it"),
    row::table("octave", &octave_keys, "unweighted octave-band levels"),
    row::table(
        "octave_A", &octave_keys,
        "A-weighted octave-band levels as measured, in place of `octave` and the weighting at "
        "mid-band; `measure` writes them for tones near the edge of a band"),
    row::flag(
        "low_frequency",
        "whether low frequencies are strong in it: LC − LA of 5 dB or more, measured, or known of "
        "sounds of its kind"),
};

constexpr Key rows_of_card_levels[] = {
    row::flag("LAeq_is_upper_bound",
              "whether the background was too close to be taken off, so that LAeq may be lower",
              "false"),
    row::text(
        "spectrum_like",
        "id of another card of the same folder whose octave bands stand for this one's, shifted to "
        "this LAeq; never its peak"),
};
constexpr KeyTable card_level_keys{"card_levels", rows_of_card_levels, &level_keys};

Words subjects() { return {"phantom", "person", "empty"}; }

constexpr auto rows_of_origin = [] {
    std::array<Key, origin_rows.size()> rows{};
    for (std::size_t n = 0; n < rows.size(); ++n) {
        const auto& [name, doc, member] = origin_rows[n];
        rows[n] = member.index() == 0   ? row::text(name, doc)
                  : member.index() == 1 ? row::count(name, {1.0, 2.0, ""}, doc)
                                        : row::number(name, {0.0, 3'600'000.0, "s"}, doc);
        if (name == "how") rows[n] = row::word(name, words_of<origin_ways>, doc, needed);
        if (name == "subject") rows[n] = row::word(name, subjects, doc);
    }
    return rows;
}();
constexpr KeyTable origin_keys{"origin", rows_of_origin};

constexpr Key rows_of_file[] = {
    row::text("kind", "the kind of file", needed),
    row::count("format", NumberRange{1.0, 1.0, ""}, "the version of the format", needed),
    row::flag(key_of_examples,
              "the figures are invented, to be replaced: every answer that uses the file says so; "
              "`new` writes it, and you delete the line once they are yours",
              "false"),
};

constexpr Key rows_of_card[] = {
    row::id("id", "name in plans", needed),
    row::text("title", "for people", "the id"),
    row::text("scanner", "the scanner that it was measured in"),
    row::text("software", "the scanner's software"),
    row::text("coil", "the coil that was in the bore"),
    row::text(
        "valid_until",
        "the last day on which it is used, `\"YYYY-MM-DD\"`; a plan that uses it later says so"),
    row::texts_or_one("supersedes",
                      "ids of cards that it stands for now; a plan that uses one of those says so"),
    row::table("levels", &card_level_keys,
               "at the participant's ear position, nobody protected, averaged over one run",
               needed),
    row::table("origin", &origin_keys, "where the levels come from"),
};

/// A full scale may lie above every sound that a channel will carry. Own choice.
constexpr NumberRange full_scale_levels{lowest_level_dB, 250.0, "dB"};
/// Far beyond every microphone and recorder. Own choices.
constexpr NumberRange microphone_sensitivities{1e-6, 1e6, "mV/Pa"};
constexpr NumberRange full_scale_voltages{1e-6, 1e6, "V"};

constexpr Key rows_of_setup[] = {
    row::text("calibration", "recording of a calibrator's tone, relative to this file"),
    row::text("calibration_after", "the tone recorded again after the measurement"),
    row::number("calibrator_level", level_range, "level that the calibrator produced"),
    row::number("full_scale_level", full_scale_levels,
                "RMS level of a full-scale sine, in the place of a calibration"),
    row::number("sensitivity", microphone_sensitivities,
                "of the microphone, in the place of a calibration, with `full_scale_volts`"),
    row::number("full_scale_volts", full_scale_voltages,
                "peak volts at the recorder's input that reach full scale"),
    row::text("background",
              "recording at the same place and gain without a sequence, relative to this file"),
    row::count("channel", NumberRange{1.0, static_cast<double>(most_channels), ""},
               "only this channel", "all"),
    row::text("instrument", "microphone and recorder"),
    row::count("instrument_class", NumberRange{1.0, 2.0, ""}, "its class by IEC 61672-1:2013"),
    row::text("position", "where the microphone was; on cards `where`"),
    row::word("subject", subjects, "the load in the bore"),
    row::text("scanner", "on cards"),
    row::text("software", "of the scanner, on cards"),
    row::text("coil", "on cards"),
    row::text("who", "who measured"),
    row::text("when", "the date, YYYY-MM-DD"),
    row::number("uncertainty", uncertainty_range,
                "standard uncertainty (k = 1) of the levels for cards", "the one proposed"),
};

constexpr Key rows_of_attenuation[] = {
    row::numbers(
        "frequency", NumberRange{63.0, 8000.0, "Hz"},
        "octave bands, 63 to 8000 Hz, in any order; 3150 (or 3000) and 6300 (or 6000) Hz may stand "
        "there too and count for the NRR that `ratings` computes and for nothing else"),
    row::numbers("mean", attenuation_range, "mean attenuation in each of them"),
    row::numbers("sd", NumberRange{0.0, 30.0, "dB"},
                 "standard deviation between people in each of them"),
    row::number("SNR", attenuation_range, "rating (ISO 4869-2:2018)"),
    row::number("H", attenuation_range, "rating for high frequencies (ISO 4869-2:2018)"),
    row::number("M", attenuation_range, "rating for medium frequencies (ISO 4869-2:2018)"),
    row::number("L", attenuation_range, "rating for low frequencies (ISO 4869-2:2018)"),
    row::number("NRR", attenuation_range, "rating (40 CFR 211)"),
    row::number("NRR_SF", attenuation_range, "rating by subjects who fit it themselves"),
    row::number("SLC80", attenuation_range, "rating (AS/NZS 1270, memory)"),
    row::number("PAR", attenuation_range,
                "what a fit test reached, here that of others, of which a warning tells"),
};

constexpr Key rows_of_protector[] = {
    row::id("id", "name in plans", needed),
    row::text("title", "for people", "the id"),
    row::word("type", words_of<protector_types>,
              "its type; a `foam-plug` is a formable one, a `pad` one of the head coil, which "
              "counts only as "
              "measured",
              needed),
    row::flag("fits_head_coil",
              "in the bore an earmuff not stated to fit the head coil is not advised"),
    row::flag("metal_free",
              "near the magnet what is not stated to be free of metal is advised on that condition "
              "alone"),
    row::texts("canal", "ear canals that a plug is made for", "all", words_of<canal_sizes>),
};
constexpr Key rows_of_pair[] = {
    row::texts("protectors", "the ids of a plug and an earmuff, worn together", needed, nullptr, 2),
};
constexpr KeyTable pair_keys{"pair", rows_of_pair, nullptr, &attenuation_keys};

constexpr Key rows_of_catalogue[] = {
    row::tables("protector", &protector_keys, most_protectors, "a protector"),
    row::tables("pair", &pair_keys, most_pairs, "two protectors worn together, as measured"),
};

}  // namespace

constexpr KeyTable file_keys{"file", rows_of_file};
constexpr KeyTable octave_keys{"octave", level_bands};
constexpr KeyTable level_keys{"levels", rows_of_levels};
constexpr KeyTable attenuation_keys{"attenuation", rows_of_attenuation};
constexpr KeyTable protector_keys{"protector", rows_of_protector, nullptr, &attenuation_keys};
constexpr KeyTable card_file{"sequence", rows_of_card, &file_keys};
constexpr KeyTable setup_file{"setup", rows_of_setup, &file_keys};
constexpr KeyTable catalogue_file{"protectors", rows_of_catalogue, &file_keys};

}  // namespace earbudget::files
