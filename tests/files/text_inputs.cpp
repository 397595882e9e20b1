// A text file is read once, and its hash is of what was read.
#include "files/text_inputs.hpp"

#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <string>

#include <doctest/doctest.h>

#include "files/open_file.hpp"
#include "files/study_files.hpp"
#include "support/study_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("the hash of a text is of the bytes that were given out, whatever the file is later") {
    const TemporaryFolder folder;
    files::TextInputs inputs;
    const std::string path = folder.write("a.toml", "first");
    CHECK(inputs.text(path, {path}) == "first");
    static_cast<void>(folder.write("a.toml", "second"));
    CHECK(inputs.sha256(path) == files::sha256_of_text("first"));
    // What is read again is what was read.
    CHECK(inputs.text(path, {path}) == "first");
    std::filesystem::remove(path);
    CHECK(inputs.text(path, {path}) == "first");
    CHECK(inputs.sha256(path) == files::sha256_of_text("first"));
    CHECK_THROWS_AS(static_cast<void>(inputs.sha256("other.toml")), std::logic_error);
    CHECK_THROWS_AS(static_cast<void>(inputs.text(path, {path}, 4)), InputError);
}

TEST_CASE("a file is read once by whatever names it is asked for") {
    const TemporaryFolder folder;
    files::TextInputs inputs;
    const std::string path = folder.write("a.toml", "first");
    CHECK(inputs.text(path, {path}) == "first");
    static_cast<void>(folder.write("a.toml", "second"));
    std::filesystem::create_symlink("a.toml", folder.path("link.toml"));
    std::filesystem::create_directory(folder.path("sub"));
    for (const char* other : {"./a.toml", "link.toml", "sub/../a.toml"}) {
        const std::string name = folder.path(other);
        CAPTURE(name);
        CHECK(inputs.text(name, {name}) == "first");
        CHECK(inputs.first_name(name) == path);
        CHECK(inputs.sha256(name) == files::sha256_of_text("first"));
    }
}

TEST_CASE("a plan and all that it names have the hashes of what they were read from") {
    const StudyFolder study;
    const std::string plan = study.folder().path("plan.toml");
    files::TextInputs inputs;
    const auto loaded = files::read_plan(plan, inputs);
    REQUIRE(loaded.files.size() == 3);
    const StudyText text;
    for (const std::string& file : loaded.files) {
        const std::string name = std::filesystem::path(file).filename().string();
        const std::string& content = name == "plan.toml"         ? text.plan
                                     : name == "protectors.toml" ? text.protectors
                                                                 : text.card;
        // Replaced after reading, before reporting.
        std::ofstream(file) << "something else";
        CHECK(inputs.sha256(file) == files::sha256_of_text(content));
    }
    // The plan of --against names the same files, of which nothing is left.
    const auto again = files::read_plan(plan, inputs).plan;
    CHECK(again.sequences.front().levels.LAeq == loaded.plan.sequences.front().levels.LAeq);
}

TEST_CASE("a card that has its bands from others is read with them once, and they are named") {
    const TemporaryFolder folder;
    std::string bands = "[levels]\nLAeq = 97.0\n[levels.octave]\n";
    for (const char* band : {"125", "250", "500", "1000", "2000", "4000", "8000"})
        bands += std::string("\"") + band + "\" = 90.0\n";
    const std::string head = "kind = \"sequence\"\nformat = 1\nid = ";
    static_cast<void>(folder.write("b.toml", head + "\"b\"\n" + bands));
    for (const std::string id : {"c", "d"}) {
        static_cast<void>(folder.write(id + ".toml", head + '"' + id +
                                                         "\"\n[levels]\nLAeq = 90.0\n"
                                                         "spectrum_like = \"b\"\n"));
    }
    files::TextInputs inputs;
    files::SequenceFolders folders;
    const auto c = files::read_sequence_card_in_folder(folder.path("c.toml"), inputs, folders);
    CHECK(c.others == std::vector<std::string>{folder.path("b.toml"), folder.path("d.toml")});
    CHECK(!c.sequence.levels.a_weighted_octaves().empty());
    CHECK(folders.size() == 1);
    std::filesystem::remove(folder.path("b.toml"));
    const auto d = files::read_sequence_card_in_folder(folder.path("d.toml"), inputs, folders);
    CHECK(d.sequence.levels.octave.at(OctaveBand::Hz1000) ==
          c.sequence.levels.octave.at(OctaveBand::Hz1000));
}
