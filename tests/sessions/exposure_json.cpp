// A record of an exposure in JSON reads back to the last bit, and nothing that is damaged is
// believed.
#include "sessions/exposure_json.hpp"

#include <random>
#include <string>

#include <doctest/doctest.h>

#include "files/study_files.hpp"
#include "support/random_plan.hpp"
#include "support/session_log.hpp"

using namespace earbudget;
using namespace earbudget::test;
using sessions::ExposureRecord;

namespace {

Plan saltmarsh_plan() {
    return files::read_plan(std::string(EARBUDGET_SOURCE_DIR) + "/sequences/saltmarsh/plan.toml")
        .plan;
}

ExposureRecord record_of(const Plan& plan, const Person& person, std::size_t sequence) {
    return sessions::record_of_run(plan, person, sequence, {"1", {{"card", "ab"}}}).or_throw();
}

void check_same(const ExposureRecord& one, const ExposureRecord& other) {
    REQUIRE(one.day.rows.size() == other.day.rows.size());
    for (std::size_t n = 0; n < one.day.rows.size(); ++n) {
        const ExposureRow& a = one.day.rows[n];
        const ExposureRow& b = other.day.rows[n];
        CHECK(a.outside() == b.outside());
        CHECK(a.while_worn == b.while_worn);
        CHECK(a.at_ear == b.at_ear);
        CHECK(a.is_unreached() == b.is_unreached());
        CHECK((a.prediction != nullptr) == (b.prediction != nullptr));
        const Segment& s = one.errors.segments[one.errors.segment_of(n, 0).value()];
        const Segment& t = other.errors.segments[other.errors.segment_of(n, 0).value()];
        CHECK(s.errors == t.errors);
        CHECK(s.duration == t.duration);
        REQUIRE(s.protection.has_value() == t.protection.has_value());
        if (!s.protection || !s.protection->spread) continue;
        for (double z = -3.0; z <= 3.0; z += 0.37)
            CHECK(s.protection->spread->added(z) == t.protection->spread->added(z));
    }
    CHECK(one.criteria == other.criteria);
    CHECK(one.unmeasured == other.unmeasured);
    CHECK(one.accepted_probability == other.accepted_probability);
}

}  // namespace

TEST_CASE("a record reads back to the last bit, and is written again word for word") {
    Plan plan = saltmarsh_plan();
    plan.sequences.front().origin.how = "guessed";
    std::mt19937 random(5);
    for (int n = 0; n < 20; ++n) {
        const Plan drawn = random_plan(random);
        const ExposureRecord record = record_of(drawn, drawn.people.front(), 0);
        const std::string text = json_of(record);
        const auto read = sessions::read_record(text);
        REQUIRE(read.has_value());
        check_same(record, *read);
        CHECK(json_of(*read) == text);
    }
    for (const Person& person : plan.people) {
        for (std::size_t sequence = 0; sequence < plan.sequences.size(); ++sequence) {
            const ExposureRecord record = record_of(plan, person, sequence);
            const std::string text = json_of(record);
            CHECK(text.find('\n') == std::string::npos);
            const auto read = sessions::read_record(text);
            REQUIRE(read.has_value());
            check_same(record, *read);
            CHECK(json_of(*read) == text);
        }
    }
}

TEST_CASE("a record that is cut or changed anywhere is none or as good as one, never a crash") {
    const Plan plan = saltmarsh_plan();
    const std::string text = json_of(record_of(plan, plan.people.front(), 2));
    for (std::size_t length = 0; length < text.size(); length += 7)
        CHECK_FALSE(sessions::read_record(text.substr(0, length)).has_value());
    std::mt19937 random(3);
    const std::string letters = "0123456789-eE.\"{}[]:,nutrx \\";
    for (int n = 0; n < 3000; ++n) {
        std::string damaged = text;
        for (auto changes = 1 + random() % 3; changes > 0; --changes)
            damaged[random() % damaged.size()] = letters[random() % letters.size()];
        const auto read = sessions::read_record(damaged);
        if (!read) continue;
        // What is believed can be judged.
        CHECK(read->day.rows.size() == read->errors.segments_of_row.size());
        const auto again = sessions::read_record(json_of(*read));
        CHECK(again.has_value());
    }
}

