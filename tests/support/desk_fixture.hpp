#pragma once

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "desk/desk.hpp"
#include "desk/studies.hpp"
#include "register/register.hpp"
#include "support/register_file.hpp"

namespace earbudget::test {

/// A desk that is opened on a copy of the demo, with an empty register, and asked without a socket.
class DeskFixture {
  public:
    DeskFixture() {
        std::filesystem::copy(std::filesystem::path(EARBUDGET_SOURCE_DIR) / "sequences/saltmarsh",
                              folder_.path("studies"), std::filesystem::copy_options::recursive);
        registers::Register::create(folder_.path("r.register"), {.time_zone = "Europe/Berlin"});
        opened = {folder_.path("studies"), folder_.path("r.register"), EARBUDGET_PROGRAM,
                  std::make_shared<desk::Studies>()};
    }

    using Fields = std::vector<std::pair<std::string, std::string>>;

    /// `address` may have a question mark with fields behind it.
    [[nodiscard]] desk::Reply get(const std::string& address) const {
        return desk::answer(opened, asked("GET", address));
    }
    [[nodiscard]] desk::Reply post(const std::string& address, const Fields& fields) const {
        desk::Asked asked = this->asked("POST", address);
        asked.form = desk::Form(fields);
        return desk::answer(opened, asked);
    }
    /// Where an answer leads to next; empty where it is a page itself.
    [[nodiscard]] static std::string leads_to(const desk::Reply& reply) {
        for (const auto& [name, value] : reply.headers)
            if (name == "Location") return value;
        return "";
    }

    [[nodiscard]] std::string path(std::string_view name) const { return folder_.path(name); }

    desk::Opened opened;
    std::string by = "operator-1";

  private:
    [[nodiscard]] desk::Asked asked(std::string method, const std::string& address) const {
        const std::size_t question = std::min(address.find('?'), address.size());
        desk::Asked asked{.method = std::move(method), .path = address.substr(0, question)};
        if (question < address.size())
            asked.query = desk::Form::of_text(address.substr(question + 1));
        asked.by = by;
        asked.token = "token";
        return asked;
    }

    QuickFolder folder_;
};

}  // namespace earbudget::test
