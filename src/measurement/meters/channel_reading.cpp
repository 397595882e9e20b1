#include "earbudget/measurement/meters/channel_reading.hpp"

#include <algorithm>
#include <array>
#include <barrier>
#include <cstddef>
#include <exception>
#include <span>
#include <thread>

#include "earbudget/measurement/meters/channel_analyser.hpp"

namespace earbudget {

namespace {

constexpr std::size_t samples_at_once = 65536;  // of all channels
constexpr std::size_t most_frames_at_once = 4096;

using Analysers = std::vector<ChannelAnalyser>;

/// Frames as they were read, channel by channel.
struct Block {
    std::vector<double> interleaved;
    std::size_t frames = 0;
};

Block room_for(std::size_t channels) {
    const std::size_t frames =
        std::clamp(samples_at_once / channels, std::size_t{1}, most_frames_at_once);
    return {std::vector<double>(frames * channels)};
}

void add_channel(const Block& block, std::size_t channel, std::size_t channels,
                 std::vector<double>& samples, ChannelAnalyser& analyser) {
    if (channels == 1) {
        analyser.add(std::span(block.interleaved).first(block.frames));
        return;
    }
    samples.resize(block.frames);
    for (std::size_t n = 0; n < block.frames; ++n)
        samples[n] = block.interleaved[n * channels + channel];
    analyser.add(samples);
}

void read_alone(SampleSource& source, Analysers& analysers) {
    Block block = room_for(analysers.size());
    std::vector<double> samples;
    while ((block.frames = source.read(block.interleaved)) > 0) {
        for (std::size_t c = 0; c < analysers.size(); ++c)
            add_channel(block, c, analysers.size(), samples, analysers[c]);
    }
}

/// One thread reads a block while others work on the block before, each on its own channels. An
/// empty block ends it.
class Team {
  public:
    Team(SampleSource& source, Analysers& analysers, std::size_t workers)
        : source_(source),
          analysers_(analysers),
          blocks_{room_for(analysers.size()), room_for(analysers.size())},
          workers_(workers),
          failures_(workers + 1),
          together_(static_cast<std::ptrdiff_t>(workers + 1)) {}

    /// False, with nothing read, where the machine has no threads to give.
    [[nodiscard]] bool run() {
        std::vector<std::jthread> threads;
        try {
            for (std::size_t worker = 0; worker < workers_; ++worker)
                threads.emplace_back([this, worker] { work(worker); });
        } catch (...) {
            // No more threads, or no memory for one; those that wait already go home with an empty
            // block.
            for (std::size_t missing = threads.size(); missing < workers_; ++missing)
                static_cast<void>(together_.arrive());
            together_.arrive_and_wait();
            return false;
        }
        read();
        threads.clear();
        for (const auto& failure : failures_)
            if (failure) std::rethrow_exception(failure);
        return true;
    }

  private:
    void read() {
        for (std::size_t turn = 0;; ++turn) {
            Block& block = blocks_[turn % 2];
            block.frames = 0;
            try {
                block.frames = source_.read(block.interleaved);
            } catch (...) {
                failures_.back() = std::current_exception();
            }
            together_.arrive_and_wait();
            if (block.frames == 0) return;
        }
    }

    void work(std::size_t worker) {
        std::vector<double> samples;
        for (std::size_t turn = 0;; ++turn) {
            together_.arrive_and_wait();
            const Block& block = blocks_[turn % 2];
            if (block.frames == 0) return;
            if (failures_[worker]) continue;
            try {
                for (std::size_t c = worker; c < analysers_.size(); c += workers_)
                    add_channel(block, c, analysers_.size(), samples, analysers_[c]);
            } catch (...) {
                failures_[worker] = std::current_exception();
            }
        }
    }

    SampleSource& source_;
    Analysers& analysers_;
    std::array<Block, 2> blocks_;
    std::size_t workers_;
    std::vector<std::exception_ptr> failures_;  // of each worker, then of the reader
    std::barrier<> together_;
};

}  // namespace

std::vector<ChannelReading> read_channels(SampleSource& source) {
    const std::size_t channels = source.channels();
    const std::size_t cores = std::max(1U, std::thread::hardware_concurrency());
    // Cores that no channel has help with the transforms.
    const bool apart = channels < cores;
    Analysers analysers;
    for (std::size_t c = 0; c < channels; ++c)
        analysers.emplace_back(source.sample_rate(), source.quantization(), apart);
    const std::size_t workers = std::min(channels, cores);
    if (workers == 1 || !Team(source, analysers, workers).run()) read_alone(source, analysers);
    std::vector<ChannelReading> readings;
    readings.reserve(analysers.size());
    for (ChannelAnalyser& analyser : analysers)
        readings.push_back(analyser.finish());
    return readings;
}

}  // namespace earbudget
