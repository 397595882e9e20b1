#include "bids/run_duration.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include <fmt/format.h>

namespace earbudget::bids {

namespace {

// Longest times that are taken for seconds and not for a mistake, as milliseconds would be. Own
// choices.
constexpr double shortest_time = 0.001, longest_repetition = 100.0;
constexpr double most_discarded = 10'000.0, most_shots = 1000.0;
/// Without RepetitionTime to hold it against: so short is a volume and no run of several. Own
/// choice.
constexpr Seconds longest_volume{10.0};
constexpr double rounding = 1.02;        ///< of times that are the same
constexpr double near_repetition = 1.1;  ///< an AcquisitionDuration of one volume is no longer

/// Series of volumes, by BIDS suffix.
constexpr std::array<std::string_view, 7> series = {"bold", "cbv", "sbref", "dwi",
                                                    "epi",  "asl", "m0scan"};

std::string seconds_text(double seconds) { return fmt::format("{:.6g} s", seconds); }

/// Volumes that were acquired and are not in the image.
struct Discarded {
    double by_scanner = 0.0, by_user = 0.0;
    [[nodiscard]] double all() const { return by_scanner + by_user; }
};

class Finder {
  public:
    Finder(const Scan& scan, std::optional<Seconds> gap, Sidecars& sidecars)
        : scan_(scan), gap_(gap), sidecars_(sidecars) {
        if (scan.header) volumes_ = static_cast<double>(scan.header->volumes);
        discarded_.by_scanner =
            number("NumberOfVolumesDiscardedByScanner", 0.0, most_discarded, "").value_or(0.0);
        discarded_.by_user =
            number("NumberOfVolumesDiscardedByUser", 0.0, most_discarded, "").value_or(0.0);
        acquisition_ = number("AcquisitionDuration", shortest_time, longest_run.count(), "s");
    }

    FoundDuration find() {
        const auto by_volumes = duration_by_volumes();
        if (scan_.row && scan_.row->duration) {
            found_.duration = RunDuration{*scan_.row->duration, DurationSource::ScansTable,
                                          "duration in scans.tsv"};
            compare_table(by_volumes);
        } else if (acquisition_) {
            found_.duration = by_acquisition(by_volumes);
        } else {
            found_.duration = by_volumes;
        }
        if (found_.duration && found_.duration->time > longest_run) {
            sidecars_.errors().add(
                {{scan_.file.path},
                 fmt::format("its duration comes to {} ({}); accepted: at most {:g} s",
                             seconds_text(found_.duration->time.count()), found_.duration->how,
                             longest_run.count())});
            found_.duration.reset();
        }
        return std::move(found_);
    }

  private:
    std::optional<double> number(std::string_view key, double lowest, double highest,
                                 std::string_view unit) {
        return sidecars_.number(scan_.metadata, key, lowest, highest, unit);
    }

    void note(const std::string& text) {
        found_.notes.push_back(fmt::format("{}: {}", scan_.file.name.stem, text));
    }

    std::string volumes_text() const {
        const auto more = [](double number, std::string_view by) {
            return number > 0.0 ? fmt::format(" + {:g} discarded by the {}", number, by) : "";
        };
        return fmt::format("{:g} volume{}{}{}", *volumes_, *volumes_ == 1.0 ? "" : "s",
                           more(discarded_.by_scanner, "scanner"),
                           more(discarded_.by_user, "user"));
    }

    /// What somebody typed counts, but is held against what the scanner wrote.
    void compare_table(const std::optional<RunDuration>& by_volumes) {
        const double typed = scan_.row->duration->count();
        double most = acquisition_.value_or(0.0);
        std::string_view by = "AcquisitionDuration";
        if (by_volumes && by_volumes->time.count() > most) {
            most = by_volumes->time.count();
            by = by_volumes->how;
        }
        if (typed * rounding >= most) return;
        note(fmt::format("the duration in scans.tsv, {}, counts, though {} gives {}: correct it "
                         "where it is in another unit or of a part of the run",
                         seconds_text(typed), by, seconds_text(most)));
    }

    std::optional<RunDuration> duration_by_volumes() {
        if (scan_.metadata.find("VolumeTiming")) return by_volume_timing();
        if (!volumes_ || !repeats_volumes(scan_)) return std::nullopt;
        if (const auto prepared = by_preparation()) return prepared;
        const auto repetition = number("RepetitionTime", shortest_time, longest_repetition, "s");
        if (!repetition) return std::nullopt;
        // By BIDS the time of a volume; of a diffusion series many files have that of a shot.
        const bool by_shots = scan_.file.name.suffix == "dwi";
        return volumes_of(*repetition, by_shots ? shots() : 1.0, "RepetitionTime", "");
    }

