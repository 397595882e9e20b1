// No set of small files takes more than 30 s of one core or 512 MB: it is answered, or refused with
// what is too much and what would do; what was left out is said in every form of the report.
#include <csignal>
#include <cstdint>
#include <fstream>
#include <iterator>
#include <limits>
#include <sstream>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "support/program.hpp"
#include "support/restricted.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

using Words = std::vector<std::string>;

constexpr rlim_t most_memory = rlim_t{512} << 20U;

void limit_everything() {
    limit_memory(most_memory);
    const rlimit seconds{30, 30};
    if (::setrlimit(RLIMIT_CPU, &seconds) != 0) ::_exit(125);
}

Outcome bounded(const Words& arguments, const StudyFolder& study) {
    return run_restricted(limit_everything, EARBUDGET_PROGRAM, arguments, study.root());
}

std::string protectors(int plugs, int muffs) {
    std::string text = "kind = \"protectors\"\nformat = 1\n";
    const auto add = [&](const std::string& id, const std::string& type, int snr) {
        text += "[[protector]]\nid = \"" + id + "\"\ntype = \"" + type +
                "\"\nfits_head_coil = true\nmetal_free = true\nSNR = " + std::to_string(snr) + "\n";
    };
    for (int n = 0; n < plugs; ++n)
        add("p" + std::to_string(n), "foam-plug", 18 + n % 10);
    for (int n = 0; n < muffs; ++n)
        add("m" + std::to_string(n), "earmuff", 18 + n % 10);
    return text;
}

/// A study with so many of everything.
StudyText study_of(int people, int rows, int criteria, int plugs, int muffs) {
    StudyText text;
    text.protectors = protectors(plugs, muffs);
    text.plan =
        "kind = \"plan\"\nformat = 1\ntitle = \"Large\"\nsequences = \"cards\"\n"
        "protectors = \"protectors.toml\"\n[policy]\nmethod = \"snr\"\ncriteria = [\"niosh-rel\"";
    for (int n = 0; n < criteria; ++n)
        text.plan += ", \"own" + std::to_string(n) + "\"";
    text.plan += "]\n";
    for (int n = 0; n < criteria; ++n) {
        text.plan += "[[criterion]]\nid = \"own" + std::to_string(n) + "\"\nlevel_dB = 85." +
                     std::to_string(10 + n) + "\nexchange_dB = 3.0\nhours = 8.0\n";
    }
    for (int n = 0; n < rows; ++n)
        text.plan +=
            "[[timeline]]\nsequence = \"s" + std::to_string(n) + "\"\nduration = \"9 s\"\n";
    for (int n = 0; n < people; ++n) {
        text.plan += "[[person]]\nid = \"u" + std::to_string(n) +
                     "\"\nrole = \"participant\"\nwears = [\"p0\"]\nfit_uncertainty = 2." +
                     std::to_string(1000 + n) + "\n";
    }
    return text;
}

void write_cards(const StudyFolder& study, int rows, int level) {
    for (int n = 0; n < rows; ++n) {
        const std::string id = "s" + std::to_string(n);
        std::string card = with(StudyText().card, "\"epi\"", '"' + id + '"');
        const std::string tenths = std::to_string(n % 10);
        card = with(card, "LAeq = 108.0", "LAeq = " + std::to_string(level) + "." + tenths);
        card = with(card, "LCeq = 109.5", "LCeq = " + std::to_string(level + 2) + "." + tenths);
        card = with(card, "LCpeak = 124.0", "LCpeak = " + std::to_string(level + 15) + ".0");
        static_cast<void>(study.folder().write("cards/" + id + ".toml", card));
    }
}

void check_too_much(const Outcome& outcome, const std::string& what) {
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(lines_of(outcome.errors) == 1);
    CHECK(outcome.errors.find(what) != std::string::npos);
    CHECK(outcome.errors.find("accepted: at most ") != std::string::npos);
    CHECK(outcome.errors.find(", for example ") != std::string::npos);
}

}  // namespace

