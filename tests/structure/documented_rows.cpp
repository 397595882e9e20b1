#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "earbudget/exposure/criterion.hpp"
#include "earbudget/limits/advice_code.hpp"
#include "earbudget/measurement/findings/finding.hpp"
#include "earbudget/protection/derating.hpp"
#include "earbudget/review/review.hpp"
#include "earbudget/study/plan.hpp"

using namespace earbudget;

namespace {

using Names = std::set<std::string>;
namespace fs = std::filesystem;

const fs::path documents = fs::path(EARBUDGET_SOURCE_DIR) / "docs";

std::string text_of(const fs::path& path) {
    std::ifstream file(path);
    REQUIRE(file);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

template <class Table>
Names names_in(const Table& rows) {
    Names names;
    for (const auto& row : rows)
        names.emplace(row.name);
    return names;
}

/// The lines of a table of a document, from the line after its head.
std::vector<std::string> table_under(const std::string& document, const std::string& head) {
    std::istringstream lines(text_of(documents / document));
    std::vector<std::string> table;
    bool inside = false;
    for (std::string line; std::getline(lines, line);) {
        if (inside && !line.starts_with('|')) break;
        if (inside && !line.starts_with("| ---")) table.push_back(line);
        inside = inside || line.starts_with(head);
    }
    CAPTURE(head);
    REQUIRE(!table.empty());
    return table;
}

/// What stands in code marks in the first cells.
Names first_cells(const std::vector<std::string>& table) {
    Names names;
    const std::regex marked("`([^`]+)`");
    for (const std::string& line : table) {
        const std::string cell = line.substr(1, line.find('|', 1) - 1);
        for (std::sregex_iterator it(cell.begin(), cell.end(), marked), end; it != end; ++it)
            names.insert((*it)[1]);
    }
    return names;
}

Names with(Names names, const std::string& more) {
    names.insert(more);
    return names;
}

Names without(Names names, std::string_view less) {
    names.erase(std::string(less));
    return names;
}

void find_enums(const nlohmann::json& schema, std::vector<Names>& enums) {
    if (schema.is_object() && schema.contains("enum")) {
        Names names;
        for (const auto& value : schema["enum"]) {
            if (value.is_string()) names.insert(value.get<std::string>());
        }
        enums.push_back(std::move(names));
    }
    for (const auto& part : schema) {
        if (part.is_structured()) find_enums(part, enums);
    }
}

std::vector<Names> enums_of_schemas() {
    std::vector<Names> enums;
    for (const auto& entry : fs::recursive_directory_iterator(documents / "schemas")) {
        if (entry.path().extension() == ".json")
            find_enums(nlohmann::json::parse(text_of(entry.path())), enums);
    }
    return enums;
}

/// An enumeration that has two names of a table must have all of them.
void check_in_schemas(const Names& names) {
    static const std::vector<Names> enums = enums_of_schemas();
    std::size_t found = 0;
    for (const Names& listed_there : enums) {
        Names shared;
        std::ranges::set_intersection(names, listed_there, std::inserter(shared, shared.end()));
        if (shared.size() < 2) continue;
        ++found;
        CAPTURE(listed(listed_there));
        CHECK(listed(shared) == listed(names));
    }
    CAPTURE(listed(names));
    CHECK(found > 0);
}

/// Each publication that a source names, "ISO 4869-2" for example, stands in the line too.
void check_source(std::string_view source, const std::string& line) {
    const std::string text(source);
    const std::regex publication("([A-Z][A-Z/]+|CFR|[0-9]+ CFR) ([A-Z]?[0-9][-0-9.]*)");
    for (std::sregex_iterator it(text.begin(), text.end(), publication), end; it != end; ++it) {
        CAPTURE(line);
        CAPTURE(it->str());
        CHECK(line.find(it->str()) != std::string::npos);
    }
}

template <class Table>
void check_sources(const Table& rows, const std::vector<std::string>& table) {
    for (const auto& row : rows) {
        for (const std::string& line : table) {
            if (line.starts_with("| `" + std::string(row.name) + "`"))
                check_source(row.source, line);
        }
    }
}

}  // namespace

TEST_CASE("documents list each method, form and derating, with its source") {
    const auto methods = table_under("methods.md", "| method |");
    CHECK(listed(first_cells(methods)) ==
          listed(with(names_in(method_rows), std::string(name_of_best_method))));
    check_sources(method_rows, methods);
    CHECK(listed(first_cells(table_under("methods.md", "| form |"))) ==
          listed(without(names_in(method_forms), name_of(MethodForm::AsDefined))));
    const auto deratings = table_under("methods.md", "| derating |");
    CHECK(listed(first_cells(deratings)) ==
          listed(with(names_in(named_deratings), "{ dB = 6.0 }")));
    check_sources(derating_rows, deratings);
}

TEST_CASE("documents list each code of findings and of checks") {
    CHECK(listed(first_cells(table_under("methods.md", "| code | when | what to do |"))) ==
          listed(names_in(quality_codes)));
    CHECK(listed(first_cells(table_under("methods.md", "| code | doubtful when |"))) ==
          listed(names_in(check_codes)));
    for (const std::string& code :
         first_cells(table_under("methods.md", "| code | solved for | rounded |"))) {
        CAPTURE(code);
        CHECK((advice_codes.find(code) != nullptr || code.starts_with("repeats_left")));
    }
}

TEST_CASE("schemas list each name of an enumeration") {
    check_in_schemas(names_in(method_rows));
    check_in_schemas(without(names_in(method_forms), name_of(MethodForm::AsDefined)));
    check_in_schemas(names_in(named_deratings));
    check_in_schemas(names_in(protector_types));
    check_in_schemas(names_in(exposure_quantities));
    check_in_schemas(names_in(criterion_kinds));
    check_in_schemas(names_in(role_rows));
    check_in_schemas(names_in(age_groups));
    check_in_schemas(names_in(quality_codes));
    check_in_schemas(names_in(check_states));
    check_in_schemas(names_in(verdicts));
    check_in_schemas(names_in(permitted_kinds));
    check_in_schemas(names_in(recommendation_codes));
}
