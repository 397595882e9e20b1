// What takes longer than a request may, in a process of its own.
#include "desk/jobs.hpp"

#include <chrono>
#include <thread>

#include "support/desk_fixture.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// As it is once it has ended; some seconds are far more than what is asked here takes.
desk::Job ended_job(const desk::Opened& opened, const std::string& name) {
    constexpr std::chrono::milliseconds step(10);
    constexpr int most_steps = 2'000;
    std::optional<desk::Job> job;
    for (int n = 0; n < most_steps; ++n) {
        job = opened.jobs->find("test", name);
        if (!job || job->answer) break;
        std::this_thread::sleep_for(step);
    }
    REQUIRE(job);
    REQUIRE(job->answer);
    return *job;
}

}  // namespace

TEST_CASE("a job runs beside the pages and keeps what it answered") {
    const DeskFixture desk;
    const std::string name = desk.opened.jobs->start(
        desk.opened, {.kind = "test", .title = "Version", .arguments = {"--version"}});
    const desk::Job job = ended_job(desk.opened, name);
    CHECK(job.answer->status == 0);
    CHECK(job.answer->output.starts_with("earbudget"));
    CHECK_FALSE(desk.opened.jobs->find("another", name));
    CHECK_FALSE(desk.opened.jobs->find("test", "no such name"));
}

TEST_CASE("more jobs than run at once wait for their turn, and the oldest are forgotten") {
    const DeskFixture desk;
    std::vector<std::string> names;
    for (int n = 0; n < 20; ++n)
        names.push_back(desk.opened.jobs->start(
            desk.opened, {.kind = "test", .title = "Version", .arguments = {"--version"}}));
    for (const std::string& name : names)
        CHECK(ended_job(desk.opened, name).answer->status == 0);
    names.push_back(desk.opened.jobs->start(
        desk.opened, {.kind = "test", .title = "Version", .arguments = {"--version"}}));
    CHECK(ended_job(desk.opened, names.back()).answer->status == 0);
    CHECK_FALSE(desk.opened.jobs->find("test", names.front()));
}

TEST_CASE("the page of a job asks again until it has ended") {
    const DeskFixture desk;
    desk::Job job{"abc", "Held against the chain", {}, nullptr};
    const desk::Asked asked{.method = "GET", .path = "/register/job/abc"};
    const desk::Reply waits = desk::job_page(asked, job, "/register", "<p>ended</p>");
    CHECK(waits.body.find("data-live=") != std::string::npos);
    CHECK(waits.body.find("<p>ended</p>") == std::string::npos);
    job.answer = std::make_shared<desk::ChildAnswer>();
    const desk::Reply ended = desk::job_page(asked, job, "/register", "<p>ended</p>");
    CHECK(ended.body.find("data-live=") == std::string::npos);
    CHECK(ended.body.find("<p>ended</p>") != std::string::npos);
}
