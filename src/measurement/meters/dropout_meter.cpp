#include "earbudget/measurement/meters/dropout_meter.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "earbudget/measurement/meters/mean_square_meter.hpp"
#include "measurement/meters/block_scan.hpp"

namespace earbudget {

namespace {

constexpr Seconds shortest_dropout{0.001};
constexpr double fewest_samples = 8.0;
constexpr double abrupt_codes = 8.0;

}  // namespace

void DropoutMeter::Tally::add(const Tally& other) {
    if (other.count == 0) return;
    first_sample = count == 0 ? other.first_sample : std::min(first_sample, other.first_sample);
    count += other.count;
    longest = std::max(longest, other.longest);
    total += other.total;
}

DropoutMeter::DropoutMeter(Frequency sample_rate, std::optional<Quantization> quantization)
    : sample_rate_(sample_rate.Hz()),
      step_(judged_step(quantization)),
      shortest_(static_cast<std::uint64_t>(
          std::max(fewest_samples, std::ceil(shortest_dropout.count() * sample_rate_)))),
      stride_(static_cast<std::size_t>(shortest_ / 2)) {}

void DropoutMeter::add(std::span<const float> block) {
    if (block.empty()) return;
    std::size_t from = 0;
    if (position_ == 0) {
        run_.value = block.front();
    }
    while (from < block.size() && block[from] == run_.value)
        ++from;
    const std::uint64_t end = position_ + from;
    if (from == block.size()) {
        take_extremes(block);
        position_ = end;
        return;
    }
    take_extremes(block.first(from + 1));
    end_run(run_, end, block[from]);
    run_ = {end, block[from], run_.value};
    look_for_runs(block, from);
    position_ += block.size();
}

/// A run begins at `from`. Of every run long enough, one sample in `stride_` and the stride that
/// follows it lie within; the last run, long or short, goes on in the next block.
void DropoutMeter::look_for_runs(std::span<const float> block, std::size_t from) {
    std::size_t absorbed = from + 1;
    std::size_t n = from;
    while (n + stride_ <= block.size()) {
        const float value = block[n];
        if (value != block[n + stride_ - 1] || value != block[n + stride_ / 2]) {
            n += stride_;
            continue;
        }
        std::size_t begin = n;
        while (begin > from && block[begin - 1] == value)
            --begin;
        std::size_t end = n + 1;
        while (end < block.size() && block[end] == value)
            ++end;
        if (end == block.size()) break;
        if (end - begin >= shortest_) {
            take_extremes(block.subspan(absorbed, end + 1 - absorbed));
            absorbed = end + 1;
            end_run({position_ + begin, value, begin > from ? block[begin - 1] : run_.before},
                    position_ + end, block[end]);
        }
        n = end;
    }
    take_extremes(block.subspan(absorbed));

    std::size_t last = block.size() - 1;
    while (last > from && block[last - 1] == block[last])
        --last;
    if (last > from) run_ = {position_ + last, block[last], block[last - 1]};
}

void DropoutMeter::end_run(const Run& run, std::uint64_t end, float after) {
    const std::uint64_t length = end - run.first_sample;
    if (run.first_sample == 0 || length < shortest_) return;
    const auto value = static_cast<double>(run.value);
    const double step = std::max(std::abs(value - static_cast<double>(run.before)),
                                 std::abs(value - static_cast<double>(after)));
    if (step < abrupt_codes * step_) return;
    const Tally stretch{1, run.first_sample, length, length};
    if (take_at_extreme(top_, run.value, highest_, stretch)) return;
    if (take_at_extreme(bottom_, run.value, lowest_, stretch)) return;
    certain_.add(stretch);
}

/// True where the stretch may be a flat top. Earlier ones that the signal has risen above are
/// dropouts after all.
bool DropoutMeter::take_at_extreme(AtExtreme& side, float value, float extreme,
                                   const Tally& stretch) {
    const double height = side.sign * static_cast<double>(value);
    if (value == 0.0F || height < side.sign * static_cast<double>(extreme) - step_) return false;
    if (height > side.at + step_) {
        certain_.add(side.tally);
        side.tally = {};
    }
    side.at = std::max(side.at, height);
    side.tally.add(stretch);
    return true;
}

void DropoutMeter::take_extremes(std::span<const float> block) {
    if (block.empty()) return;
    const Extremes extremes = extremes_of(block);
    highest_ = std::max(highest_, extremes.highest);
    lowest_ = std::min(lowest_, extremes.lowest);
}

Dropouts DropoutMeter::dropouts() const {
    Tally tally = certain_;
    if (static_cast<double>(highest_) > top_.at + step_) tally.add(top_.tally);
    if (-static_cast<double>(lowest_) > bottom_.at + step_) tally.add(bottom_.tally);
    return {.count = tally.count,
            .first_sample = tally.first_sample,
            .longest = Seconds(static_cast<double>(tally.longest) / sample_rate_),
            .total = Seconds(static_cast<double>(tally.total) / sample_rate_)};
}

}  // namespace earbudget
