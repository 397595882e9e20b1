#include "bids/acquisition.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "files/written_values.hpp"

namespace earbudget::bids {

namespace {

/// What a field map consists of.
constexpr std::array<std::string_view, 7> parts_of_field_map = {
    "magnitude", "magnitude1", "magnitude2", "phase1", "phase2", "phasediff", "fieldmap"};

/// What a sidecar says of when its scan began.
std::optional<Seconds> start_in_sidecar(const Scan& scan) {
    for (const std::string_view key : {"AcquisitionDateTime", "AcquisitionTime"})
        if (const auto start = parse_start(scan.metadata.text(key))) return start;
    return std::nullopt;
}

/// Starts of one clock: those of scans.tsv, or where it has none those of the sidecars.
void settle_starts(std::vector<Scan>& scans) {
    const bool by_table =
        std::ranges::any_of(scans, [](const Scan& scan) { return scan.start.has_value(); });
    if (by_table) return;
    for (Scan& scan : scans)
        scan.start = start_in_sidecar(scan);
}

/// A name by dcm2niix without what it puts behind those of echoes and parts: "_e2", "_ph".
std::string without_parts(std::string_view stem) {
    for (bool again = true; again;) {
        again = false;
        for (const std::string_view part : {"_ph", "_real", "_imaginary"}) {
            if (!stem.ends_with(part)) continue;
            stem.remove_suffix(part.size());
            again = true;
        }
        const std::size_t echo = stem.rfind("_e");
        if (echo == stem.npos || echo + 2 == stem.size()) continue;
        if (!std::ranges::all_of(stem.substr(echo + 2), files::is_digit)) continue;
        stem = stem.substr(0, echo);
        again = true;
    }
    return std::string(stem);
}

/// What the files of one acquisition have in common in their names.
std::string acquisition_of(const Scan& scan) {
    const ScanName& name = scan.file.name;
    if (!name.has("sub")) {
        const std::string protocol = scan.metadata.text("ProtocolName");
        return scan.start && !protocol.empty() ? protocol : without_parts(name.stem);
    }
    ScanName plain = name;
    std::vector<std::string_view> parts = {"echo", "part", "rec"};
    if (name.suffix == "MP2RAGE" || name.suffix == "UNIT1") {
        parts.emplace_back("inv");
        plain.suffix = "MP2RAGE";
    }
    if (scan.datatype() == "fmap" && is_one_of(name.suffix, parts_of_field_map))
        plain.suffix = "fieldmap";
    return scan.file.folder + '/' + plain.without(parts);
}

/// A map by its name: computed, never scanned.
bool is_map(const Scan& scan) {
    const std::string& suffix = scan.file.name.suffix;
    return scan.file.name.has("sub") && suffix.ends_with("map") && suffix != "fieldmap";
}

/// Computed from other images, by its own account or its name.
bool is_derived(const Scan& scan) {
    return scan.metadata.has_text("ImageType", "DERIVED") || is_map(scan);
}

bool is_one_start(std::optional<Seconds> one, std::optional<Seconds> other) {
    return !one || !other || std::abs(one->count() - other->count()) <= same_start.count();
}

std::vector<Acquisition> grouped(const std::vector<Scan>& scans, FoundFiles& found) {
    std::vector<Acquisition> all;
    const auto take = [&](const Scan& scan) {
        const std::string name = acquisition_of(scan);
        const auto same = std::ranges::find_if(all, [&](const Acquisition& each) {
            return each.name == name && is_one_start(each.start, scan.start);
        });
        if (same == all.end()) {
            all.push_back({name, scan.start, {&scan}});
        } else {
            same->scans.push_back(&scan);
            if (!same->start) same->start = scan.start;
        }
    };
    for (const Scan& scan : scans)
        if (!is_derived(scan)) take(scan);
    for (const Scan& scan : scans) {
        if (!is_derived(scan)) continue;
        // Without a start only its name says of what it was made; a map is made of something.
        const bool is_of_another =
            scan.start ? std::ranges::any_of(all, [&](const Acquisition& each) {
                return each.start && is_one_start(each.start, scan.start);
            })
                       : is_map(scan) || std::ranges::any_of(all, [&](const Acquisition& each) {
                             return each.name == acquisition_of(scan);
                         });
        if (is_of_another) {
            found.ignore("image computed from others");
        } else {
            take(scan);
        }
    }
    return all;
}

/// In the order of their starts, those without behind the others by name.
void sort_by_start(std::vector<Acquisition>& all) {
    std::ranges::stable_sort(all, {}, &Acquisition::name);
    std::ranges::stable_sort(all, [](const Acquisition& one, const Acquisition& other) {
        if (one.start && other.start) return *one.start < *other.start;
        return one.start.has_value() && !other.start;
    });
}

}  // namespace

std::string kind_of(const Scan& scan) {
    if (scan.file.name.has("sub")) {
        ScanName plain = scan.file.name;
        if (scan.datatype() == "fmap" && is_one_of(plain.suffix, parts_of_field_map))
            plain.suffix = "fieldmap";
        return plain.without({"sub", "ses", "run", "echo", "part", "rec", "inv"});
    }
    for (const std::string_view key : {"ProtocolName", "SeriesDescription"})
        if (std::string text = scan.metadata.text(key); !text.empty()) return text;
    return scan.file.name.stem;
}

std::vector<Acquisition> acquisitions_of(std::vector<Scan>& scans, FoundFiles& found) {
    settle_starts(scans);
    auto all = grouped(scans, found);
    sort_by_start(all);
    return all;
}

}  // namespace earbudget::bids
