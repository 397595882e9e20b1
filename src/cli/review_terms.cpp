#include "cli/review_terms.hpp"

#include <algorithm>
#include <charconv>

#include <fmt/format.h>

#include "earbudget/protection/predict.hpp"
#include "files/ids.hpp"
#include "files/keys.hpp"
#include "files/written_values.hpp"
#include "report/words/words.hpp"

namespace earbudget::cli {

namespace {

[[noreturn]] void refuse(const std::string& message) {
    throw UsageProblem("earbudget review: " + message);
}

[[noreturn]] void refuse_name(std::string_view option, const std::string& name,
                              const std::vector<std::string>& accepted) {
    refuse(fmt::format("{} is \"{}\"{}; accepted: {}", option, name,
                       files::nearest_words(name, accepted), fmt::join(accepted, ", ")));
}

constexpr std::string_view staff = "staff";

template <class Names>
std::vector<std::string> strings(const Names& names, std::string_view one_more = {}) {
    std::vector<std::string> all(names.begin(), names.end());
    if (!one_more.empty()) all.emplace_back(one_more);
    return all;
}

Role role_of(const ReviewOptions& options) {
    if (!options.role) return options.for_whom == staff ? Role::Staff : Role::Participant;
    if (const auto role = role_rows.parse(*options.role)) return *role;
    refuse_name("--role", *options.role, role_names());
}

/// Staff are adults.
AgeGroup age_of(const ReviewOptions& options) {
    if (!options.for_whom || *options.for_whom == staff) return AgeGroup::Adult;
    if (const auto group = age_groups.parse(*options.for_whom)) return *group;
    refuse_name("--for", *options.for_whom, whom_names());
}

void check_whom(const ReviewOptions& options, Role role, AgeGroup age) {
    if (!options.for_whom) return;
    const bool fits = *options.for_whom == staff ? role == Role::Staff
                                                 : role != Role::Staff || age == AgeGroup::Adult;
    if (!fits) {
        refuse(fmt::format(
            "--for {} stands beside --role {}; accepted: one of them, or two that agree",
            *options.for_whom, name_of(role)));
    }
}

/// What is wrong with the values of several options, to be said at once.
class Problems {
  public:
    /// Whether nothing was wrong.
    template <class Settle>
    bool attempt(Settle&& settle) {
        try {
            settle();
            return true;
        } catch (const UsageProblem& problem) {
            all_.emplace_back(problem.what());
            return false;
        }
    }
    void throw_if_any() { UsageProblem::throw_if_any(std::move(all_)); }

  private:
    std::vector<std::string> all_ = {};
};

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
        const files::NumberRange& range = files::derating_keys.at("dB").range;
        if (!(*dB >= range.lowest && *dB <= range.highest))
            refuse(fmt::format("--derating is {}; accepted: {}", options.derating,
                               files::text_of(range)));
        return {.kind = Derating::Kind::Own, .own = LevelDifference(*dB == 0.0 ? 0.0 : *dB)};
    }
    if (const auto kind = derating_named(options.derating)) return {.kind = *kind};
    if (const auto right = files::with_decimal_point(options.derating)) {
        refuse(
            fmt::format("--derating is \"{}\", with a decimal comma; accepted: a decimal point, {}",
                        options.derating, *right));
    }
    refuse_name("--derating", options.derating, strings(derating_names(), "a number of dB"));
}

[[noreturn]] void refuse_list(std::string_view option, const std::string& given,
                              std::string_view problem) {
    throw UsageProblem(
        fmt::format("{} is \"{}\", {}; accepted: entries with commas between them, in double "
                    "quotes where they hold one: '\"Adult, plugs\",x'",
                    option, given, problem));
}

/// Takes one entry and the comma behind it off the text.
std::string take_entry(std::string_view& text, const std::string& given, std::string_view option) {
    if (!text.starts_with('"')) {
        const std::size_t comma = text.find(',');
        const std::string entry(files::trimmed(text.substr(0, comma)));
        text.remove_prefix(comma == text.npos ? text.size() : comma);
        return entry;
    }
    std::string entry;
    std::size_t at = 1;
    for (;; ++at) {
        if (at >= text.size()) refuse_list(option, given, "in which a quote does not end");
        if (text[at] == '"' && !text.substr(at + 1).starts_with('"')) break;
        if (text[at] == '"') ++at;
        entry += text[at];
    }
    text = files::trimmed(text.substr(at + 1));
    if (!text.empty() && text.front() != ',')
        refuse_list(option, given, "with more behind a quote");
    return entry;
}

