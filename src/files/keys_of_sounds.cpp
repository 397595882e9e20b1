#include "earbudget/protection/protector.hpp"
#include "earbudget/study/sequence.hpp"
#include "files/keys.hpp"
#include "files/limits.hpp"

namespace earbudget::files {

// Cards and catalogues: what was measured, whatever is planned with it.

namespace {

using Type = Key::Type;

constexpr NumberRange uncertainty_range{0.0, highest_uncertainty.dB(), "dB"};
constexpr NumberRange attenuation_range{-20.0, 80.0, "dB"};

constexpr auto level_bands = band_rows(level_range);

constexpr Key rows_of_parts[] = {
    {"instrument", Type::Number, "of the instrument", "0", uncertainty_range},
    {"position", Type::Number, "of the microphone's place", "0", uncertainty_range},
    {"run", Type::Number, "from one run to the next", "0", uncertainty_range},
};
constexpr KeyTable part_keys{"uncertainty_parts", rows_of_parts};

constexpr Key rows_of_levels[] = {
    {"LAeq", Type::Number, "dB(A); may be left out where the octave bands are stated",
     "the sum of the bands", level_range},
    {"LCeq", Type::Number,
     "dB(C); needed by `slc80` where there are no octave bands, and by `snr` unless "
     "`low_frequency = false`",
     "", level_range},
    {"LCpeak", Type::Number, "highest peak, C-weighted", "", level_range},
    {"LZpeak", Type::Number, "highest peak, unweighted", "", level_range},
    {"uncertainty", Type::Number, "standard uncertainty (k = 1) of the levels as a whole", "",
     uncertainty_range},
    {"uncertainty_parts",
     Type::Table,
     "what it is made of (k = 1): the parts combine to `uncertainty` within 0.1 dB, or give it",
     "",
     {},
     nullptr,
     &part_keys},
    {"octave", Type::Table, "unweighted octave-band levels", "", {}, nullptr, &octave_keys},
    {"octave_A",
     Type::Table,
     "A-weighted octave-band levels as measured, in place of `octave` and the weighting at "
     "mid-band; `measure` writes them for tones near the edge of a band",
     "",
     {},
     nullptr,
     &octave_keys},
    {"low_frequency", Type::Flag,
     "whether low frequencies are strong in it: LC − LA of 5 dB or more, measured, or known of "
     "sounds of its kind"},
};

constexpr Key rows_of_card_levels[] = {
    {"LAeq_is_upper_bound", Type::Flag,
     "whether the background was too close to be taken off, so that LAeq may be lower", "false"},
    {"spectrum_like", Type::Text,
     "id of another card of the same folder whose octave bands stand for this one's, shifted to "
     "this LAeq; never its peak"},
};
constexpr KeyTable card_level_keys{"card_levels", rows_of_card_levels, &level_keys};

Words ways_to_state() { return {"measured", "entered", "guessed"}; }
Words subjects() { return {"phantom", "person", "empty"}; }

constexpr Key rows_of_origin[] = {
    {"how", Type::Word, "how the levels came about", needed, {}, ways_to_state},
    {"who", Type::Text, "who measured"},
    {"when", Type::Text, "the date"},
    {"where", Type::Text, "the place"},
    {"subject", Type::Word, "what lay in the scanner", "", {}, subjects},
    {"timing", Type::Text, "timing of the protocol that was measured, which a level belongs to"},
    {"instrument", Type::Text, "the instrument"},
    {"instrument_class", Type::Count, "its class by IEC 61672-1:2013", "", {1.0, 2.0, ""}},
    {"calibration", Type::Text, "how the decibels came about"},
    {"background", Type::Text, "what was taken off, where something was"},
    {"uncertainty", Type::Text, "what the uncertainty is made of"},
    {"recording", Type::Text, "the recording's name and channel"},
    {"recording_sha256", Type::Text, "SHA-256 of that file, hexadecimal"},
    {"duration_s",
     Type::Number,
     "length of the recording that the levels were measured from, seconds",
     "",
     {0.0, 3'600'000.0, "s"}},
};
constexpr KeyTable origin_keys{"origin", rows_of_origin};

constexpr Key rows_of_file[] = {
    {"kind", Type::Text, "the kind of file", needed},
    {"format", Type::Count, "the version of the format", needed, {1.0, 1.0, ""}},
};

constexpr Key rows_of_card[] = {
    {"id", Type::Id, "name in plans", needed},
    {"title", Type::Text, "for people", "the id"},
    {"levels",
     Type::Table,
     "at the participant's ear position, nobody protected, averaged over one run",
     needed,
     {},
     nullptr,
     &card_level_keys},
    {"origin", Type::Table, "where the levels come from", "", {}, nullptr, &origin_keys},
};

Words type_names() { return names_of(protector_types); }
Words canals_fitted() { return names_of(canal_sizes); }

constexpr Key rows_of_attenuation[] = {
    {"frequency",
     Type::Numbers,
     "octave bands, 63 to 8000 Hz, in any order; 3150 (or 3000) and 6300 (or 6000) Hz may stand "
     "there too and count for the NRR that `ratings` computes and for nothing else",
     "",
     {63.0, 8000.0, "Hz"},
     nullptr,
     nullptr,
     most_values},
    {"mean", Type::Numbers, "mean attenuation in each of them", "", attenuation_range, nullptr,
     nullptr, most_values},
    {"sd",
     Type::Numbers,
     "standard deviation between people in each of them",
     "",
     {0.0, 30.0, "dB"},
     nullptr,
     nullptr,
     most_values},
    {"SNR", Type::Number, "rating (ISO 4869-2:2018)", "", attenuation_range},
    {"H", Type::Number, "rating for high frequencies (ISO 4869-2:2018)", "", attenuation_range},
    {"M", Type::Number, "rating for medium frequencies (ISO 4869-2:2018)", "", attenuation_range},
    {"L", Type::Number, "rating for low frequencies (ISO 4869-2:2018)", "", attenuation_range},
    {"NRR", Type::Number, "rating (40 CFR 211)", "", attenuation_range},
    {"NRR_SF", Type::Number, "rating by subjects who fit it themselves", "", attenuation_range},
    {"SLC80", Type::Number, "rating (AS/NZS 1270, memory)", "", attenuation_range},
    {"PAR", Type::Number, "what a fit test reached, here that of others, of which a warning tells",
     "", attenuation_range},
};

constexpr Key rows_of_protector[] = {
    {"id", Type::Id, "name in plans", needed},
    {"title", Type::Text, "for people", "the id"},
    {"type", Type::Word, "its type; a `foam-plug` is a formable one", needed, {}, type_names},
    {"fits_head_coil", Type::Flag,
     "in the bore an earmuff not stated to fit the head coil is not advised"},
    {"metal_free", Type::Flag,
     "near the magnet what is not stated to be free of metal is advised on that condition alone"},
    {"canal",
     Type::Texts,
     "ear canals that a plug is made for",
     "all",
     {},
     canals_fitted,
     nullptr,
     most_values},
};
constexpr KeyTable protector_keys{"protector", rows_of_protector, nullptr, &attenuation_keys};

constexpr Key rows_of_pair[] = {
    {"protectors",
     Type::Texts,
     "the ids of a plug and an earmuff, worn together",
     needed,
     {},
     nullptr,
     nullptr,
     2},
};
constexpr KeyTable pair_keys{"pair", rows_of_pair, nullptr, &attenuation_keys};

constexpr Key rows_of_catalogue[] = {
    {"protector", Type::Tables, "a protector", "", {}, nullptr, &protector_keys, most_protectors},
    {"pair",
     Type::Tables,
     "two protectors worn together, as measured",
     "",
     {},
     nullptr,
     &pair_keys,
     most_pairs},
};

}  // namespace

constexpr KeyTable file_keys{"file", rows_of_file};
constexpr KeyTable octave_keys{"octave", level_bands};
constexpr KeyTable level_keys{"levels", rows_of_levels};
constexpr KeyTable attenuation_keys{"attenuation", rows_of_attenuation};
constexpr KeyTable card_file{"sequence", rows_of_card, &file_keys};
constexpr KeyTable catalogue_file{"protectors", rows_of_catalogue, &file_keys};

}  // namespace earbudget::files
