#include <algorithm>

#include <fmt/format.h>

#include "bids/acquisition.hpp"
#include "bids/run_duration.hpp"
#include "bids/scan_reading.hpp"
#include "bids/scans.hpp"

namespace earbudget::bids {

namespace {

std::string session_of(const Scan& scan) {
    const std::string& folder = scan.file.folder;
    std::string session;
    for (std::size_t begin = 0; begin < folder.size();) {
        const std::size_t end = std::min(folder.find('/', begin), folder.size());
        const std::string part = folder.substr(begin, end - begin);
        if (part.starts_with("sub-") || part.starts_with("ses-"))
            session += (session.empty() ? "" : "/") + part;
        begin = end + 1;
    }
    return session;
}

std::optional<Seconds> gap_after(const std::vector<Acquisition>& all, std::size_t n) {
    if (!all[n].start) return std::nullopt;
    for (std::size_t next = n + 1; next < all.size() && all[next].start; ++next)
        if (*all[next].start > *all[n].start) return *all[next].start - *all[n].start;
    return std::nullopt;
}

/// The best source of any of its files, and of those the longest time.
std::optional<RunDuration> duration_of_run(const Acquisition& acquisition,
                                           std::optional<Seconds> gap, Sidecars& sidecars,
                                           Session& session) {
    std::optional<RunDuration> best;
    for (const Scan* scan : acquisition.scans) {
        FoundDuration found = duration_of(*scan, gap, sidecars);
        for (std::string& note : found.notes)
            session.notes.push_back(std::move(note));
        const auto& duration = found.duration;
        if (!duration) continue;
        if (!best || duration->source < best->source ||
            (duration->source == best->source && duration->time > best->time))
            best = duration;
    }
    return best ? best : duration_until(gap);
}

/// What the first of its files that says so says.
Equipment equipment_of(const Acquisition& acquisition) {
    const auto first = [&](std::string_view key) {
        for (const Scan* scan : acquisition.scans)
            if (std::string text = scan->metadata.text(key); !text.empty()) return text;
        return std::string();
    };
    return {first("ManufacturersModelName"), first("SoftwareVersions"), first("ReceiveCoilName")};
}

Run run_of(const Acquisition& acquisition, std::optional<Seconds> gap, Sidecars& sidecars,
           Session& session) {
    const Scan& first = *acquisition.scans.front();
    Run run{.name = first.file.name.stem,
            .kind = kind_of(first),
            .files = {},
            .start = acquisition.start,
            .equipment = equipment_of(acquisition)};
    for (const Scan* scan : acquisition.scans)
        run.files.push_back(scan->file.relative());
    run.duration = duration_of_run(acquisition, gap, sidecars, session);
    if (!run.duration) {
        run.missing = missing_words(first);
    } else if (gap && run.duration->time > *gap + same_start) {
        session.notes.push_back(
            fmt::format("{}: {:.6g} s by {} is longer than the {:.6g} s until the next start: it "
                        "was stopped, or "
                        "a start is wrong; the longer time counts",
                        run.name, run.duration->time.count(), run.duration->how, gap->count()));
    }
    return run;
}

void note_order(const std::vector<Acquisition>& all, Session& session) {
    const auto without =
        std::ranges::count_if(all, [](const Acquisition& each) { return !each.start; });
    if (without == 0 || all.size() < 2) return;
    session.notes.push_back(
        without == static_cast<std::ptrdiff_t>(all.size())
            ? std::string("no starts are known (acq_time in scans.tsv): runs are in the order of "
                          "their names, without the pauses between them")
            : fmt::format("of {} runs no start is known (acq_time in scans.tsv): they stand behind "
                          "the others, in the order of their names",
                          without));
}

Session session_with(const std::string& name, std::vector<Scan>& scans, Sidecars& sidecars,
                     FoundFiles& found) {
    Session session{.name = name};
    const auto acquisitions = acquisitions_of(scans, found);
    note_order(acquisitions, session);
    for (std::size_t n = 0; n < acquisitions.size(); ++n)
        session.runs.push_back(
            run_of(acquisitions[n], gap_after(acquisitions, n), sidecars, session));
    return session;
}

}  // namespace

Seconds Session::time() const {
    Seconds time{0.0};
    for (const Run& run : runs)
        if (run.duration) time += run.duration->time;
    return time;
}

Scans read_scans(const std::string& folder, files::TextInputs& inputs, files::ErrorList& errors) {
    Sidecars sidecars(inputs, errors);
    FoundFiles found = find_scan_files(folder, errors);
    std::map<std::string, std::vector<Scan>> by_session;
    for (Scan& scan : read_scan_files(found, sidecars)) {
        std::string session = session_of(scan);
        by_session[session].push_back(std::move(scan));
    }
    Scans scans;
    for (auto& [name, of_session] : by_session) {
        Session session = session_with(name, of_session, sidecars, found);
        if (!session.runs.empty()) scans.sessions.push_back(std::move(session));
    }
    scans.ignored = found.ignored;
    if (scans.sessions.empty() && errors.empty()) {
        throw InputError({folder},
                         "there are no scans in this folder; accepted: a dataset by BIDS, the "
                         "folder of a subject or a session of it, or what dcm2niix wrote");
    }
    return scans;
}

const files::MatchRow* match_of(const Run& run, const std::vector<files::MatchRow>& rows) {
    for (const files::MatchRow& row : rows) {
        if (fits(row.pattern, run.kind)) return &row;
        for (const std::string& file : run.files) {
            const std::string filename =
                file.substr(file.rfind('/') == file.npos ? 0 : file.rfind('/') + 1);
            if (fits(row.pattern, file) || fits(row.pattern, filename) ||
                fits(row.pattern, stem_and_ending(filename).first))
                return &row;
        }
    }
    return nullptr;
}

}  // namespace earbudget::bids
