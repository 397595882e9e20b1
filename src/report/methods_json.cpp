#include "report/methods_json.hpp"

#include "report/json_values.hpp"

namespace earbudget::report {

namespace {

using Json = nlohmann::ordered_json;

}  // namespace

Json methods_json(const std::vector<MethodOutcome>& methods) {
    Json json = Json::object();
    const MethodSpread spread = spread_of(methods);
    json["lowest_at_ear_LEX_8h_dB"] = decibels(spread.lowest);
    json["highest_at_ear_LEX_8h_dB"] = decibels(spread.highest);
    json["policy_at_ear_LEX_8h_dB"] = decibels(spread.of_policy);
    json["each"] = Json::array();
    for (const MethodOutcome& outcome : methods) {
        json["each"].push_back({{"method", name_of(outcome.method)},
                                {"derating", name_of(outcome.derating)},
                                {"of_policy", outcome.of_policy},
                                {"at_ear_LEX_8h_dB", decibels(outcome.at_ear_LEX_8h)}});
    }
    return json;
}

}  // namespace earbudget::report
