#include <memory>
#include <stdexcept>
#include <string>

#include <doctest/doctest.h>

#include "files/open_file.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE(
    "FIPS 180-4: the digests of \"abc\" and of the empty message, as its examples print them") {
    const TemporaryFolder folder;
    CHECK(files::sha256_of(files::OpenFile(folder.write("abc", "abc"))) ==
          "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(files::sha256_of(files::OpenFile(folder.write("empty", ""))) ==
          "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    CHECK_THROWS_AS(files::sha256_of(files::OpenFile(folder.path("absent"))), std::runtime_error);
}

TEST_CASE("the digest that another thread works out is the same, and may be left unasked for") {
    const TemporaryFolder folder;
    const std::string path = folder.write("long", std::string(3'000'000, 'x'));
    const auto file = std::make_shared<const files::OpenFile>(path);
    files::Sha256Meanwhile meanwhile(file);
    CHECK(meanwhile.sum() == files::sha256_of(*file));
    CHECK(meanwhile.sum() == files::sha256_of(*file));
    const files::Sha256Meanwhile unasked(file);
}
