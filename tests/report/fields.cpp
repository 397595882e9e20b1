// One table of rows is an object's JSON and what a schema says of it.
#include "report/fields.hpp"

#include <optional>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/level.hpp"

namespace earbudget::report {

namespace {

enum class Door { Open, Shut };
std::string_view name_of(Door door) { return door == Door::Open ? "open" : "shut"; }

struct Wall {
    std::string id;
    LevelDifference insulation{0.0};
};

struct Room {
    std::optional<Door> door = std::nullopt;
    std::optional<double> height = std::nullopt;
    std::vector<Wall> walls = {};
    Wall floor = {"floor"};

    [[nodiscard]] unsigned corners() const { return static_cast<unsigned>(walls.size()); }
};

}  // namespace

template <>
FieldTable<Wall> describe() {
    return {"#/$defs/wall", {{"id", &Wall::id}, {"R_dB", &Wall::insulation, {.decimals = 1}}}};
}

template <>
FieldTable<Room> describe() {
    return {"",
            "a room",
            {{"door", &Room::door},
             {"height_m", [](const Room& room) { return only(room.height); }, "where known"},
             {"corners", &Room::corners},
             {"walls", &Room::walls},
             {members_of, &Room::floor}}};
}

}  // namespace earbudget::report

using namespace earbudget;
using report::Room;
using report::Shape;

TEST_CASE("an object has the keys of its rows in their order, rounded where the row says so") {
    const Room room{.walls = {{"north", LevelDifference(50.04)}}};
    CHECK(report::json_of(room) ==
          "{\n"
          "  \"door\": null,\n"
          "  \"corners\": 1,\n"
          "  \"walls\": [\n"
          "    {\n"
          "      \"id\": \"north\",\n"
          "      \"R_dB\": 50.0\n"
          "    }\n"
          "  ],\n"
          "  \"id\": \"floor\",\n"
          "  \"R_dB\": 0.0\n"
          "}\n");
    const std::string known = report::json_of(Room{.door = report::Door::Shut, .height = 2.5});
    CHECK(known.starts_with("{\n  \"door\": \"shut\",\n  \"height_m\": 2.5,\n"));
}

TEST_CASE("the same rows tell a schema names, what may be null and what may be missing") {
    const auto& fields = report::object_shape<Room>().fields;
    REQUIRE(fields.size() == 6);
    CHECK(fields[0].shape.names == std::vector<std::string>{"open", "shut"});
    CHECK(fields[0].shape.or_null);
    CHECK(fields[0].always);
    CHECK_FALSE(fields[1].always);
    CHECK_FALSE(fields[1].shape.or_null);
    CHECK(fields[1].note.means == "where known");
    CHECK(fields[2].shape.kind == Shape::Kind::Integer);
    CHECK(fields[2].shape.is_positive);
    CHECK(fields[3].shape.parts.at(0).object().shared_as == "#/$defs/wall");
    CHECK(fields[4].key == "id");
}
