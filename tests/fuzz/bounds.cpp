#include "fuzz/bounds.hpp"

#include <atomic>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <new>

#include <malloc.h>

#include "fuzz/held.hpp"

#if defined(__SANITIZE_ADDRESS__)
#define EARBUDGET_SANITIZED_FUZZER
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define EARBUDGET_SANITIZED_FUZZER
#endif
#endif

namespace {

std::atomic<std::size_t> held = 0;     // bytes now
std::atomic<std::size_t> highest = 0;  // bytes since the last input began

#ifdef EARBUDGET_SANITIZED_FUZZER
constexpr double slower = 20.0;  // address and undefined-behaviour sanitizers in a debug build
#else
constexpr double slower = 1.0;

void* counted(void* memory) {
    if (memory == nullptr) return nullptr;
    const std::size_t now = held += ::malloc_usable_size(memory);
    std::size_t before = highest.load(std::memory_order_relaxed);
    while (before < now && !highest.compare_exchange_weak(before, now))
        continue;
    return memory;
}

void release(void* memory) {
    held -= ::malloc_usable_size(memory);
    std::free(memory);
}
#endif

double processor_seconds() {
    timespec time{};
    ::clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
    return static_cast<double>(time.tv_sec) + 1e-9 * static_cast<double>(time.tv_nsec);
}

}  // namespace

// With sanitizers these are the sanitizer's own, which find more than they would count.
#ifndef EARBUDGET_SANITIZED_FUZZER
void* operator new(std::size_t size) {
    if (void* memory = counted(std::malloc(size > 0 ? size : 1))) return memory;
    throw std::bad_alloc();
}
void* operator new(std::size_t size, std::align_val_t alignment) {
    const auto boundary = static_cast<std::size_t>(alignment);
    const std::size_t whole = (size + boundary - 1) / boundary * boundary;
    if (void* memory = counted(std::aligned_alloc(boundary, whole))) return memory;
    throw std::bad_alloc();
}
void operator delete(void* memory) noexcept { release(memory); }
void operator delete(void* memory, std::size_t) noexcept { release(memory); }
void operator delete(void* memory, std::align_val_t) noexcept { release(memory); }
void operator delete(void* memory, std::size_t, std::align_val_t) noexcept { release(memory); }
#endif

namespace earbudget::fuzz {

Bounded::Bounded(std::size_t input, const Allowance& allowance)
    : input_(input), allowance_(allowance), began_(processor_seconds()), held_(held) {
    highest = held_;
}

Bounded::~Bounded() {
    const auto bytes = static_cast<double>(input_);
    const double seconds = processor_seconds() - began_;
    const double allowed = slower * (allowance_.seconds + bytes * allowance_.seconds_per_byte);
    if (seconds > allowed) std::fprintf(stderr, "%.3f s for %.0f bytes\n", seconds, bytes);
    hold(seconds <= allowed, "an input takes no more time than one of its length may");
    const std::size_t more = highest > held_ ? highest - held_ : 0;
    const std::size_t most = allowance_.bytes + input_ * allowance_.bytes_per_byte;
    if (more > most) std::fprintf(stderr, "%zu bytes of memory for %.0f bytes\n", more, bytes);
    hold(more <= most, "an input takes no more memory than one of its length may");
}

}  // namespace earbudget::fuzz
