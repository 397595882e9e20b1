// Measures a tone and assesses a plan with the installed library; status 0 where both are right.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

#include <earbudget/advice/assess.hpp>
#include <earbudget/measurement/meters/channel_reading.hpp>

using namespace earbudget;

namespace {

/// A second of 1 kHz at full scale.
class ToneSource : public SampleSource {
  public:
    Frequency sample_rate() const override { return Frequency(48000.0); }
    std::size_t channels() const override { return 1; }
    std::optional<Quantization> quantization() const override { return std::nullopt; }
    std::size_t read(std::span<double> samples) override {
        const std::size_t count = std::min(samples.size(), length - place_);
        for (std::size_t n = 0; n < count; ++n, ++place_)
            samples[n] = std::sin(2.0 * std::numbers::pi * static_cast<double>(place_) / 48.0);
        return count;
    }

  private:
    static constexpr std::size_t length = 48000;
    std::size_t place_ = 0;
};

/// 48 minutes at 100 dB(A) through a plug of 20 dB by the wearer's own fit test.
Plan plan() {
    Plan plan{.title = "outside"};
    Protector plug{.id = "plug", .title = "Plug", .type = ProtectorType::PremouldedPlug};
    plug.ratings.PAR = LevelDifference(20.0);
    plan.catalogue.protectors.push_back({plug});
    plan.sequences.push_back({.id = "a", .title = "A", .levels = {.LAeq = LevelA(100.0)}});
    plan.timeline.push_back({.sequence = 0, .duration = Seconds(48.0 * 60.0)});
    Person person{.id = "person", .role = Role::Participant, .wears = {"plug"}};
    person.policy.criteria = default_criteria(person.role);
    plan.people.push_back(person);
    return plan;
}

}  // namespace

int main() {
    ToneSource tone;
    const auto levels = calibrated(read_channels(tone).front(), Calibration(LevelZ(94.0)));
    const Plan session = plan();
    const Assessment assessment = assess(session);
    const auto daily = assessment.people.front().exposure.at_ear_LEX_8h;
    if (!levels.LAeq || !daily) return 1;
    std::printf("LAeq %.2f dB, LEX,8h at the ear %.2f dB\n", levels.LAeq->dB(), daily->dB());
    // A weights 1 kHz with 0 dB; 100 dB − 20 dB + 10 lg (0.8 h/8 h) = 70 dB.
    const bool right =
        std::abs(levels.LAeq->dB() - 94.0) < 0.05 && std::abs(daily->dB() - 70.0) < 1e-9;
    return right ? 0 : 1;
}