    /// How many shots each volume takes, by what says most.
    double shots() {
        const auto stated = sidecars_.numbers(scan_.metadata, "NumberShots", 1.0, most_shots, "");
        return stated ? *std::ranges::max_element(*stated) : 1.0;
    }

    RunDuration volumes_of(double repetition, double shots, std::string_view key,
                           std::string_view on_average) {
        std::string each = fmt::format("{} {}{}", key, seconds_text(repetition), on_average);
        if (shots > 1.0) each += fmt::format(" × {:g} shots (NumberShots)", shots);
        double volume = repetition * shots;
        // The header says the same, or somebody changed one of them.
        const auto step = scan_.header->step;
        if (step && std::abs(step->count() - volume) > 0.01 * volume) {
            const bool longer = step->count() > volume && step->count() <= longest_repetition;
            note(
                fmt::format("the header has {} from volume to volume, the sidecar {}; the {} "
                            "counts",
                            seconds_text(step->count()), each, longer ? "header" : "sidecar"));
            if (longer) {
                volume = step->count();
                each = fmt::format("{} by the header", seconds_text(volume));
            }
        }
        return {Seconds((*volumes_ + discarded_.all()) * volume), DurationSource::Volumes,
                fmt::format("{}, {} each", volumes_text(), each)};
    }

    /// Arterial spin labelling states the time of a volume under a name of its own.
    std::optional<RunDuration> by_preparation() {
        constexpr std::string_view key = "RepetitionTimePreparation";
        const auto each =
            sidecars_.numbers(scan_.metadata, key, shortest_time, longest_repetition, "s");
        if (!each) return std::nullopt;
        const double mean =
            std::accumulate(each->begin(), each->end(), 0.0) / static_cast<double>(each->size());
        // Each shot is prepared anew.
        return volumes_of(mean, shots(), key, each->size() > 1 ? " on average" : "");
    }

    std::optional<RunDuration> by_volume_timing() {
        const auto times =
            sidecars_.numbers(scan_.metadata, "VolumeTiming", 0.0, longest_run.count(), "s");
        if (!times) return std::nullopt;
        const auto& all = *times;
        const auto refuse = [&](const std::string& why) {
            sidecars_.errors().add(
                {sidecars_.position_of(*scan_.metadata.find("VolumeTiming"), "VolumeTiming"),
                 fmt::format("\"VolumeTiming\" {}; accepted: when each volume began, in seconds, "
                             "one after the other",
                             why)});
            return std::nullopt;
        };
        if (!std::ranges::is_sorted(all, std::ranges::less_equal()))
            return refuse("does not rise from volume to volume");
        if (volumes_ && static_cast<double>(all.size()) != *volumes_)
            return refuse(fmt::format("has {} entries and {} has {:g} volumes", all.size(),
                                      scan_.file.filename, *volumes_));
        const auto last = time_of_last(all);
        if (!last) return std::nullopt;
        const double first_gap = all.size() > 1 ? all[1] - all[0] : last->first;
        // From the beginning of the run, or from the first volume that was kept: the longer counts.
        const double before = std::max(all.front(), discarded_.all() * first_gap);
        const double time = all.back() - all.front() + last->first + before;
        return RunDuration{
            Seconds(time), DurationSource::VolumeTiming,
            fmt::format("VolumeTiming, the last volume at {} with {} of {}{}",
                        seconds_text(all.back()), seconds_text(last->first), last->second,
                        discarded_.all() > 0.0
                            ? fmt::format(", and {:g} discarded", discarded_.all())
                            : "")};
    }

    /// How long the last volume took, and by what.
    std::optional<std::pair<double, std::string>> time_of_last(const std::vector<double>& all) {
        if (const auto frame = sidecars_.numbers(scan_.metadata, "FrameAcquisitionDuration",
                                                 shortest_time, longest_repetition, "s"))
            return std::pair(*std::ranges::max_element(*frame),
                             std::string("FrameAcquisitionDuration"));
        const double gap = all.size() > 1 ? all.back() - all[all.size() - 2] : 0.0;
        // Beside VolumeTiming it was formerly that of a volume.
        if (acquisition_ && *acquisition_ <= std::max(gap, 1.0) * near_repetition &&
            all.size() > 1 && *acquisition_ < all.back())
            return std::pair(*acquisition_, std::string("AcquisitionDuration"));
        if (gap > 0.0) return std::pair(gap, std::string("the time to it from the one before"));
        return std::nullopt;
    }

