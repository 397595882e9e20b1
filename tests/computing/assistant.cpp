#include "computing/assistant.hpp"

#include <atomic>
#include <chrono>
#include <memory>
#include <stdexcept>
#include <thread>

#include <doctest/doctest.h>

using namespace earbudget;

TEST_CASE("an assistant does its job once each time it is asked, on a thread of its own") {
    int done = 0;
    std::thread::id by;
    Assistant assistant([&] {
        ++done;
        by = std::this_thread::get_id();
    });
    assistant.wait();
    CHECK(done == 0);
    for (int asked = 1; asked <= 100; ++asked) {
        assistant.start();
        assistant.wait();
        CHECK(done == asked);
    }
    CHECK(by != std::this_thread::get_id());
    assistant.start();
    assistant.start();  // waits for the one before
    assistant.wait();
    CHECK(done == 102);
}

TEST_CASE("what the job throws reaches who waits, once") {
    Assistant assistant([] { throw std::runtime_error("no"); });
    assistant.start();
    CHECK_THROWS_AS(assistant.wait(), std::runtime_error);
    assistant.wait();
    assistant.start();
    CHECK_THROWS_AS(assistant.start(), std::runtime_error);
}

TEST_CASE("an assistant that goes finishes what it was asked for") {
    std::atomic<int> done = 0;
    auto assistant = std::make_unique<Assistant>([&] {
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
        ++done;
    });
    assistant->start();
    assistant.reset();
    CHECK(done == 1);
}
