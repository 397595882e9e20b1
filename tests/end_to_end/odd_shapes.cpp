// Files of 4 MiB of any shape are answered or refused within half a GB and 30 s of one core.
#include <filesystem>
#include <fstream>
#include <functional>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <sys/resource.h>

#include "support/program.hpp"
#include "support/restricted.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

constexpr std::size_t size = std::size_t{4} << 20U;

void restrict_to_the_bounds() {
#ifndef EARBUDGET_SANITIZED  // which takes more memory than it uses
    limit_memory(rlim_t{512} << 20U);
    const rlimit seconds{30, 31};
    if (::setrlimit(RLIMIT_CPU, &seconds) != 0) ::_exit(125);
#endif
}

Outcome assess(const std::string& plan, const std::string& folder) {
    return run_restricted(restrict_to_the_bounds, EARBUDGET_PROGRAM, {"assess", plan}, folder);
}

/// Of `begin`, then parts of a number until 4 MiB are full, and an end.
std::string filled(const std::string& begin, const std::function<std::string(std::size_t)>& part,
                   const std::string& end = "") {
    std::string text = begin;
    for (std::size_t n = 0;; ++n) {
        const std::string more = part(n);
        if (text.size() + more.size() + end.size() > size) return text + end;
        text += more;
    }
}

std::string filled(const std::string& begin, const std::string& part, const std::string& end = "") {
    return filled(
        begin, [&part](std::size_t) { return part; }, end);
}

const std::string head = "kind = \"plan\"\nformat = 1\n";

struct Shape {
    std::string name;
    std::string text;
};

std::string key(std::size_t n) { return "k" + std::to_string(n); }

std::vector<Shape> shapes() {
    return {
        {"numbers", filled(head + "x = [", "1,", "1]\n")},
        {"empty arrays", filled(head + "x = [", "[],", "1]\n")},
        {"empty tables", filled(head + "x = [", "{},", "1]\n")},
        {"dotted keys in tables", filled(head + "x = [", "{a.a.a.a.a.a.a=1},", "1]\n")},
        {"keys", filled(head, [](std::size_t n) { return key(n) + "=1\n"; })},
        {"dotted keys", filled(head, [](std::size_t n) { return key(n) + ".a.b.c.d.e.f=1\n"; })},
        {"tables", filled(head, [](std::size_t n) { return "[" + key(n) + "]\n"; })},
        {"arrays of tables", filled(head, "[[person]]\n")},
        {"tasks", filled(head + "[[person]]\n", "[[person.task]]\n")},
        {"keys of thousands",
         filled(head, [](std::size_t n) { return key(n) + std::string(4000, 'x') + "=1\n"; })},
        {"one key", head + std::string(size - 100, 'x') + " = 1\n"},
        {"one text", head + "title = \"" + std::string(size - 100, 'x') + "\"\n"},
        {"a mistake at the end", filled(
                                     head, [](std::size_t n) { return key(n) + "=1\n"; }, "=\n")},
        {"unknown protectors", filled(head,
                                      [](std::size_t n) {
                                          std::string wears =
                                              "[[person]]\nid = \"" + key(n) + "\"\nwears = [";
                                          for (int m = 0; m < 900; ++m)
                                              wears += "\"q\",";
                                          return wears + "]\n";
                                      })},
    };
}

}  // namespace

TEST_CASE("a file of 4 MiB of any shape takes less than 512 MB and 30 s") {
    const TemporaryFolder folder;
    for (const Shape& shape : shapes()) {
        CAPTURE(shape.name);
        static_cast<void>(folder.write("plan.toml", shape.text));
        const Outcome outcome = assess("plan.toml", folder.path(""));
        CAPTURE(outcome.errors.substr(0, 500));
        CHECK(outcome.status == 2);
        CHECK(outcome.errors.find("plan.toml:") == 0);
        CHECK(outcome.errors.find("accepted: ") != std::string::npos);
        CHECK(outcome.errors.find("memory") == std::string::npos);
    }
}

TEST_CASE("a path of 4,000 characters costs no memory for each value of the file") {
    const TemporaryFolder folder;
    std::string nested;
    for (int depth = 0; depth < 16; ++depth)
        nested += std::string(240, 'd') + '/';
    // Fewer values than a file may hold, so that each is kept.
    std::string text = head + "x = [";
    for (int n = 0; n < 700'000; ++n)
        text += "1,";
    text += "1]\n#" + std::string(size - text.size() - 100, '#') + "\n";
    // The name as it is given is as long as the system lets it be; a folder before it would be
    // more.
    const std::filesystem::path before = std::filesystem::current_path();
    std::filesystem::current_path(folder.path(""));
    std::filesystem::create_directories(nested);
    std::ofstream(nested + "plan.toml") << text;
    std::filesystem::current_path(before);
    const Outcome outcome = assess(nested + "plan.toml", folder.path(""));
    CAPTURE(outcome.errors.substr(0, 500));
    CHECK(outcome.status == 2);
    CHECK(outcome.errors.find("plan.toml:3:1: unknown key \"x\"") != std::string::npos);
}

TEST_CASE("errors that each name a thousand ids are counted, not kept") {
    const StudyFolder study;
    for (int n = 0; n < 900; ++n) {
        const std::string id = std::string(90, 'i') + std::to_string(n);
        static_cast<void>(study.folder().write("cards/" + id + ".toml",
                                               with(StudyText().card, "\"epi\"", '"' + id + '"')));
    }
    std::string plan = StudyText().plan;
    for (int n = 0; n < 1900; ++n)
        plan += "[[timeline]]\nsequence = \"u" + std::to_string(n) + "\"\nduration = \"1 s\"\n";
    static_cast<void>(study.folder().write("plan.toml", plan));
    const Outcome outcome = assess("plan.toml", study.root());
    CHECK(outcome.status == 2);
    CHECK(outcome.errors.find("and 1880 more") != std::string::npos);
}

TEST_CASE("a folder of large files that 200 positions name, each otherwise, is read once") {
    const StudyFolder study;
    std::string site = "kind = \"site\"\nformat = 1\n";
    for (std::size_t n = 0; site.size() < 250'000; ++n)
        site += key(n) + "=1\n";
    // No cards, so that they are passed over, and of the size that a card may have.
    for (int n = 0; n < 15; ++n)
        static_cast<void>(study.folder().write("there/" + std::to_string(n) + ".toml", site));
    std::string plan = StudyText().plan;
    std::string detour = "there";
    for (int n = 0; n < 200; ++n) {
        plan += "[[position]]\nid = \"q" + std::to_string(n) + "\"\nsequences = \"" + detour +
                "\"\ndifference_dB = -10.0\n";
        detour += "/.";
    }
    static_cast<void>(study.folder().write("plan.toml", plan));
    const Outcome outcome = assess("plan.toml", study.root());
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 0);
}