    /// AcquisitionDuration is that of the run; formerly, and in some files still, that of a volume.
    std::optional<RunDuration> by_acquisition(const std::optional<RunDuration>& by_volumes) {
        const double stated = *acquisition_;
        const RunDuration as_stated{Seconds(stated), DurationSource::AcquisitionDuration,
                                    "AcquisitionDuration"};
        const bool is_series = repeats_volumes(scan_) || scan_.metadata.find("VolumeTiming");
        if (!is_series) return as_stated;
        if (!volumes_) return by_acquisition_alone(as_stated);
        if (*volumes_ < 2.0) return as_stated;
        const double all = *volumes_ + discarded_.all();
        if (by_volumes) {
            const double needed = by_volumes->time.count();
            if (stated * rounding >= needed) return as_stated;
            return longer_of(by_volumes, stated, all, needed);
        }
        const Seconds of_volumes(all * stated);
        const bool fits_gap = gap_ && *gap_ <= longest_gap && of_volumes <= rounding * *gap_;
        if (!fits_gap && Seconds(stated) > longest_volume) return as_stated;
        note(
            fmt::format("AcquisitionDuration {} may be that of a volume, as it formerly was: {} "
                        "volumes of it {}; the longer time counts",
                        seconds_text(stated), all,
                        fits_gap ? "fit the time to the next start"
                                 : "are taken, since hardly a run of several is so short"));
        return RunDuration{of_volumes, DurationSource::AcquisitionDuration,
                           fmt::format("{} × AcquisitionDuration {}, taken as that of a volume",
                                       volumes_text(), seconds_text(stated))};
    }

    std::optional<RunDuration> longer_of(const std::optional<RunDuration>& by_volumes,
                                         double stated, double all, double needed) {
        if (stated <= near_repetition * needed / all) {
            note(
                fmt::format("AcquisitionDuration {} is that of a volume, as it formerly was; its "
                            "{} take {}, which counts",
                            seconds_text(stated), volumes_text(), seconds_text(needed)));
        } else {
            note(
                fmt::format("AcquisitionDuration {} is shorter than its {} need, {}; the longer "
                            "time counts",
                            seconds_text(stated), volumes_text(), seconds_text(needed)));
        }
        return by_volumes;
    }

    /// Without an image nobody knows how many volumes there were.
    std::optional<RunDuration> by_acquisition_alone(const RunDuration& as_stated) {
        const auto repetition = number("RepetitionTime", shortest_time, longest_repetition, "s");
        if (!repetition || *acquisition_ > near_repetition * *repetition) return as_stated;
        note(
            fmt::format("AcquisitionDuration {} is that of a volume, as it formerly was "
                        "(RepetitionTime {}), and without its image nobody knows how many there "
                        "were: it is not used",
                        seconds_text(*acquisition_), seconds_text(*repetition)));
        return std::nullopt;
    }

    const Scan& scan_;
    std::optional<Seconds> gap_;
    Sidecars& sidecars_;
    std::optional<double> volumes_, acquisition_;
    Discarded discarded_;
    FoundDuration found_;
};

}  // namespace

bool repeats_volumes(const Scan& scan) {
    if (scan.file.name.has("sub"))
        return std::ranges::find(series, scan.file.name.suffix) != series.end();
    return scan.metadata.has_text("ScanningSequence", "EP");
}

FoundDuration duration_of(const Scan& scan, std::optional<Seconds> gap, Sidecars& sidecars) {
    return Finder(scan, gap, sidecars).find();
}

std::optional<RunDuration> duration_until(std::optional<Seconds> gap) {
    if (!gap || *gap > longest_gap) return std::nullopt;
    return RunDuration{*gap, DurationSource::NextStart, "at most: until the next start"};
}

std::string missing_words(const Scan& scan) {
    return fmt::format(
        "accepted: a column duration in its scans.tsv, AcquisitionDuration{} in its "
        "sidecar, or a duration in [match] of the site file",
        repeats_volumes(scan)
            ? (scan.header ? " or RepetitionTime" : ", or RepetitionTime and the image,")
            : "");
}

}  // namespace earbudget::bids