TEST_CASE("hostile records are none") {
    const Plan plan = saltmarsh_plan();
    const std::string text = json_of(record_of(plan, plan.people.front(), 2));
    const auto with = [&](const std::string& from, const std::string& to) {
        std::string changed = text;
        const std::size_t place = changed.find(from);
        REQUIRE(place != std::string::npos);
        return sessions::read_record(changed.replace(place, from.size(), to));
    };
    CHECK(with("\"format\":1", "\"format\":1").has_value());
    CHECK_FALSE(with("\"format\":1", "\"format\":2").has_value());
    CHECK_FALSE(with("\"LAeq_dB\":", "\"LAeq_dB\":1e99,\"x\":").has_value());
    CHECK_FALSE(with("\"fraction_worn\":1.0", "\"fraction_worn\":-1").has_value());
    CHECK_FALSE(with("\"people\":[", "\"people\":[99999,").has_value());
    CHECK_FALSE(with("\"exchange_dB\":3.0", "\"exchange_dB\":0").has_value());
    CHECK_FALSE(with("\"role\":\"participant\"", "\"role\":\"nobody\"").has_value());
    CHECK_FALSE(with("\"at_ear_dB\":", "\"at_nose_dB\":").has_value());
    CHECK_FALSE(with("\"draws\":8192", "\"draws\":99999999999").has_value());
    CHECK_FALSE(sessions::read_record(std::string(200000, '[')).has_value());
    CHECK_FALSE(sessions::read_record(std::string(2000000, ' ') + text).has_value());
    CHECK_FALSE(sessions::read_record("null").has_value());
}

TEST_CASE("bodies read back, and damaged ones are none") {
    sessions::RecordCache cache;
    const Plan plan = saltmarsh_plan();
    const auto record =
        std::make_shared<const ExposureRecord>(record_of(plan, plan.people.front(), 2));
    const std::string run = sessions::text_of(sessions::RunBody{.sequence = "a,\"exposure\":{}",
                                                                .card = {{"c.toml", "ff"}},
                                                                .planned = Seconds(12.5),
                                                                .started = 7,
                                                                .unconfirmed = true,
                                                                .exposure = record});
    const auto read = sessions::read_run(run, cache);
    REQUIRE(read.has_value());
    CHECK(read->sequence == "a,\"exposure\":{}");
    CHECK(read->card->sha256 == "ff");
    CHECK(read->planned == Seconds(12.5));
    CHECK(read->started == 7);
    CHECK(read->unconfirmed);
    REQUIRE(read->exposure);
    CHECK(json_of(*read->exposure) == json_of(*record));
    CHECK(sessions::read_run(run, cache)->exposure == read->exposure);  // read once
    // The same in another order of members, as a correction may write it.
    const std::string moved = "{\"exposure\":" + json_of(*record) + ",\"sequence\":\"b\"}";
    REQUIRE(sessions::read_run(moved, cache).has_value());
    CHECK(sessions::read_run(moved, cache)->exposure == read->exposure);
    for (std::size_t length = 0; length < run.size(); length += 11) {
        const auto cut = sessions::read_run(run.substr(0, length), cache);
        CHECK((!cut || !cut->exposure));
    }
    const auto torn = sessions::read_run("{\"sequence\":\"a\",\"exposure\":{\"format\":1}}", cache);
    REQUIRE(torn.has_value());
    CHECK_FALSE(torn->exposure);
    CHECK(torn->why_unknown == "damaged");
    CHECK_FALSE(sessions::read_event("{\"what\":\"sneeze\"}").has_value());
    CHECK(sessions::read_clearance(sessions::text_of_clearance(5)) == 5);
    const auto check = sessions::read_check(
        sessions::text_of(sessions::CheckBody{sessions::EarChecked::Left, "by eye", false}));
    REQUIRE(check.has_value());
    CHECK(check->ear == sessions::EarChecked::Left);
    CHECK_FALSE(check->seated);
}
