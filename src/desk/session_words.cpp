#include "desk/session_words.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"

namespace earbudget::desk::at_session {

namespace {

using sessions::EventKind;
using sessions::Limiting;

constexpr unsigned more_than_anybody_asks = 20;  // own choice, as on the sheet

constexpr std::array<EventWords, 6> event_words = {{
    {EventKind::PlugLoose, "Plug or muff loose", "1",
     "Stop the run. Put the protector in again, look at both ears, tick them below. What ran with "
     "it loose counts as well seated until it is corrected: correct that run, then tell it again "
     "as badly seated."},
    {EventKind::SqueezeBall, "Squeeze ball", "2",
     "Stop the run at the scanner, then press Stop here. Speak with the person, and tell below "
     "what "
     "it is. As the sheet has it: do not go on today, refer."},
    {EventKind::Pain, "Pain", "3",
     "Stop now. Take the person out. Nothing more is run today. Refer them as the unit's rules say "
     "and call whoever the sheet names."},
    {EventKind::Ringing, "Ringing", "4",
     "Stop now. Take the person out. Nothing more is run today. Refer them as the unit's rules say "
     "and call whoever the sheet names."},
    {EventKind::DulledHearing, "Dulled hearing", "5",
     "Stop now. Take the person out. Nothing more is run today. Refer them as the unit's rules say "
     "and call whoever the sheet names."},
    {EventKind::Other, "Stop everything", "0",
     "Everything is stopped. Look after the person first. Go on only when it is clear why; else "
     "end "
     "the session."},
}};

std::string not_decided(const sessions::RunsLeft& left) {
    switch (left.limiting) {
        case Limiting::LevelUnknown:
            return "Cannot be decided: how loud it is here is not known: " + left.why_unknown;
        case Limiting::HeardUnknown:
            return "Cannot be decided: how loud something heard before was is not known";
        case Limiting::PeakUnknown:
            return "Cannot be decided: no peak is stated, and " + left.limited_by + " asks for it";
        case Limiting::NoLimit:
            return "Cannot be decided: no limit is known for this person";
        default:
            return "Cannot be decided: nothing reaches " + left.limited_by +
                   " under what is worn, and it counts as unprotected";
    }
}

std::string no_more(const sessions::RunsLeft& left) {
    if (left.limiting == Limiting::Stopped)
        return "No: stopped, and nobody is named who cleared it";
    if (left.limiting == Limiting::Metal) return "No: what is worn is not free of metal";
    const std::string limit = left.limited_by.empty() ? "the day" : left.limited_by;
    const std::string over =
        left.limiting == Limiting::Peak ? ", its peak, would be over" : " would be over";
    if (left.best_estimate == 0) return "No: " + limit + over;
    return fmt::format("No: {}{} with more than the accepted probability", limit, over);
}

}  // namespace

const EventWords& words_for(EventKind what) {
    return *std::ranges::find(event_words, what, &EventWords::what);
}

AnswerInWords may_it_run(const sessions::RunsLeft& left) {
    if (left.runs > more_than_anybody_asks)
        return {Verdict::Within, fmt::format("Yes, more than {}", more_than_anybody_asks)};
    if (left.runs > 1) return {Verdict::Within, fmt::format("Yes, {} more", left.runs)};
    if (left.runs == 1) return {Verdict::Within, "Yes, but this is the last"};
    const bool is_no = left.limiting == Limiting::Stopped || left.limiting == Limiting::Metal ||
                       left.limiting == Limiting::Exposure || left.limiting == Limiting::Peak ||
                       left.limiting == Limiting::Nothing;
    if (!is_no) return {Verdict::Unknown, not_decided(left)};
    return {left.best_estimate > 0 ? Verdict::Close : Verdict::Over, no_more(left)};
}

std::string time_left(const sessions::RunsLeft& left) {
    if (left.runs == 0) return "";
    // Whole minutes, rounded down: what is read at a glance must not be more than there is.
    const double minutes = std::floor(left.time.count() * left.runs / 60.0 + 1e-9);
    constexpr double a_long_day = 8.0 * 60.0;
    if (minutes > a_long_day) return "more than 8 h";
    if (minutes < 1.0) return text_of(left.time);
    return fmt::format("{}{:.0f} min", left.runs > more_than_anybody_asks ? "more than " : "",
                       minutes);
}

std::optional<double> used_of(const CriterionResult& result) {
    if (result.is_peak || !result.value) return std::nullopt;
    if (result.is_dose()) return *result.value / result.limit;
    if (!result.margin) return std::nullopt;
    return std::pow(10.0, -result.margin->dB() / 10.0);
}

std::string_view name_for(registers::EntryKind kind) {
    using Kind = registers::EntryKind;
    switch (kind) {
        case Kind::SessionStart:
            return "the session began";
        case Kind::Present:
            return "somebody else is there";
        case Kind::Wear:
            return "put on";
        case Kind::Check:
            return "looked at";
        case Kind::RunStart:
            return "began";
        case Kind::Run:
            return "ran";
        case Kind::Event:
            return "happened";
        case Kind::Clearance:
            return "cleared";
        case Kind::SessionEnd:
            return "the session ended";
        case Kind::Task:
            return "done";
        default:
            return registers::entry_kinds[kind].name;
    }
}

}  // namespace earbudget::desk::at_session
