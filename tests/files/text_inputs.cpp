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

TEST_CASE("a text stands in the place of a file, by whatever name, and its hash is of the text") {
    const TemporaryFolder folder;
    files::TextInputs inputs;
    const std::string path = folder.write("a.toml", "on disk");
    std::filesystem::create_symlink("a.toml", folder.path("link.toml"));
    inputs.put_in_place(folder.path("./a.toml"), "tried");
    inputs.put_in_place(folder.path("new.toml"), "not there yet");
    CHECK(inputs.text(folder.path("link.toml"), {path}) == "tried");
    CHECK(inputs.text(path, {path}) == "tried");
    CHECK(inputs.sha256(path) == files::sha256_of_text("tried"));
    CHECK(inputs.text(folder.path("new.toml"), {path}) == "not there yet");
    CHECK_THROWS_AS(inputs.put_in_place(path, "too late"), std::logic_error);
    // What is too large for a file is too large here.
    inputs.put_in_place(folder.path("large.toml"), "12345");
    CHECK_THROWS_AS(static_cast<void>(inputs.text(folder.path("large.toml"), {path}, 4)),
                    InputError);
}

TEST_CASE("nothing outside of the folder is read, by whatever name, and the place is named") {
    namespace fs = std::filesystem;
    const TemporaryFolder folder;
    fs::create_directories(folder.path("desk/cards"));
    fs::create_directories(folder.path("desk-2"));
    const std::string inside = folder.write("desk/a.toml", "inside");
    const std::string outside = folder.write("outside.toml", "outside");
    static_cast<void>(folder.write("desk-2/b.toml", "outside"));
    fs::create_symlink("../outside.toml", folder.path("desk/link.toml"));
    fs::create_symlink("../not-there.toml", folder.path("desk/dangling.toml"));
    fs::create_directory_symlink("../desk-2", folder.path("desk/linked"));
    fs::create_symlink("itself.toml", folder.path("desk/itself.toml"));
    fs::create_symlink("a.toml", folder.path("desk/within.toml"));
    files::TextInputs inputs;
    inputs.confine_to(folder.path("desk"));
    const SourcePosition named{"plan.toml", 4, 9};
    CHECK(inputs.text(inside, named) == "inside");
    CHECK(inputs.text(folder.path("desk/within.toml"), named) == "inside");
    CHECK(inputs.text(folder.path("desk/cards/../a.toml"), named) == "inside");
    for (const std::string& path :
         {outside, folder.path("desk/../outside.toml"), folder.path("desk/link.toml"),
          folder.path("desk/dangling.toml"), folder.path("desk/linked/b.toml"),
          folder.path("desk-2/b.toml"), folder.path("not-there.toml"),
          folder.path("desk/itself.toml"), std::string("/etc/hostname")}) {
        CAPTURE(path);
        try {
            static_cast<void>(inputs.text(path, named));
            FAIL("was read");
        } catch (const InputError& error) {
            CHECK(error.position() == named);
            CHECK(error.message().find("outside of the folder") != std::string::npos);
        }
    }
    CHECK_THROWS_AS(inputs.refuse_outside(folder.path("desk/linked"), named), InputError);
    CHECK_NOTHROW(inputs.refuse_outside(folder.path("desk/cards"), named));
    CHECK_THROWS_AS(inputs.confine_to(folder.path("nowhere")), InputError);
    // What is missing inside is still said to be missing.
    try {
        static_cast<void>(inputs.text(folder.path("desk/b.toml"), named));
        FAIL("was read");
    } catch (const InputError& error) {
        CHECK(error.message().find("outside") == std::string::npos);
    }
}

TEST_CASE("a plan that names cards outside of the folder is refused at the key that names them") {
    const TemporaryFolder folder;
    std::filesystem::copy(std::string(EARBUDGET_SOURCE_DIR) + "/sequences/saltmarsh", folder.path("study"),
                          std::filesystem::copy_options::recursive);
    std::filesystem::rename(folder.path("study/cards"), folder.path("cards"));
    std::string text = content_of(folder.path("study/plan.toml"));
    text.replace(text.find("\"cards\""), 7, "\"../cards\"");
    const std::string plan = folder.write("study/plan.toml", text);
    CHECK_NOTHROW(static_cast<void>(files::read_plan(plan)));
    files::TextInputs inputs;
    inputs.confine_to(folder.path("study"));
    try {
        static_cast<void>(files::read_plan(plan, inputs));
        FAIL("was read");
    } catch (const InputError& error) {
        CHECK(error.position().file.text() == plan);
        CHECK(error.position().line == 5);
        CHECK(error.message().find("../cards") != std::string::npos);
    }
}
