// Writes what is made from the program's own description of its commands: the manual page and the
// completion. The build runs it, so that neither can fall behind. With --docs what of the documents
// is made from tables: of the keys of files, the tables in docs/files.md and the schemas in
// docs/schemas/inputs; of the fields of reports, the schemas in docs/schemas. A test runs it with
// --check.
#include <cstdio>
#include <exception>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "guides/guides.hpp"

namespace {

void write(const std::string& path, const std::string& content) {
    std::ofstream file(path, std::ios::binary);
    file << content;
    if (!file.flush()) throw std::runtime_error("cannot write " + path);
}

std::string content_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream content;
    content << file.rdbuf();
    return content.str();
}

/// Writes a file, or says where it is not what would be written.
void write_or_check(const std::string& path, const std::string& content, bool only_check) {
    if (!only_check) return write(path, content);
    if (content_of(path) != content)
        throw std::runtime_error(path + " is not current: run write_guides --docs SOURCE_FOLDER");
}

void write_documents(const std::string& source, bool only_check) {
    const std::string document = source + "/docs/files.md";
    write_or_check(document, earbudget::guides::with_key_tables(content_of(document)), only_check);
    for (const earbudget::files::KeyTable* file : earbudget::files::all_files) {
        write_or_check(source + "/docs/schemas/inputs/" + std::string(file->name) + ".schema.json",
                       earbudget::guides::input_schema(*file), only_check);
    }
    for (const auto& [name, schema] : earbudget::guides::schemas())
        write_or_check(source + "/docs/schemas/" + name, schema, only_check);
}

void write_guides(const std::string& folder) {
    const auto description = earbudget::cli::describe_program();
    write(folder + "/earbudget.1", earbudget::guides::manual_page(description));
    write(folder + "/earbudget.bash", earbudget::guides::bash_completion(description));
    write(folder + "/earbudget.zsh", earbudget::guides::zsh_completion(description));
    write(folder + "/earbudget.fish", earbudget::guides::fish_completion(description));
}

}  // namespace

int main(int count, char** arguments) {
    const std::vector<std::string> words(arguments + 1, arguments + count);
    const bool is_for_documents = words.size() >= 2 && words[0] == "--docs";
    const bool only_checks = words.size() == 3 && words[2] == "--check";
    if (words.size() != 1 && !(is_for_documents && (words.size() == 2 || only_checks))) {
        std::fprintf(stderr, "usage: write_guides FOLDER | --docs SOURCE_FOLDER [--check]\n");
        return 2;
    }
    try {
        if (is_for_documents) {
            write_documents(words[1], only_checks);
        } else {
            write_guides(words[0]);
        }
        return 0;
    } catch (const std::exception& error) {
        std::fprintf(stderr, "write_guides: %s\n", error.what());
        return 1;
    }
}
