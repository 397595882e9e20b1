#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "earbudget/computing/rows.hpp"
#include "sessions/exposure_json.hpp"
#include "sessions/exposure_record.hpp"

namespace earbudget::sessions {

// What the entries of sessions hold, to the text of an entry's body and back. No body holds a code
// of a person. A reader gives none for a text that is damaged; a correction's body reads as that of
// what it stands for. An exposure comes last in its body, so that runs alike are read once.

/// The plan that a session is by.
struct PlanRef {
    std::string file, title, sha256;
    std::vector<FileHash> data = {};  ///< cards, catalogue, site
};

/// Of a session's start and of who is present: as which person of the plan. `rest` is what that
/// person hears while nothing runs; null: nothing is known of it, which counts as silence.
struct PresenceBody {
    std::optional<PlanRef> plan = std::nullopt;  ///< of a session's start
    std::string person;                          ///< its id in the plan
    Role role = Role::Participant;
    std::string program = {};
    SharedRecord rest = nullptr;
};

struct WearBody {
    WornNow worn;
    SharedRecord rest = nullptr;  ///< wearing that
};

enum class EarChecked { Left, Right, Both };
inline constexpr auto ears_checked = rows_of<NameRow<EarChecked>>(
    {{EarChecked::Left, "left"}, {EarChecked::Right, "right"}, {EarChecked::Both, "both"}});

struct CheckBody {
    EarChecked ear = EarChecked::Both;
    std::string how = {};
    bool seated = true;
};

/// Of a run that has begun, of one that is over, and of a task. The exposure is null where it could
/// not be computed; `why_unknown` then says why.
struct RunBody {
    std::string sequence;  ///< its id, or a task's title
    std::optional<FileHash> card = std::nullopt;
    std::optional<Seconds> planned = std::nullopt;       ///< of one that has begun
    std::optional<std::int64_t> started = std::nullopt;  ///< the entry of its beginning
    bool unconfirmed = false;                            ///< how long it ran is not stated
    std::string why_unknown = {};
    SharedRecord exposure = nullptr;
};

/// What happens in a session besides.
enum class EventKind { PlugLoose, SqueezeBall, Pain, Ringing, DulledHearing, Other };
struct EventRow {
    EventKind key;
    std::string_view name;
    bool stops;  ///< ends the session; nothing more is run until somebody is named who cleared it
};
inline constexpr auto event_kinds =
    rows_of<EventRow>({{EventKind::PlugLoose, "plug-loose", false},
                       {EventKind::SqueezeBall, "squeeze-ball", false},
                       {EventKind::Pain, "pain", true},
                       {EventKind::Ringing, "ringing", true},
                       {EventKind::DulledHearing, "dulled-hearing", true},
                       {EventKind::Other, "other", false}});

struct EventBody {
    EventKind what = EventKind::Other;
    std::string note = {};
};

[[nodiscard]] std::string text_of(const PresenceBody& body);
[[nodiscard]] std::string text_of(const WearBody& body);
[[nodiscard]] std::string text_of(const CheckBody& body);
[[nodiscard]] std::string text_of(const RunBody& body);
[[nodiscard]] std::string text_of(const EventBody& body);
/// Of a clearance: which event is cleared.
[[nodiscard]] std::string text_of_clearance(std::int64_t event);

[[nodiscard]] std::optional<PresenceBody> read_presence(std::string_view body, RecordCache& cache);
[[nodiscard]] std::optional<WearBody> read_wear(std::string_view body, RecordCache& cache);
[[nodiscard]] std::optional<CheckBody> read_check(std::string_view body);
/// An exposure that is there and damaged leaves the rest readable: it is then null, and
/// `why_unknown` is "damaged".
[[nodiscard]] std::optional<RunBody> read_run(std::string_view body, RecordCache& cache);
[[nodiscard]] std::optional<EventBody> read_event(std::string_view body);
[[nodiscard]] std::optional<std::int64_t> read_clearance(std::string_view body);

}  // namespace earbudget::sessions