TEST_CASE("what would take minutes or gigabytes is refused with its size and what would do") {
    const StudyFolder many_people(study_of(400, 50, 0, 15, 14));
    write_cards(many_people, 50, 112);
    check_too_much(bounded({"choose", "plan.toml"}, many_people),
                   "plan.toml:1:1: 400 people who differ × 239 protectors and pairs (29 alone, 15 "
                   "plugs each under 14 earmuffs) × 50 rows");
    const StudyFolder many_criteria(study_of(500, 4, 89, 1, 0));
    write_cards(many_criteria, 4, 112);
    const StudyFolder more_people(study_of(600, 4, 89, 1, 0));
    write_cards(more_people, 4, 112);
    check_too_much(bounded({"assess", "plan.toml"}, more_people),
                   "plan.toml:1:1: 600 people who differ");
    for (const Words& more : {Words{"--working"}, Words{"--format", "html"}}) {
        Words words = {"assess", "plan.toml"};
        words.insert(words.end(), more.begin(), more.end());
        check_too_much(bounded(words, many_criteria), "plan.toml:1:1: 500 people who differ");
    }
    const StudyFolder large_catalogue(study_of(1, 100, 0, 90, 90));
    write_cards(large_catalogue, 100, 112);
    check_too_much(bounded({"choose", "plan.toml"}, large_catalogue),
                   "8280 protectors and pairs (180 alone");
    check_too_much(
        bounded({"review", "cards/s0.toml", "cards/s1.toml", "--protectors", "protectors.toml"},
                large_catalogue),
        "protectors.toml:1:1: 2 cards × 8280 protectors and pairs (180 alone, 90 plugs each under "
        "90 earmuffs) × ");
}

TEST_CASE("a large catalogue is searched as far as time allows, and that is said everywhere") {
    const StudyFolder study(study_of(3, 200, 0, 70, 70));
    write_cards(study, 200, 112);
    const Outcome as_json = bounded({"assess", "plan.toml", "--format", "json"}, study);
    CAPTURE(as_json.errors);
    REQUIRE(as_json.status <= 1);
    std::string said;
    const auto report = nlohmann::json::parse(as_json.output);
    for (const auto& warning : report["warnings"]) {
        if (warning["code"] == "candidates-left-out") said += warning["text"].get<std::string>();
    }
    CHECK(said.find(" were tried for the advice") != std::string::npos);
    CHECK(said.find(" left out, since all would take too long") != std::string::npos);
    const Outcome page = bounded({"assess", "plan.toml", "--format", "html"}, study);
    CHECK(page.output.find("tried for the advice") != std::string::npos);
    const Outcome text = bounded({"assess", "plan.toml"}, study);
    CHECK(text.output.find("tried for the advice") != std::string::npos);
}

namespace {

void replace_all(std::string& text, const std::string& what, const std::string& by) {
    for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + by.size()))
        text.replace(at, what.size(), by);
}

/// Half of all that can be worn comes out above the useful level, and none of that keeps the limit.
StudyText strict_study(const std::string& limit) {
    StudyText text = study_of(3, 200, 1, 70, 70);
    replace_all(text.plan, "9 s", "120 s");
    replace_all(text.plan, "level_dB = 85.10", "level_dB = " + limit);
    replace_all(text.plan, "[policy]\n", "[policy]\nleast_useful_dB = 72.5\n");
    return text;
}

/// As one line, without the tags of a page and its quotation marks.
std::string in_one_line(std::string text) {
    replace_all(text, "&quot;", "\"");
    std::string line;
    bool in_tag = false;
    for (const char c : text) {
        in_tag = c == '<' || (in_tag && c != '>');
        if (in_tag || c == '>') continue;
        const char one = c == '\n' ? ' ' : c;
        if (one != ' ' || line.empty() || line.back() != ' ') line += one;
    }
    return line;
}

/// Processor time of a running process in ticks of the system's clock, usually 10 ms each.
/// 0 before it is the program, so that what the fork itself costs does not count.
long processor_ticks(pid_t process) {
    std::ifstream file("/proc/" + std::to_string(process) + "/stat");
    std::string text((std::istreambuf_iterator<char>(file)), {});
    if (text.find("(earbudget)") == std::string::npos) return 0;
    // Behind the name: state, ten numbers, then user and system time (proc(5)).
    std::istringstream fields(text.substr(text.rfind(')') + 1));
    std::string state;
    fields >> state;
    if (state == "Z") return std::numeric_limits<long>::max();
    long value = 0, user = 0;
    for (int n = 0; n < 10; ++n)
        fields >> value;
    fields >> user >> value;
    return user + value;
}

}  // namespace

