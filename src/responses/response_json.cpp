#include <numbers>

#include "report/cautions.hpp"
#include "report/shared_fields.hpp"
#include "report/third_octave_fields.hpp"
#include "responses/response_answer.hpp"

namespace earbudget::responses {

namespace {

struct ResponseReport {
    const ResponseAnswer& answer;
    const report::Record& record;
};

/// One axis, and how far its lines lie apart.
struct AxisOfReport {
    const AxisResponse& axis;
    Frequency bin_width;

    /// What `make` gives of each line that is known.
    template <class Make>
    [[nodiscard]] std::vector<double> each(const Make& make) const {
        std::vector<double> values;
        for (std::size_t k = 0; k < axis.lines.size(); ++k) {
            if (axis.lines[k]) values.push_back(make(k, *axis.lines[k]));
        }
        return values;
    }
};

struct AxesOfReport {
    const ScannerResponse& response;
};

}  // namespace

}  // namespace earbudget::responses

namespace earbudget::report {

template <>
FieldTable<responses::AxisOfReport> describe() {
    using Of = responses::AxisOfReport;
    return {{{"driven", [](const Of& of) { return of.axis.driven; },
              "whether any recording's waveform used it"},
             {"separable", [](const Of& of) { return of.axis.separable; },
              "false: it ran in step with other axes and cannot be told apart"},
             {"time_base", [](const Of& of) { return of.axis.time_base; },
              "phases of axes with the same number belong to one time; energies of others add"},
             {"frequency_Hz",
              [](const Of& of) {
                  return of.each([&of](std::size_t k, const ResponseLine&) {
                      return static_cast<double>(k) * of.bin_width.Hz();
                  });
              },
              "those at which the response is known",
              {.decimals = 3}},
             {"magnitude_Pa_per_T_per_m",
              [](const Of& of) {
                  return of.each([](std::size_t, const ResponseLine& line) {
                      return std::abs(line.Pa_per_T_per_m);
                  });
              },
              "at each of them",
              {.min = 0.0, .decimals = 6}},
             {"phase_deg",
              [](const Of& of) {
                  return of.each([](std::size_t, const ResponseLine& line) {
                      return std::arg(line.Pa_per_T_per_m) * 180.0 / std::numbers::pi;
                  });
              },
              "at each of them",
              {.decimals = 1}},
             {"coherence",
              [](const Of& of) {
                  return of.each(
                      [](std::size_t, const ResponseLine& line) { return line.coherence; });
              },
              "partial, at each of them",
              {.min = 0.0, .max = 1.0, .decimals = 4}}}};
}

template <>
FieldTable<responses::AxesOfReport> describe() {
    using Of = responses::AxesOfReport;
    using responses::AxisOfReport;
    return {{{"x",
              [](const Of& of) {
                  return AxisOfReport{of.response.axes[0], of.response.bin_width};
              }},
             {"y",
              [](const Of& of) {
                  return AxisOfReport{of.response.axes[1], of.response.bin_width};
              }},
             {"z", [](const Of& of) {
                  return AxisOfReport{of.response.axes[2], of.response.bin_width};
              }}}};
}

template <>
FieldTable<responses::UsedPair> describe() {
    using Of = responses::UsedPair;
    return {{{"waveform", &Of::waveform},
             {"recording", &Of::recording},
             {"starts_at_s",
              [](const Of& of) { return of.alignment.starts_at; },
              "where the waveform begins in the recording, by the recording's clock, negative "
              "before it",
              {.decimals = 4}},
             {"clock_ppm",
              [](const Of& of) { return of.alignment.clock_ppm; },
              "how much faster the recorder's clock runs than the scanner's",
              {.decimals = 2}},
             {"explained_percent",
              [](const Of& of) { return 100.0 * of.alignment.explained; },
              "of the sound's energy, 60 to 2500 Hz, what follows the drive",
              {.min = 0.0, .max = 100.0, .decimals = 1}},
             {"time_base", [](const Of& of) { return of.alignment.time_base; },
              "recordings with the same number were tied to one time"},
             {"left_out_third_octave_error_dB",
              [](const Of& of) { return all_third_octaves(of.held_back.third_octave); },
              by_third_octave_band(2)}}};
}

template <>
FieldTable<ResponseUncertainty> describe() {
    using Of = ResponseUncertainty;
    return {{{"LAeq_dB",
              &Of::LAeq,
              "standard uncertainty (k = 1) of a predicted LAeq",
              {.min = 0.0, .decimals = 2}},
             {"third_octave_dB", [](const Of& of) { return all_third_octaves(of.third_octave); },
              by_third_octave_band(2)}}};
}

template <>
FieldTable<responses::ResponseReport> describe() {
    using Of = responses::ResponseReport;
    return {
        "response.schema.json",
        "earbudget response --format json: the sound of a scanner for its gradients",
        {{members_of, [](const Of&) { return Program{}; }},
         command<Of>("response"),
         {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
         {"file", [](const Of& of) { return of.answer.file; }, "that was written"},
         {"bin_width_Hz", [](const Of& of) { return of.answer.stored.response.bin_width; }},
         {"axes", [](const Of& of) { return responses::AxesOfReport{of.answer.stored.response}; }},
         {"recordings", [](const Of& of) { return of.answer.pairs; }},
         {"left_out_error_dB",
          [](const Of& of) {
              return each_of(of.answer.pairs,
                             [](const responses::UsedPair& pair) { return pair.held_back.LAeq; });
          },
          "LAeq of each recording as the others predict it less as measured; null where they "
          "cover too little of it",
          {.decimals = 2}},
         {"uncertainty", [](const Of& of) { return of.answer.stored.response.uncertainty; }},
         {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

}  // namespace earbudget::report

namespace earbudget::responses {

std::string response_json(const ResponseAnswer& answer, const report::Record& record) {
    return report::json_of(ResponseReport{answer, record});
}

const report::ObjectShape& response_shape() { return report::object_shape<ResponseReport>(); }

}  // namespace earbudget::responses
