#include "earbudget/measurement/source_state.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace earbudget {

namespace {

Finding data_beyond_the_header(const SourceState& state, bool accept_length) {
    constexpr double shortest_said = 0.01;
    const auto& beyond = state.time_beyond_header;
    const std::string time =
        beyond && beyond->count() >= shortest_said
            ? fmt::format(", {:.2f} s of sound if they are samples", beyond->count())
            : std::string();
    const std::string what = fmt::format(
        "Behind the samples that the file's header announces there are {} bytes more that are "
        "neither a chunk nor a tag{}. If the header is older than the recording, as after a "
        "recorder lost its power, or does not belong to it, samples are missing",
        state.bytes_beyond_header, time);
    if (!state.announced_alone_is_read) {
        return {QualityCode::DataBeyondTheHeader,
                what +
                    ", so that there are no levels. In this encoding samples have no size of "
                    "their own: what the header announces cannot be told from the rest, and "
                    "--accept-length does not serve. Repair the header with the recorder's or a "
                    "sound editor's help."};
    }
    return {QualityCode::DataBeyondTheHeader,
            what + (accept_length
                        ? ". Accepted by request: the levels are those of what the header "
                          "announces, and all that lies behind it is left out."
                        : ", so there are no levels. Repair the header with the recorder's or "
                          "a sound editor's help, or measure what it announces with "
                          "--accept-length.")};
}

Finding lossy(LevelDifference loss) {
    return {QualityCode::Lossy,
            fmt::format("Compressed with a loss: levels may be off by up to {0:.1f} dB, nearly "
                        "always too low, peaks by several, faint bands by 10 dB and more, and "
                        "damage inside the compressed sound need not show. ±{0:.1f} dB count in "
                        "the uncertainty, and there is no card of class 1. Record as WAV or FLAC.",
                        loss.dB())};
}

}  // namespace

bool is_whole(const SourceState& state, bool accept_length) {
    return state.bytes_beyond_header == 0 || (accept_length && state.announced_alone_is_read);
}

SourceState both(const SourceState& a, const SourceState& b) {
    // None is less than any.
    return {.loss = std::max(a.loss, b.loss),
            .bytes_beyond_header = a.bytes_beyond_header + b.bytes_beyond_header,
            .time_beyond_header = std::max(a.time_beyond_header, b.time_beyond_header),
            .announced_alone_is_read = a.announced_alone_is_read && b.announced_alone_is_read};
}

std::vector<Finding> findings_on(const SourceState& state, bool accept_length) {
    std::vector<Finding> findings;
    if (state.bytes_beyond_header > 0)
        findings.push_back(data_beyond_the_header(state, accept_length));
    if (state.loss) findings.push_back(lossy(*state.loss));
    return findings;
}

}  // namespace earbudget