TEST_CASE("what keeps a limit below the useful level is found in a large catalogue too") {
    const StudyFolder study(strict_study("72.10"));
    write_cards(study, 200, 100);
    const Outcome as_json = bounded({"assess", "plan.toml", "--format", "json"}, study);
    CAPTURE(as_json.errors);
    REQUIRE(as_json.status == 1);
    const auto report = nlohmann::json::parse(as_json.output);
    for (const auto& person : report["people"]) {
        CHECK(person["advice"][0]["code"] == "add-protection");
        const std::string change = person["drivers"]["largest_change"]["text"];
        CHECK(change.find("(the largest of those tried; ") != std::string::npos);
        // The strongest are tried: 27 dB and 5 dB for the second less LC − LA, against 18 dB.
        CHECK(person["drivers"]["largest_change"]["drop_dB"].get<double>() > 13.9);
    }
    CHECK(as_json.output.find("Nothing in the catalogue") == std::string::npos);
}

TEST_CASE("nothing is said of a catalogue of which not everything was tried") {
    const StudyFolder study(strict_study("60.10"));
    write_cards(study, 200, 100);
    for (const char* format : {"json", "text", "html"}) {
        CAPTURE(format);
        const Outcome outcome = bounded({"assess", "plan.toml", "--format", format}, study);
        CAPTURE(outcome.errors);
        REQUIRE(outcome.status == 1);
        const std::string said = in_one_line(outcome.output);
        CHECK(said.find("Nothing in the catalogue") == std::string::npos);
        CHECK(said.find(" tried of what may be worn is known to keep every exposure limit; ") !=
              std::string::npos);
        CHECK(said.find(" were not tried. ") != std::string::npos);
        CHECK(said.find("(the largest of those tried; ") != std::string::npos);
    }
}

TEST_CASE("an interrupt ends long computing at once and leaves nothing") {
    const StudyFolder study(study_of(3, 200, 0, 70, 70));
    write_cards(study, 200, 112);
    for (const int signal : {SIGINT, SIGTERM}) {
        const pid_t child = ::fork();
        if (child == 0) {
            if (::chdir(study.root().c_str()) != 0) ::_exit(126);
            ::execl(EARBUDGET_PROGRAM, "earbudget", "assess", "plan.toml", "--output", "out.txt",
                    nullptr);
            ::_exit(127);
        }
        // Once the program has begun to compute: a fixed wait would be too long for a fast machine.
        while (processor_ticks(child) < 5 && ::kill(child, 0) == 0)
            ::usleep(2'000);
        ::kill(child, signal);
        int status = 0;
        REQUIRE(::waitpid(child, &status, 0) == child);
        CHECK(WIFSIGNALED(status));
        CHECK(WTERMSIG(status) == signal);
        CHECK(::access(study.folder().path("out.txt").c_str(), F_OK) != 0);
    }
}

TEST_CASE("a recording that ends with a hundred thousand chunks is measured at once") {
    const StudyFolder study;
    const auto number = [](std::uint32_t value, int bytes) {
        std::string text;
        for (int n = 0; n < bytes; ++n)
            text += static_cast<char>(value >> 8 * n & 0xFFU);
        return text;
    };
    constexpr std::uint32_t unknown = 0xFFFFFFFF;
    std::string wav = "RIFF" + number(unknown, 4) + "WAVEfmt " + number(16, 4) + number(1, 2) +
                      number(1, 2) + number(48000, 4) + number(96000, 4) + number(2, 2) +
                      number(16, 2) + "data" + number(unknown, 4);
    for (std::uint32_t n = 0; n < 100000; ++n)
        wav += number(n * 40503U >> 3U, 2);
    for (int n = 0; n < 130000; ++n)
        wav += "JUNK" + number(0, 4);
    // They do not lead to the end, from wherever one begins.
    const std::string path = study.folder().write("chunks.wav", wav + "abc");
    const Outcome outcome = bounded({"measure", path, "--full-scale-level", "120"}, study);
    CHECK(outcome.status == 0);
    CHECK(outcome.output.find("LAeq") != std::string::npos);
}
