#include "cli/review_terms.hpp"

#include <algorithm>
#include <charconv>

#include <fmt/format.h>

#include "cli/messages.hpp"
#include "cli/option_ranges.hpp"
#include "cli/review_options.hpp"
#include "earbudget/protection/predict.hpp"
#include "files/ids.hpp"
#include "files/written_values.hpp"
#include "report/words/words.hpp"

namespace earbudget::cli {

namespace {

constexpr double highest_own_derating_dB = 60.0;  // as in a plan's policy

[[noreturn]] void refuse(const std::string& message) {
    throw UsageProblem("earbudget review: " + message);
}

[[noreturn]] void refuse_name(std::string_view option, const std::string& name,
                              const std::vector<std::string>& accepted) {
    const auto nearest = files::nearest_name(name, accepted);
    refuse(fmt::format("{} is \"{}\"{}; accepted: {}", option, name,
                       nearest ? fmt::format(", the nearest known is \"{}\"", *nearest) : "",
                       fmt::join(accepted, ", ")));
}

constexpr std::string_view staff = "staff";

Role role_of(const ReviewOptions& options) {
    if (!options.role) return options.for_whom == staff ? Role::Staff : Role::Participant;
    if (const auto role = role_rows.parse(*options.role)) return *role;
    refuse_name("--role", *options.role, role_names());
}

/// Staff are adults.
AgeGroup age_of(const ReviewOptions& options, Role role) {
    if (!options.for_whom) return AgeGroup::Adult;
    const bool for_staff = *options.for_whom == staff;
    const auto group = for_staff ? AgeGroup::Adult : age_groups.parse(*options.for_whom);
    if (!group) refuse_name("--for", *options.for_whom, whom_names());
    const bool fits =
        for_staff ? role == Role::Staff : role != Role::Staff || *group == AgeGroup::Adult;
    if (!fits) {
        refuse(
            fmt::format("--for {} stands beside --role {}; accepted: one of them, or two that "
                        "agree",
                        *options.for_whom, name_of(role)));
    }
    return *group;
}

std::optional<Method> method_of(const ReviewOptions& options) {
    if (options.method == name_of_best_method) return std::nullopt;
    if (const auto method = method_rows.parse(options.method)) return method;
    refuse_name("--method", options.method, method_names());
}

std::optional<double> number_in(const std::string& text) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    const std::string_view rest(end, static_cast<std::size_t>(text.data() + text.size() - end));
    const bool whole = rest.empty() || rest == " dB" || rest == "dB";
    return error == std::errc() && whole ? std::optional(value) : std::nullopt;
}

Derating derating_of(const ReviewOptions& options) {
    if (const auto dB = number_in(options.derating)) {
        if (!(*dB >= 0.0 && *dB <= highest_own_derating_dB))
            refuse(fmt::format("--derating is {}; accepted: 0 to 60 dB", options.derating));
        return {.kind = Derating::Kind::Own, .own = LevelDifference(*dB == 0.0 ? 0.0 : *dB)};
    }
    if (const auto kind = derating_named(options.derating)) return {.kind = *kind};
    if (const auto right = files::with_decimal_point(options.derating)) {
        refuse(
            fmt::format("--derating is \"{}\", with a decimal comma; accepted: a decimal point, {}",
                        options.derating, *right));
    }
    std::vector<std::string> accepted = derating_names();
    accepted.emplace_back("a number of dB");
    refuse_name("--derating", options.derating, accepted);
}

std::vector<std::string> ids_for(Role role) {
    std::vector<std::string> ids;
    for (const Criterion& criterion : published_criteria()) {
        if (criterion.is_for(role)) ids.push_back(criterion.id);
    }
    return ids;
}

ReviewCriteria criteria_of(const ReviewOptions& options, Role role, AgeGroup age) {
    if (options.criteria.empty()) return review_criteria(role, age);
    std::vector<Criterion> criteria;
    for (const std::string& id : entries_of(options.criteria, "earbudget review: --criteria")) {
        const Criterion* criterion = find_published_criterion(id);
        if (!criterion) refuse_name("--criteria", id, published_ids());
        if (!criterion->is_for(role)) {
            refuse(
                fmt::format("--criteria: \"{}\" is not for the role {}; accepted: {}, or "
                            "another --role",
                            id, name_of(role), fmt::join(ids_for(role), ", ")));
        }
        if (std::ranges::find(criteria, id, &Criterion::id) != criteria.end())
            refuse(fmt::format("--criteria: \"{}\" stands twice; accepted: each once", id));
        criteria.push_back(*criterion);
    }
    return {std::move(criteria), {}};
}

void check_numbers(const ReviewOptions& options) {
    const auto check = [](std::string_view option, double value, const OptionRange& range) {
        if (!(value >= range.least && value <= range.most))
            refuse(fmt::format("{} is {:g}; accepted: {:g} to {:g}", option, value, range.least,
                               range.most));
    };
    check("--protection-performance", options.protection_performance, protection_performances);
    check("--accepted-probability", options.accepted_probability, accepted_probabilities);
    check("--sessions-per-day", static_cast<double>(options.sessions_per_day), sessions_a_day);
    check("--days-per-week", options.days_per_week, days_a_week);
}

void check_combination(const PredictionRules& rules) {
    if (!rules.method) return;
    const auto undefined = undefined_combination(rules.derating.kind, *rules.method);
    if (undefined) refuse(text_of(undefined->says));
}

Seconds least_time_of(const ReviewOptions& options) {
    const auto time = files::parse_duration(options.at_least);
    if (!time || !(time->count() > 0.0) || *time > Hours(24)) {
        refuse(fmt::format("--at-least is \"{}\"{}; accepted: {}, up to 24 h", options.at_least,
                           time ? "" : files::why_no_duration(options.at_least),
                           files::accepted_durations));
    }
    if (const auto note = files::note_on_duration(options.at_least))
        say("note: --at-least: " + *note);
    return *time;
}

}  // namespace

std::vector<std::string> role_names() {
    const auto names = role_rows.names();
    return {names.begin(), names.end()};
}

std::vector<std::string> whom_names() {
    const auto ages = age_groups.names();
    std::vector<std::string> names(ages.begin(), ages.end());
    names.emplace_back(staff);
    return names;
}

std::vector<std::string> method_names() {
    std::vector<std::string> names = {std::string(name_of_best_method)};
    for (const std::string_view name : method_rows.names())
        names.emplace_back(name);
    return names;
}

std::vector<std::string> derating_names() {
    std::vector<std::string> names;
    for (const DeratingRow& row : named_deratings)
        names.emplace_back(row.name);
    return names;
}

std::vector<std::string> published_ids() {
    std::vector<std::string> ids;
    for (const Criterion& criterion : published_criteria())
        ids.push_back(criterion.id);
    return ids;
}

ReviewTerms review_terms(const ReviewOptions& options) {
    check_numbers(options);
    const Role role = role_of(options);
    ReviewTerms terms{.role = role, .age = age_of(options, role)};
    terms.policy.rules = {.method = method_of(options),
                          .derating = derating_of(options),
                          .performance = ProtectionPerformance(options.protection_performance)};
    check_combination(terms.policy.rules);
    ReviewCriteria criteria = criteria_of(options, terms.role, terms.age);
    terms.policy.criteria = std::move(criteria.criteria);
    terms.for_others = std::move(criteria.for_others);
    terms.policy.accepted_probability = options.accepted_probability / 100.0;
    terms.sessions_per_day = options.sessions_per_day;
    terms.days_per_week = options.days_per_week;
    terms.least_time = least_time_of(options);
    return terms;
}

}  // namespace earbudget::cli
