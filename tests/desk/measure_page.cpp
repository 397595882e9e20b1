// Recordings are sent to the desk, measured by a process of its own, and become cards.
#include "serving/scratch_folder.hpp"
#include "support/sounds_desk.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

namespace fs = std::filesystem;

/// A desk that files are sent to.
class MeasuringDesk : public SoundsDesk {
  public:
    /// Sends files by their fields, as the server hands them on, and returns where it leads.
    [[nodiscard]] desk::Reply send(const std::vector<std::pair<std::string, std::string>>& files,
                                   Fields fields, const std::string& to = "/measure") const {
        desk::Asked asked{.method = "POST", .path = to};
        asked.form = desk::Form(std::move(fields));
        asked.token = "token";
        const serving::ScratchFolder sent;
        for (const auto& [field, bytes] : files) {
            const fs::path path = sent.path() / ("file-" + std::to_string(asked.uploads.size()));
            std::ofstream(path, std::ios::binary) << bytes;
            asked.uploads.push_back({field, field + " <b>&.flac", path, bytes.size()});
        }
        return desk::answer(opened, asked);
    }

    /// The page of a measurement once it has ended.
    [[nodiscard]] std::string ended(const std::string& address) const {
        constexpr std::chrono::milliseconds step(20);
        constexpr int most_steps = 3'000;
        for (int n = 0; n < most_steps; ++n) {
            const desk::Reply reply = get(address);
            REQUIRE(reply.status == 200);
            if (!has(reply.body, "data-live=")) return reply.body;
            std::this_thread::sleep_for(step);
        }
        REQUIRE_MESSAGE(false, "it goes on and on");
        return "";
    }
};

