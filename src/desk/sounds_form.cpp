#include "desk/sounds_form.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <mutex>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/studies.hpp"
#include "files/output.hpp"
#include "files/study_files.hpp"
#include "files/written_values.hpp"

namespace earbudget::desk {

namespace {

using files::Key;
using report::html::escaped;
using report::html::text;

struct FieldWords {
    std::string_view name, label;
};

/// Of fields whose key alone does not say it; any other is labelled by what is said of its key.
constexpr auto field_words = std::to_array<FieldWords>({
    {"id", "Id, the name in plans"},
    {"title", "Title, for people"},
    {"scanner", "Scanner"},
    {"software", "Software of the scanner"},
    {"coil", "Coil in the bore"},
    {"valid_until", "Last day on which it is used"},
    {"supersedes", "Cards that it stands for now"},
    {"examples", "Figures are examples"},
    {"levels.LAeq", "LAeq, dB(A)"},
    {"levels.LCeq", "LCeq, dB(C)"},
    {"levels.LCpeak", "LCpeak, dB(C)"},
    {"levels.LZpeak", "LZpeak, dB"},
    {"levels.uncertainty", "Standard uncertainty (k = 1), dB"},
    {"levels.low_frequency", "Strong low frequencies"},
    {"levels.LAeq_is_upper_bound", "LAeq is an upper bound"},
    {"levels.spectrum_like", "Octave bands of another card"},
    {"levels.uncertainty_parts.instrument", "Instrument, dB"},
    {"levels.uncertainty_parts.position", "Microphone's place, dB"},
    {"levels.uncertainty_parts.run", "From run to run, dB"},
    {"type", "Type"},
    {"fits_head_coil", "Fits the head coil"},
    {"metal_free", "Free of metal"},
    {"canal", "Ear canals that it is made for"},
    {"SNR", "SNR, dB"},
    {"H", "H, dB"},
    {"M", "M, dB"},
    {"L", "L, dB"},
    {"NRR", "NRR, dB"},
    {"NRR_SF", "NRR by subject fit, dB"},
    {"SLC80", "SLC80, dB"},
    {"PAR", "PAR, dB"},
});

/// What is said of a key without the marks of Markdown.
std::string plain_doc(const Key& key) {
    std::string words(key.doc);
    std::erase(words, '`');
    return words;
}

std::string capital(std::string words) {
    const bool is_unit = words.starts_with("dB");
    if (!is_unit && !words.empty() && words.front() >= 'a' && words.front() <= 'z')
        words.front() = static_cast<char>(words.front() - 'a' + 'A');
    return words;
}

bool is_band(const KeyField& field) {
    return std::ranges::find(octave_band_names, field.key->name) != octave_band_names.end();
}

struct Labelled {
    std::string label, hint;
};

Labelled labels_of(const KeyField& field) {
    if (is_band(field)) return {fmt::format("{} Hz, dB", field.key->name), ""};
    const auto known = std::ranges::find(field_words, field.name, &FieldWords::name);
    if (known == field_words.end()) return {capital(plain_doc(*field.key)), ""};
    return {std::string(known->label), capital(plain_doc(*field.key))};
}

const std::string& value_in(const Typed& values, const std::string& name) {
    static const std::string none;
    const auto found = values.find(name);
    return found == values.end() ? none : found->second;
}

/// What stands below a field.
std::string below(const std::string& name, std::string_view hint, const FormState& state) {
    std::string notes;
    if (!hint.empty())
        notes += fmt::format("<span class=\"hint\" id=\"{}-hint\">{}</span>\n", escaped(name),
                             text(hint));
    std::string wrong = state.mistakes.of(name);
    const auto other = state.elsewhere.find(name);
    if (other != state.elsewhere.end() && other->second != value_in(state.values, name))
        wrong += fmt::format("{}In the file now: {}", wrong.empty() ? "" : ". ",
                             other->second.empty() ? "nothing" : other->second);
    return notes + fmt::format(
                       "<span aria-live=\"polite\"><span class=\"wrong\" id=\"{0}-wrong\" "
                       "data-part=\"wrong-{0}\">{1}</span></span>\n",
                       escaped(name), wrong.empty() ? "" : text(wrong));
}

std::string described(const std::string& name, std::string_view hint, const FormState& state) {
    const bool wrong = !state.mistakes.of(name).empty();
    return fmt::format(" aria-describedby=\"{0}{1}-wrong\"{2}",
                       hint.empty() ? "" : escaped(name) + "-hint ", escaped(name),
                       wrong ? " aria-invalid=\"true\"" : "");
}

using Options = std::vector<std::pair<std::string, std::string>>;

Options options_of(const Key& key, const std::string& value) {
    Options options = {{"", "not stated"}};
    if (key.type == Key::Type::Flag) {
        options.insert(options.end(), {{"true", "yes"}, {"false", "no"}});
    } else {
        for (const std::string_view word : key.words())
            options.emplace_back(word, word);
    }
    // What the file holds stays, whatever it is.
    if (std::ranges::find(options, value, &Options::value_type::first) == options.end())
        options.emplace_back(value, value);
    return options;
}

std::string select_of(const KeyField& field, const std::string& value, const std::string& more) {
    std::string options;
    for (const auto& [sent, words] : options_of(*field.key, value))
        options += fmt::format("<option value=\"{}\"{}>{}</option>\n", escaped(sent),
                               sent == value ? " selected" : "", escaped(words));
    return fmt::format("<select id=\"{0}\" name=\"{0}\"{1}>\n{2}</select>\n", escaped(field.name),
                       more, options);
}

/// Several of some words.
std::string boxes_of(const KeyField& field, const std::string& value) {
    std::string boxes;
    for (const std::string_view word : field.key->words()) {
        const bool is_in =
            ("\n" + value + "\n").find(fmt::format("\n{}\n", word)) != std::string::npos;
        boxes += fmt::format(
            "<label class=\"box\"><input type=\"checkbox\" name=\"{}\" "
            "value=\"{}\"{}> {}</label>\n",
            escaped(field.name), escaped(word), is_in ? " checked" : "", escaped(word));
    }
    // Without one that is ticked the form would not say that it has the field.
    return hidden(field.name, "") + boxes;
}

/// `escaped` shows line breaks as signs.
std::string lines_escaped(const std::string& lines) {
    std::string markup;
    std::size_t at = 0;
    while (at < lines.size()) {
        const std::size_t end = std::min(lines.find('\n', at), lines.size());
        markup += escaped(std::string_view(lines).substr(at, end - at)) + "\n";
        at = end + 1;
    }
    return markup;
}

std::string input_of(const std::string& name, const std::string& value, std::string_view more) {
    return fmt::format(
        "<input id=\"{0}\" name=\"{0}\" type=\"text\" autocomplete=\"off\" "
        "value=\"{1}\"{2}>\n",
        escaped(name), escaped(value), more);
}

std::string wrapped_field(const std::string& name, std::string_view label,
                          const std::string& control, std::string_view hint,
                          const FormState& state) {
    return fmt::format("<div class=\"field\">\n<label for=\"{}\">{}</label>\n{}{}</div>\n",
                       escaped(name), text(label), control, below(name, hint, state));
}

/// Who types into a field never chose a type: what is no number is said to be none.
void say_of_numbers(FormState& state) {
    for (const KeyField& field : state.fields) {
        const Key& key = *field.key;
        const auto wrong = state.mistakes.at.find(field.name);
        const std::string& typed = value_in(state.values, field.name);
        if (wrong == state.mistakes.at.end() || typed_number(typed) ||
            (key.type != Key::Type::Number && key.type != Key::Type::Count))
            continue;
        const auto right = files::with_decimal_point(typed);
        wrong->second =
            fmt::format("\"{}\" is no number{}; accepted: {}", typed,
                        right ? fmt::format(" (with a decimal point: {})", *right) : std::string(),
                        files::accepted_number(key));
    }
}

/// One save at a time of this desk.
std::mutex& saving() {
    static std::mutex mutex;
    return mutex;
}

}  // namespace

std::string key_field(const KeyField& field, const FormState& state) {
    const Key& key = *field.key;
    const auto [label, hint] = labels_of(field);
    const std::string& value = value_in(state.values, field.name);
    const std::string more = described(field.name, hint, state);
    if (key.type == Key::Type::Texts && key.words) {
        return fmt::format("<fieldset class=\"field\">\n<legend>{}</legend>\n{}{}</fieldset>\n",
                           text(label), boxes_of(field, value), below(field.name, hint, state));
    }
    std::string control;
    if (key.words || key.type == Key::Type::Flag) {
        control = select_of(field, value, more);
    } else if (key.type == Key::Type::Texts) {
        control = fmt::format("<textarea id=\"{0}\" name=\"{0}\" rows=\"2\"{1}>\n{2}</textarea>\n",
                              escaped(field.name), more, lines_escaped(value));
    } else {
        const bool number = key.type == Key::Type::Number || key.type == Key::Type::Count;
        control = input_of(field.name, value, more + (number ? " inputmode=\"decimal\"" : ""));
    }
    return wrapped_field(field.name, label, control, hint, state);
}

std::string key_fields(const FormState& state, std::string_view begin, std::string_view look) {
    std::string fields;
    for (const KeyField& field : state.fields)
        if (field.name.starts_with(begin) &&
            field.name.find('.', begin.size()) == std::string::npos)
            fields += key_field(field, state);
    return report::html::element("div", look, "\n" + fields);
}

std::string live_field(const std::string& name, std::string_view label, const FormState& state,
                       std::string_view hint, std::string_view attributes) {
    const std::string more =
        described(name, hint, state) + (attributes.empty() ? "" : " ") + std::string(attributes);
    return wrapped_field(name, label, input_of(name, value_in(state.values, name), more), hint,
                         state);
}

std::string folded_fields(const FormState& state, std::string_view begin, std::string_view summary,
                          const std::string& fields, bool open) {
    const auto is_in = [&](const auto& one) { return one.first.starts_with(begin); };
    const bool wrong = std::ranges::any_of(state.mistakes.at, is_in);
    return fmt::format("<details id=\"fold-{}\"{}>\n<summary>{}</summary>\n{}</details>\n",
                       escaped(begin), open || wrong ? " open" : "", text(summary), fields);
}

std::string outcome_part(const FormState& state, std::string_view well) {
    const std::size_t count = state.mistakes.count();
    std::string said;
    if (count > 0) {
        said =
            fmt::format("<p class=\"wrong\">{}</p>\n",
                        count == 1 ? "One mistake; nothing can be saved yet."
                                   : fmt::format("{} mistakes; nothing can be saved yet.", count)) +
            report::html::list_of(state.mistakes.others);
    } else {
        said = report::html::element("p", text(well));
    }
    return "<div class=\"outcome\" aria-live=\"polite\">\n" + part("outcome", said) + "</div>\n";
}

std::string checked_form(const Asked& asked, std::string_view action, const std::string& fields,
                         std::string_view save) {
    const std::string buttons =
        button("Check", "do", "check", {}, {}) + button(save, "do", "save", {}, "main");
    return post_form(asked, action, fields + report::html::element("div", "acts", "\n" + buttons),
                     "data-answers class=\"editing\"");
}

bool is_to_save(const Asked& asked) {
    return asked.is_post() && !asked.by_script && asked.form.get("do") == "save";
}

bool reads_well(const Opened& desk, const std::string& path, const std::string& text_of_file,
                const std::vector<std::string>& plans, FormState& state,
                const std::function<void(files::TextInputs&)>& read) {
    const auto attempt = [&](const auto& reading, const auto& told) {
        try {
            reading();
        } catch (const files::InputErrors& errors) {
            told(errors);
        } catch (const InputError& error) {
            told(files::InputErrors({error}));
        }
    };
    files::TextInputs inputs = inputs_of(desk);
    inputs.put_in_place(path, text_of_file);
    attempt([&] { read(inputs); },
            [&](const files::InputErrors& errors) {
                files::TomlTable document;
                attempt([&] { document = files::parse_toml(text_of_file, path); },
                        [](const files::InputErrors&) {});
                const Places places = state.places ? state.places(document) : Places();
                sort_mistakes(errors, path, document, state.fields, places, state.mistakes);
                say_of_numbers(state);
            });
    for (const std::string& plan : plans) {
        if (!state.mistakes.none()) break;
        attempt([&] { static_cast<void>(files::read_plan(plan, inputs)); },
                [&](const files::InputErrors& errors) {
                    for (const std::string& words : words_of(errors))
                        state.mistakes.others.push_back(
                            "A plan that uses it would no longer be "
                            "read: " +
                            words);
                });
    }
    return state.mistakes.none();
}

bool save_text(const Opened& desk, const std::string& path, const std::string& text_of_file,
               const std::string& hash) {
    const std::scoped_lock one_at_a_time(saving());
    const bool is_new = hash.empty();
    if (!is_new) {
        files::TextInputs inputs = inputs_of(desk);
        static_cast<void>(inputs.text(path, {path}));
        if (inputs.sha256(path) != hash) return false;
    }
    files::check_can_write(path, !is_new);
    files::OutputFiles outputs({{path, text_of_file}}, !is_new);
    outputs.move_to_places();
    return true;
}

}  // namespace earbudget::desk
