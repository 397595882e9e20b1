#include "earbudget/acoustics/bands.hpp"
#include "earbudget/study/sequence.hpp"
#include "files/keys.hpp"

namespace earbudget::files {

// A scanner's response to its gradients: what `response` writes and `predict` reads.

namespace {

/// More lines than a recorder of 192 kHz gives, 3 Hz apart.
constexpr std::size_t most_lines = 40'000;

constexpr NumberRange frequencies{0.1, 100'000.0, "Hz"};
/// Louder than anything that a bore withstands: 1 Pa for 1 µT/m. Own choice.
constexpr NumberRange magnitudes{0.0, 1e6, "Pa/(T/m)"};
constexpr NumberRange uncertainties{0.0, highest_uncertainty.dB(), "dB"};
constexpr NumberRange differences{-200.0, 200.0, "dB"};

constexpr Key lines(std::string_view name, NumberRange range, std::string_view doc) {
    Key key = row::numbers(name, range, doc);
    key.most = most_lines;
    return key;
}

constexpr Key rows_of_axis[] = {
    row::flag("driven", "whether any recording's waveform used the axis", "true"),
    row::flag("separable",
              "whether it could be told apart from the others: false where they ran in step",
              "true"),
    row::count("time_base", NumberRange{0.0, 1000.0, ""},
               "axes with the same number were measured on one time; energies of others are added",
               "0"),
    lines("frequency_Hz", frequencies,
          "multiples of `bin_width_Hz`, rising; where one is left out the response is unknown"),
    lines("magnitude_Pa_per_T_per_m", magnitudes, "at each of them"),
    lines("phase_deg", NumberRange{-360.0, 360.0, "degrees"}, "at each of them"),
    lines("coherence", NumberRange{0.0, 1.0, ""}, "partial, at each of them"),
};
constexpr KeyTable axis_keys{"response_axis", rows_of_axis};

constexpr Key rows_of_axes[] = {
    row::table("x", &axis_keys, "of the gradient x"),
    row::table("y", &axis_keys, "of the gradient y"),
    row::table("z", &axis_keys, "of the gradient z"),
};
constexpr KeyTable axes_keys{"response_axes", rows_of_axes};

constexpr auto bands_of_uncertainty = [] {
    std::array<Key, third_octave_count> rows{};
    for (std::size_t n = 0; n < rows.size(); ++n)
        rows[n] = row::number(third_octave_names[n], uncertainties,
                              "third octave of this mid-band frequency, Hz");
    return rows;
}();
constexpr KeyTable third_octave_keys{"response_third_octave", bands_of_uncertainty};

constexpr Key rows_of_uncertainty[] = {
    row::number("LAeq", uncertainties,
                "standard uncertainty (k = 1) of a predicted LAeq; counts as at least 5 with fewer "
                "than three `[[left_out]]` that state an error, as at least 2 with more",
                "5"),
    row::table("third_octave", &third_octave_keys, "of predicted third octaves"),
};
constexpr KeyTable uncertainty_keys{"response_uncertainty", rows_of_uncertainty};

Words loads() { return {"phantom", "person", "empty"}; }

constexpr Key rows_of_response_origin[] = {
    row::text("how", "how the response came about"),
    row::text("who", "who measured"),
    row::text("when", "the date, YYYY-MM-DD"),
    row::text("where", "where the microphone was"),
    row::word("subject", loads, "the load in the bore"),
    row::text("instrument", "microphone and recorder"),
    row::text("calibration", "how the decibels came about"),
    row::texts("recordings", "the waveforms and recordings that it was estimated from"),
};
constexpr KeyTable response_origin_keys{"response_origin", rows_of_response_origin};

constexpr Key rows_of_left_out[] = {
    row::text("recording", "the recording that was held back"),
    row::number("LAeq_error_dB", differences, "LAeq that the others predict less the one measured"),
};
constexpr KeyTable left_out_keys{"response_left_out", rows_of_left_out};

constexpr Key rows_of_comparison[] = {
    row::text("sequence", "id of the card of the sequence", needed),
    row::text("when", "the date of the comparison, YYYY-MM-DD"),
    row::number("LAeq_difference_dB", differences, "predicted less measured", needed),
    row::flag("inside", "whether within twice the stated uncertainty"),
};
constexpr KeyTable comparison_keys{"response_comparison", rows_of_comparison};

constexpr Key rows_of_response[] = {
    row::text("title", "for people"),
    row::text("scanner", "the scanner that it is of"),
    row::text("software", "the scanner's software"),
    row::text("coil", "the coil that was in the bore"),
    row::number("bin_width_Hz", NumberRange{0.5, 100.0, "Hz"}, "between neighbouring frequencies",
                needed),
    row::table("uncertainty", &uncertainty_keys, "how far a prediction may be off"),
    row::table("origin", &response_origin_keys, "where it comes from"),
    row::table("axis", &axes_keys, "the response of each axis", needed),
    row::tables("left_out", &left_out_keys, 1000, "how well the others predict each recording"),
    row::tables("comparison", &comparison_keys, 1000,
                "a prediction beside what was measured later"),
};

}  // namespace

constexpr KeyTable response_file{"response", rows_of_response, &file_keys};

}  // namespace earbudget::files
