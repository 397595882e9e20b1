#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <variant>
#include <vector>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/message.hpp"
#include "earbudget/acoustics/units.hpp"

namespace earbudget {

/// How a number is computed, for readers: the formula as published and where it stands. Kept beside
/// the function that computes it.
struct Formula {
    std::string_view text;
    std::string_view source;  ///< document and clause
};

/// A number, a name, words, or nothing where there is none.
using WorkingValue = std::variant<std::monostate, double, std::string, Message>;

struct NamedValue {
    std::string name;  ///< the symbol in the formula, with its unit as in JSON keys: "LC_dB"
    WorkingValue value;
};

/// How one number of a result came about, so that a reader can redo it with a pocket calculator.
struct WorkingStep {
    Message what;                 ///< a StepPhrase (acoustics/step_phrases.hpp)
    std::vector<std::string> of;  ///< keys of the numbers in JSON, from the object it stands in
    std::string formula;
    std::string source;                                ///< document and clause
    std::vector<NamedValue> values = {};               ///< put in
    std::vector<std::string> columns = {};             ///< of `rows`
    std::vector<std::vector<WorkingValue>> rows = {};  ///< what a sum runs over
    /// Columns that follow from the others of their row, printed as results are.
    std::vector<std::string> worked_columns = {};
    WorkingValue result = {};  ///< of `unit`
    std::string unit = {};
    std::vector<std::string> about = {};  ///< ids of the sequences and criteria that it is about
};

using Working = std::vector<WorkingStep>;

/// Anything that a step can show: a number, a level, a time, a word, or one of these if it is
/// there.
template <class T>
[[nodiscard]] WorkingValue shown(const T& value) {
    if constexpr (std::is_convertible_v<const T&, std::string_view>) {
        return std::string(std::string_view(value));
    } else if constexpr (std::is_arithmetic_v<T>) {
        return static_cast<double>(value);
    } else if constexpr (requires { value.dB(); }) {
        return value.dB();
    } else if constexpr (requires { value.count(); }) {
        return value.count();
    } else if constexpr (requires { value.has_value(); }) {
        return value ? shown(*value) : WorkingValue{};
    } else {
        return value;
    }
}

/// "criteria[2].value" and the like.
[[nodiscard]] inline std::string key_of(std::string_view list, std::size_t index,
                                        std::string_view key) {
    return std::string(list) + '[' + std::to_string(index) + "]." + std::string(key);
}

/// Builds a step from its parts.
class StepOf {
  public:
    StepOf(Message what, std::vector<std::string> of, const Formula& formula)
        : step_{.what = std::move(what),
                .of = std::move(of),
                .formula = std::string(formula.text),
                .source = std::string(formula.source)} {}

    /// Goes on with the formula.
    StepOf& and_then(std::string_view more) {
        step_.formula += more;
        return *this;
    }
    template <class T>
    StepOf& value(std::string name, const T& value) {
        step_.values.push_back({std::move(name), shown(value)});
        return *this;
    }
    StepOf& columns(std::vector<std::string> names) {
        step_.columns = std::move(names);
        return *this;
    }
    /// Those that follow from the others of their row.
    StepOf& worked(std::vector<std::string> names) {
        step_.worked_columns = std::move(names);
        return *this;
    }
    template <class... T>
    StepOf& row(const T&... cells) {
        step_.rows.push_back({shown(cells)...});
        return *this;
    }
    template <class T>
    [[nodiscard]] WorkingStep is(const T& result, std::string unit) {
        step_.result = shown(result);
        step_.unit = std::move(unit);
        return std::move(step_);
    }

  private:
    WorkingStep step_;
};

/// Whether a question keeps how its numbers came about.
enum class Tracing { Off, On };

/// Where functions that compute leave how their numbers came about, from the very values that they
/// used. They take a pointer, null where nobody asks: nothing is then made.
class Trace {
  public:
    /// Until it ends, all that is left is about these ids, too.
    class About {
      public:
        About(Trace& trace, std::vector<std::string> ids)
            : trace_(trace), from_(trace.steps_.size()), ids_(std::move(ids)) {}
        About(const About&) = delete;
        About& operator=(const About&) = delete;
        ~About() {
            for (std::size_t n = from_; n < trace_.steps_.size(); ++n) {
                auto& about = trace_.steps_[n].about;
                about.insert(about.end(), ids_.begin(), ids_.end());
            }
        }

      private:
        Trace& trace_;
        std::size_t from_;
        std::vector<std::string> ids_;
    };

    Trace() = default;
    /// Of an answer that lists the rows of its day, so that steps about rows have keys there.
    [[nodiscard]] static Trace with_rows() {
        Trace trace;
        trace.has_rows_ = true;
        return trace;
    }
    [[nodiscard]] bool has_rows() const { return has_rows_; }

    void leave(WorkingStep step) { steps_.push_back(std::move(step)); }
    void leave(Working steps) {
        for (WorkingStep& step : steps)
            leave(std::move(step));
    }

    [[nodiscard]] Working take() { return std::exchange(steps_, {}); }

  private:
    Working steps_;
    bool has_rows_ = false;
};

}  // namespace earbudget