std::string recording_of_demo(const std::string& name) {
    std::ifstream file(std::string(EARBUDGET_SOURCE_DIR) + "/recordings/" + name, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

const DeskFixture::Fields by_the_tone = {{"calibrator-level", "114"}};

/// The head of a WAV file that says of itself that it has so many bytes of samples.
std::string wav_head(std::uint32_t bytes) {
    const auto four = [](std::uint32_t value) {
        std::string text;
        for (unsigned shift = 0; shift < 32; shift += 8)
            text += static_cast<char>((value >> shift) & 0xFFU);
        return text;
    };
    return "RIFF" + four(bytes + 36) + "WAVEfmt " + four(16) + std::string("\1\0\1\0", 4) +
           four(48'000) + four(96'000) + std::string("\2\0\20\0", 4) + "data" + four(bytes);
}

}  // namespace

TEST_CASE("a recording becomes levels, and a card under an id: those of the command line") {
    const MeasuringDesk desk;
    const desk::Reply sent = desk.send({{"recording", recording_of_demo("epi-2mm.flac")},
                                        {"calibration", recording_of_demo("calibrator.flac")}},
                                       by_the_tone);
    REQUIRE(sent.status == 303);
    const std::string address = DeskFixture::leads_to(sent);
    const std::string page = desk.ended(address);
    const std::string demo = std::string(EARBUDGET_SOURCE_DIR) + "/recordings/";
    const std::string written = desk.path("by-hand.toml");
    const auto told = desk.told(
        {"measure", demo + "epi-2mm.flac", "--calibration=" + demo + "calibrator.flac",
         "--calibrator-level=114", "--format=json", "--card=" + written, "--id=measured-here"});
    const double LAeq = told["recordings"][0]["channels"][0]["LAeq_dB"].get<double>();
    CHECK(has(page, fmt::format("LAeq {:.1f} dB(A)", LAeq)));
    CHECK(has(page, "recording &lt;b&gt;&amp;.flac"));
    CHECK_FALSE(has(page, "<b>&.flac"));
    CHECK(page.size() < 150'000);
    const desk::Reply saved =
        desk.post(address, {{"do", "save"}, {"id", "measured-here"}, {"title", "measured-here"}});
    REQUIRE(saved.status == 303);
    std::ifstream file(written);
    std::string expected((std::istreambuf_iterator<char>(file)), {});
    const std::size_t named = expected.find("\"epi-2mm.flac, channel");
    REQUIRE(named != std::string::npos);
    expected.replace(named + 1, 12, "recording <b>&.flac");
    CHECK(desk.read("cards/measured-here.toml") == expected);
    CHECK(has(desk.get(address).body, "Save the card"));
}

TEST_CASE(
    "what is missing or wrong for a measurement is said, and the files need not be sent again") {
    const MeasuringDesk desk;
    CHECK(desk.send({}, by_the_tone).status == 422);
    const desk::Reply sent = desk.send({{"recording", recording_of_demo("localiser.flac")}}, {});
    REQUIRE(sent.status == 303);
    const std::string page = desk.ended(DeskFixture::leads_to(sent));
    CHECK(has(page, "This could not be measured"));
    CHECK(has(page, "without a calibration there are no decibels"));
    const std::string name = DeskFixture::leads_to(sent).substr(std::string("/measure/").size());
    const desk::Reply again = desk.post("/measure/again/" + name, {{"full-scale-level", "136"}});
    REQUIRE(again.status == 303);
    CHECK(has(desk.ended(DeskFixture::leads_to(again)), "dB(A)"));
    const desk::Reply wrong =
        desk.post("/measure/again/" + name, {{"full-scale-level", "loud"}, {"to", "--output=x"}});
    const std::string said = desk.ended(DeskFixture::leads_to(wrong));
    CHECK(has(SoundsDesk::wrong_at(said, "full-scale-level"), "loud"));
    CHECK(desk.get("/measure/no-such-job").status == 422);
}

TEST_CASE("files that are made to harm a reader harm nothing but their own measurement") {
    const MeasuringDesk desk;
    std::string damaged = recording_of_demo("epi-2mm.flac");
    for (std::size_t at = 200; at < damaged.size(); at += 97)
        damaged[at] = static_cast<char>(damaged[at] ^ 0x55);
    constexpr std::uint32_t two_gigabytes = 0x7FFFFFFFU, for_ever = 0xFFFFFFFFU;
    const std::vector<std::string> hostile = {
        damaged, wav_head(two_gigabytes) + std::string(64, '\0'), wav_head(for_ever), "",
        "\n",    std::string("fLaC\xFF\xFF\xFF\xFF", 8),          "kind = \"plan\"\n"};
    for (const std::string& bytes : hostile) {
        const desk::Reply sent = desk.send({{"recording", bytes}}, {{"full-scale-level", "136"}});
        REQUIRE(sent.status == 303);
        CHECK(has(desk.ended(DeskFixture::leads_to(sent)), "This could not be measured"));
    }
    CHECK(desk.get("/sounds").status == 200);
}

TEST_CASE(
    "a sequence that has never run is predicted as the command line does, and its card kept") {
    const MeasuringDesk desk;
    const std::string waveform = desk.read("waveforms/epi-2mm.seq");
    REQUIRE_FALSE(waveform.empty());
    const std::string response = "waveforms/response.toml";
    CHECK(has(desk.get("/measure").body, "value=\"" + response + "\""));
    const desk::Reply sent =
        desk.send({{"waveform", waveform}}, {{"response", response}}, "/predict");
    REQUIRE(sent.status == 303);
    const std::string address = DeskFixture::leads_to(sent);
    const std::string page = desk.ended(address);
    const std::string written = desk.path("predicted.toml");
    static_cast<void>(desk.told({"predict", "waveforms/epi-2mm.seq", "--response=" + response,
                                 "--format=json", "--card=" + written, "--id=never-run"}));
    const desk::Reply saved =
        desk.post(address, {{"do", "save"}, {"id", "never-run"}, {"title", "never-run"}});
    REQUIRE(saved.status == 303);
    std::ifstream file(written);
    std::string by_hand((std::istreambuf_iterator<char>(file)), {});
    const auto levels_in = [](const std::string& card) {
        return card.substr(card.find("[levels]"), card.find("[origin]") - card.find("[levels]"));
    };
    CHECK(levels_in(desk.read("cards/never-run.toml")) == levels_in(by_hand));
    CHECK(has(desk.read("cards/never-run.toml"), "response waveforms/response.toml"));
    // Nothing but a response of the folder.
    CHECK(desk.send({{"waveform", waveform}}, {{"response", "../r.register"}}, "/predict").status ==
          422);
    const desk::Reply hostile = desk.send({{"waveform", "not one\n"}}, {}, "/predict");
    CHECK(has(desk.ended(DeskFixture::leads_to(hostile)), "This could not be predicted"));
}
