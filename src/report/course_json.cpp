#include "report/course_json.hpp"

#include "report/json_values.hpp"

namespace earbudget::report {

using Json = nlohmann::ordered_json;

Json course_json(const PersonResult& result) {
    const DayCourse& course = result.course;
    Json json = {{"segments", course.rows}};
    json["end_seconds"] = Json::array();
    for (const Seconds end : course.ends)
        json["end_seconds"].push_back(end.count());
    json["criteria"] = Json::array();
    for (const AllowanceCourse& allowance : course.allowances) {
        Json one = {{"id", allowance.criterion->id},
                    {"reached_seconds", seconds(allowance.reached)},
                    {"after_segment_percent", allowance.after_row},
                    {"seconds", Json::array()},
                    {"percent", Json::array()}};
        for (const AllowancePoint& point : allowance.points) {
            one["seconds"].push_back(point.at.count());
            one["percent"].push_back(point.percent);
        }
        json["criteria"].push_back(std::move(one));
    }
    return json;
}

Json spectrum_json(const Plan& plan, const PersonResult& result) {
    if (!result.spectrum) return nullptr;
    Json json = {{"sequence", plan.sequences[result.spectrum->sequence].id},
                 {"bands", Json::array()}};
    for (const EarBandLevel& band : result.spectrum->bands) {
        json["bands"].push_back({{"Hz", nominal_frequency(band.band).Hz()},
                                 {"LAeq_dB", band.outside.dB()},
                                 {"attenuation_dB", decibels(band.attenuation)},
                                 {"at_ear_LAeq_dB", decibels(band.at_ear)}});
    }
    return json;
}

}  // namespace earbudget::report
