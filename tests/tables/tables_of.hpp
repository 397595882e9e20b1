#pragma once

#include <string>
#include <vector>

#include "files/error_list.hpp"
#include "files/text_inputs.hpp"
#include "support/temporary_folder.hpp"
#include "tables/unit_tables.hpp"

namespace earbudget::test {

/// What the bytes of a file "t.csv" are read as, and the mistakes that are listed, without the
/// folder.
struct ReadTable {
    tables::UnitTables tables = {};
    std::vector<std::string> errors = {};

    explicit ReadTable(const std::string& bytes) {
        const TemporaryFolder folder;
        const std::string path = folder.write("t.csv", bytes);
        files::TextInputs inputs;
        files::ErrorList list;
        list.attempt([&] { tables::read_table(path, inputs, tables, list); });
        try {
            list.throw_if_any();
        } catch (const files::InputErrors& found) {
            for (const InputError& error : found.all())
                errors.push_back(std::string(error.what()).substr(folder.path("").size()));
        }
    }

    /// Whether some mistake begins with a place and holds words.
    [[nodiscard]] bool lists(const std::string& place, const std::string& words) const {
        for (const std::string& error : errors)
            if (error.starts_with("t.csv:" + place + ": ") &&
                error.find(words) != std::string::npos && error.find("accepted: ") != error.npos)
                return true;
        return false;
    }
};

}  // namespace earbudget::test