/// The entries of a list on the command line, given once or several times: parted by commas, but
/// not within double quotes, of which two stand for one: '"Adult, plugs",x'. Blanks around entries
/// do not count. Throws UsageProblem where a quote does not end or an entry is empty; `option`
/// begins the message: "earbudget review: --criteria".
std::vector<std::string> entries_of(const std::vector<std::string>& given,
                                    std::string_view option) {
    std::vector<std::string> entries;
    for (const std::string& list : given) {
        std::string_view text = files::trimmed(list);
        for (bool more = true; more;) {
            entries.push_back(take_entry(text, list, option));
            if (entries.back().empty()) refuse_list(option, list, "with an empty entry");
            more = text.starts_with(',');
            if (more) text = files::trimmed(text.substr(1));
        }
    }
    return entries;
}

/// `role` is none where it could not be read.
void add_criterion(const std::string& id, std::optional<Role> role,
                   std::vector<Criterion>& criteria) {
    const Criterion* criterion = find_published_criterion(id);
    if (!criterion) refuse_name("--criteria", id, published_ids());
    const auto fits = [&](const Criterion& one) { return !role || one.is_for(*role); };
    if (!fits(*criterion)) {
        refuse(fmt::format(
            "--criteria: \"{}\" is not for the role {}; accepted: {}, or another --role", id,
            name_of(*role),
            fmt::join(files::ids_of(published_criteria(), fits), ", ")));
    }
    if (std::ranges::find(criteria, id, &Criterion::id) != criteria.end())
        refuse(fmt::format("--criteria: \"{}\" stands twice; accepted: each once", id));
    criteria.push_back(*criterion);
}

void read_criteria(const ReviewOptions& options, std::optional<Role> role, Problems& problems,
                   std::vector<Criterion>& criteria) {
    if (options.criteria.empty()) return;
    problems.attempt([&] {
        for (const std::string& id : entries_of(options.criteria, "earbudget review: --criteria"))
            problems.attempt([&] { add_criterion(id, role, criteria); });
    });
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

std::vector<std::string> role_names() { return strings(role_rows.names()); }

std::vector<std::string> whom_names() { return strings(age_groups.names(), staff); }

std::vector<std::string> method_names() {
    std::vector<std::string> names = strings(method_rows.names());
    names.insert(names.begin(), std::string(name_of_best_method));
    return names;
}

std::vector<std::string> derating_names() { return strings(files::names_of(named_deratings)); }

std::vector<std::string> published_ids() { return files::ids_of(published_criteria()); }

ReviewTerms review_terms(const ReviewOptions& options) {
    ReviewTerms terms;
    Problems problems;
    PredictionRules& rules = terms.policy.rules;
    rules.performance = ProtectionPerformance(options.protection_performance);
    const bool has_role = problems.attempt([&] { terms.role = role_of(options); });
    const bool has_age = problems.attempt([&] { terms.age = age_of(options); });
    if (has_role && has_age) problems.attempt([&] { check_whom(options, terms.role, terms.age); });
    const bool has_method = problems.attempt([&] { rules.method = method_of(options); });
    const bool has_derating = problems.attempt([&] { rules.derating = derating_of(options); });
    if (has_method && has_derating) problems.attempt([&] { check_combination(rules); });
    read_criteria(options, has_role ? std::optional(terms.role) : std::nullopt, problems,
                  terms.policy.criteria);
    problems.attempt([&] { terms.least_time = least_time_of(options); });
    problems.throw_if_any();
    if (options.criteria.empty()) {
        ReviewCriteria all = review_criteria(terms.role, terms.age);
        terms.policy.criteria = std::move(all.criteria);
        terms.for_others = std::move(all.for_others);
    }
    terms.policy.accepted_probability = options.accepted_probability / 100.0;
    terms.sessions_per_day = options.sessions_per_day;
    terms.days_per_week = options.days_per_week;
    return terms;
}

}  // namespace earbudget::cli
