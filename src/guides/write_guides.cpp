// Writes what is made from the program's own description of its commands, the manual page and the
// completion, and the JSON schemas from the tables of its reports. The build runs it, so that none
// can fall behind.
#include <cstdio>
#include <exception>
#include <fstream>
#include <stdexcept>
#include <string>

#include "guides/bash_completion.hpp"
#include "guides/manual_page.hpp"
#include "guides/other_completions.hpp"
#include "guides/schemas.hpp"

namespace {

void write(const std::string& path, const std::string& content) {
    std::ofstream file(path, std::ios::binary);
    file << content;
    if (!file.flush()) throw std::runtime_error("cannot write " + path);
}

}  // namespace

int main(int count, char** arguments) {
    if (count != 2) {
        std::fprintf(stderr, "usage: write_guides FOLDER\n");
        return 2;
    }
    try {
        const std::string folder = arguments[1];
        const auto description = earbudget::cli::describe_program();
        write(folder + "/earbudget.1", earbudget::guides::manual_page(description));
        write(folder + "/earbudget.bash", earbudget::guides::bash_completion(description));
        write(folder + "/earbudget.zsh", earbudget::guides::zsh_completion(description));
        write(folder + "/earbudget.fish", earbudget::guides::fish_completion(description));
        for (const auto& [name, schema] : earbudget::guides::schemas())
            write(folder + "/schemas/" + name, schema);
        return 0;
    } catch (const std::exception& error) {
        std::fprintf(stderr, "write_guides: %s\n", error.what());
        return 1;
    }
}
