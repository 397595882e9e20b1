#include <algorithm>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "earbudget/limits/judge.hpp"
#include "earbudget/study/input_error.hpp"
#include "overview/plan_answers.hpp"

namespace earbudget::overview {

namespace {

using nlohmann::json;

constexpr std::string_view accepted_since =
    "accepted: what earbudget assess --format json printed, of plans or of a single one";

/// Where a byte of a text stands, from 1.
SourcePosition position_in(const std::string& text, std::size_t byte, const std::string& path) {
    const std::size_t end = std::min(byte, text.size());
    const auto begin = text.begin();
    const auto line = 1 + std::count(begin, begin + static_cast<std::ptrdiff_t>(end), '\n');
    const std::size_t last = end == 0 ? std::string::npos : text.rfind('\n', end - 1);
    const std::size_t column = last == std::string::npos ? end + 1 : end - last;
    return {path, static_cast<unsigned>(line), static_cast<unsigned>(column)};
}

[[noreturn]] void refuse_since(const report::SourceFile& file, const std::string& why) {
    throw InputError({file.path}, fmt::format("{}; {}", why, accepted_since));
}

/// Reads an answer whose parts may be missing.
class EarlierReader {
  public:
    explicit EarlierReader(const report::SourceFile& file) : file_(file) {}

    [[nodiscard]] EarlierAnswers read(const json& answer) const {
        if (text_at(answer, "program") != "earbudget" || text_at(answer, "command") != "assess")
            refuse_since(file_, "this is no answer of earbudget assess");
        EarlierAnswers earlier{.file = file_};
        if (answer.contains("plans")) {
            for (const json& plan : list_at(answer, "plans"))
                earlier.plans.push_back(line_of(plan));
        } else {
            earlier.plans.push_back(single(answer));
        }
        return earlier;
    }

  private:
    [[nodiscard]] const json& at(const json& object, const char* key) const {
        if (!object.is_object() || !object.contains(key))
            refuse_since(file_, fmt::format("\"{}\" is missing", key));
        return object[key];
    }
    [[nodiscard]] std::string text_at(const json& object, const char* key) const {
        const json& value = at(object, key);
        if (!value.is_string()) refuse_since(file_, fmt::format("\"{}\" is no text", key));
        return value.get<std::string>();
    }
    [[nodiscard]] const json& list_at(const json& object, const char* key) const {
        const json& value = at(object, key);
        if (!value.is_array()) refuse_since(file_, fmt::format("\"{}\" is no list", key));
        return value;
    }
    [[nodiscard]] Verdict verdict_at(const json& object) const {
        const std::string name = text_at(object, "verdict");
        const auto* verdict = verdicts.find(name);
        if (!verdict) refuse_since(file_, fmt::format("\"{}\" is no verdict", name));
        return verdict->key;
    }
    [[nodiscard]] std::optional<LevelDifference> margin_at(const json& object) const {
        const json& value = at(object, "margin_dB");
        if (value.is_null()) return std::nullopt;
        if (!value.is_number()) refuse_since(file_, "\"margin_dB\" is no number");
        return LevelDifference(value.get<double>());
    }

    [[nodiscard]] EarlierPlan line_of(const json& plan) const {
        EarlierPlan line{text_at(plan, "file"), text_at(plan, "title"), verdict_at(plan)};
        const json& tightest = at(plan, "tightest");
        if (!tightest.is_null()) line.margin = margin_at(tightest);
        return line;
    }

    /// Of a single plan or study: as decided_by and tightest_limit find it.
    [[nodiscard]] EarlierPlan single(const json& answer) const {
        const json& plan = answer.contains("study") ? at(answer, "study") : at(answer, "plan");
        EarlierPlan line{text_at(plan, "file"), text_at(plan, "title"), verdict_at(answer)};
        if (answer.contains("study")) {
            const json& tightest = at(answer, "tightest");
            if (!tightest.is_null()) line.margin = margin_at(tightest);
            return line;
        }
        std::optional<Stated> first;
        for (const json& person : list_at(answer, "people")) {
            const Stated one = tightest_in(person);
            if (!first || is_tighter(one.tightness, first->tightness)) first = one;
        }
        if (first) line.margin = first->margin;
        return line;
    }

    /// The margin that stands there, and how near to the limit that is.
    struct Stated {
        Tightness tightness = {};
        std::optional<LevelDifference> margin = std::nullopt;
    };

    /// As tightest_limit finds it, with the verdict of the person.
    [[nodiscard]] Stated tightest_in(const json& person) const {
        std::optional<Stated> first;
        for (const json& criterion : list_at(person, "criteria")) {
            if (!at(criterion, "decides").is_boolean() || !criterion["decides"].get<bool>())
                continue;
            Stated one{.margin = margin_at(criterion)};
            one.tightness = {verdict_at(criterion),
                             criterion.value("by_bound", false) ? std::nullopt : one.margin};
            if (!first || is_tighter(one.tightness, first->tightness)) first = one;
        }
        Stated tightest = first.value_or(Stated());
        tightest.tightness.verdict = verdict_at(person);
        return tightest;
    }

    const report::SourceFile& file_;
};

}  // namespace

EarlierAnswers read_earlier(const report::SourceFile& file, const std::string& text) {
    json answer;
    try {
        answer = json::parse(text);
    } catch (const json::parse_error& error) {
        const std::size_t byte = error.byte == 0 ? 0 : error.byte - 1;
        throw InputError(position_in(text, byte, file.path),
                         fmt::format("this is no JSON; {}", accepted_since));
    }
    try {
        return EarlierReader(file).read(answer);
    } catch (const json::exception&) {
        refuse_since(file, "this is no answer of earbudget assess");
    }
}

}  // namespace earbudget::overview
