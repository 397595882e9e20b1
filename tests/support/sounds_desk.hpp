#pragma once

#include <chrono>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include <nlohmann/json.hpp>

#include "desk/child.hpp"
#include "desk/jobs.hpp"
#include "support/desk_fixture.hpp"

namespace earbudget::test {

/// A desk whose cards, catalogues and recordings are asked for, and the command line beside it.
class SoundsDesk : public DeskFixture {
  public:
    [[nodiscard]] std::string read(std::string_view name) const {
        std::ifstream file(path("studies") + "/" + std::string(name));
        return {std::istreambuf_iterator<char>(file), {}};
    }
    void write(std::string_view name, std::string_view text) const {
        std::ofstream(path("studies") + "/" + std::string(name)) << text;
    }
    [[nodiscard]] bool is_there(std::string_view name) const {
        return std::filesystem::exists(path("studies") + "/" + std::string(name));
    }

    /// What the command line says, run in the desk's folder.
    [[nodiscard]] nlohmann::json told(const std::vector<std::string>& arguments) const {
        return nlohmann::json::parse(
            desk::run_child(opened.program, arguments, opened.folder).output);
    }

    /// The value of a hidden field of a page.
    [[nodiscard]] static std::string hidden_in(const std::string& page, const std::string& name) {
        const std::string begin = "name=\"" + name + "\" value=\"";
        const std::size_t at = page.find(begin);
        REQUIRE_MESSAGE(at != std::string::npos, name);
        const std::size_t from = at + begin.size();
        return page.substr(from, page.find('"', from) - from);
    }
    /// What stands below a field as wrong; empty for nothing.
    [[nodiscard]] static std::string wrong_at(const std::string& page, const std::string& name) {
        const std::string begin = "data-part=\"wrong-" + name + "\">";
        const std::size_t at = page.find(begin);
        REQUIRE_MESSAGE(at != std::string::npos, name);
        const std::size_t from = at + begin.size();
        return page.substr(from, page.find("</span>", from) - from);
    }
};

[[nodiscard]] inline bool has(const std::string& page, std::string_view words) {
    return page.find(words) != std::string::npos;
}

}  // namespace earbudget::test
