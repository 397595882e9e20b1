#include "desk/try_visits.hpp"

#include <algorithm>
#include <exception>

#include <fmt/format.h>

#include "desk/try_order.hpp"
#include "desk/try_rows.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "earbudget/study/input_error.hpp"
#include "earbudget/study/result.hpp"
#include "files/error_list.hpp"
#include "report/words/words.hpp"

namespace earbudget::desk::trying {

namespace {

/// Where each field of a visit stands, by its name.
template <class Row, class Visit>
void for_each_visit_field(Row& row, Visit&& visit) {
    visit("plan", row.plan);
    visit("title", row.title);
    visit("times", row.times);
    visit("apart", row.apart);
}

std::string field_of_visit(std::string_view key) {
    if (key == "days_apart") return "apart";
    return key == "times" || key == "title" ? std::string(key) : "plan";
}

class VisitEdits {
  public:
    VisitEdits(const VisitsForm& asked, const files::TomlTable& study)
        : asked_(asked),
          as_file_(visits_in_file(study, asked.shown.first)),
          in_file_(entries_in(study, "visit")) {}

    [[nodiscard]] VisitsEdits all() && {
        std::set<std::size_t> kept;
        std::vector<std::optional<std::size_t>> entries;
        for (const VisitRow& row : asked_.rows)
            entries.push_back(taken(row.from, as_file_.shown, kept));
        for (std::size_t n = 0; n < entries.size(); ++n)
            if (entries[n]) set_visit(asked_.rows[n], *entries[n], row_in_file(*entries[n]));
        Order order({"visit"}, in_file_, as_file_.shown, kept, result_.edits);
        result_.visits.resize(as_file_.shown.first);
        for (std::size_t n = 0; n < entries.size(); ++n) {
            const std::size_t at = result_.visits.size();
            if (entries[n]) {
                order.put(*entries[n], at);
            } else {
                order.insert(at, {{"plan", asked_.rows[n].plan}});
                set_visit(asked_.rows[n], at, {.key = "", .plan = asked_.rows[n].plan});
            }
            result_.visits.push_back(asked_.rows[n].key);
        }
        result_.visits.resize(result_.visits.size() + in_file_ - as_file_.shown.end());
        return std::move(result_);
    }

  private:
    [[nodiscard]] VisitRow row_in_file(std::size_t entry) const {
        const auto row = std::ranges::find_if(
            as_file_.rows, [&](const VisitRow& each) { return each.from == entry; });
        return *row;
    }

    void set_visit(const VisitRow& row, std::size_t entry, const VisitRow& was) {
        const editing::Path table{"visit", entry};
        const auto change = [&](const char* key, const std::string& is, const std::string& before,
                                bool is_number) {
            if (is == before) return;
            if (is.empty())
                result_.edits.push_back(editing::Remove{table, key});
            else
                result_.edits.push_back(
                    editing::Set{table, key, is_number ? number_or_text(is) : editing::Value(is)});
        };
        if (row.plan != was.plan) result_.edits.push_back(editing::Set{table, "plan", row.plan});
        change("title", row.title, was.title, false);
        change("times", row.times, was.times, true);
        change("days_apart", row.apart, was.apart, true);
    }

    const VisitsForm& asked_;
    VisitsForm as_file_;
    std::size_t in_file_;
    VisitsEdits result_ = {};
};

}  // namespace

VisitsForm visits_in_file(const files::TomlTable& study, std::size_t first) {
    VisitsForm form;
    const auto visits = tables_in(study, "visit");
    form.shown = {std::min(first, visits.size()), 0};
    for (std::size_t n = form.shown.first; n < visits.size() && form.rows.size() < most_rows_shown;
         ++n) {
        form.rows.push_back({fmt::format("v{}", n), n, typed(*visits[n], "plan"),
                             typed(*visits[n], "title"), typed(*visits[n], "times"),
                             typed(*visits[n], "days_apart")});
    }
    form.shown.count = form.rows.size();
    return form;
}

VisitsForm visits_sent(const serving::Form& sent) {
    VisitsForm form;
    form.shown = shown_in(sent, "visits");
    for (const std::string& key : some_sent(sent, "visit")) {
        VisitRow row{.key = key, .from = index_of(sent.get(key + ".from"))};
        for_each_visit_field(row, [&](std::string_view name, std::string& value) {
            value = without_blanks(sent.get(fmt::format("{}.{}", key, name)));
        });
        form.rows.push_back(std::move(row));
    }
    return form;
}

Fields fields_of(const VisitsForm& form) {
    Fields fields = {{"visits-first", fmt::format("{}", form.shown.first)}};
    for (const VisitRow& row : form.rows) {
        fields.emplace_back("visit", row.key);
        if (row.from) fields.emplace_back(row.key + ".from", text_of_index(row.from));
        for_each_visit_field(row, [&](std::string_view name, const std::string& value) {
            fields.emplace_back(fmt::format("{}.{}", row.key, name), value);
        });
    }
    return fields;
}

void press(std::string_view what, const std::string& key, VisitsForm& form) {
    if (what != "like") {
        press_on(what, key, form.rows);
        return;
    }
    const auto one = with_key(form.rows, key);
    if (one == form.rows.end()) return;
    VisitRow more = *one;
    more.key = new_key(form.rows, "v");
    more.from = std::nullopt;
    form.rows.insert(one + 1, std::move(more));
}

VisitsEdits edits_for(const VisitsForm& asked, const files::TomlTable& study) {
    return VisitEdits(asked, study).all();
}

VisitsTrial::VisitsTrial(const Opened& desk, const PlanFile& file, const VisitsForm& form)
    : path_(file.listed.path), form_(form), edits_(edits_for(form, file.tree)) {
    form_.shown = visits_in_file(file.tree, form.shown.first).shown;
    attempt(
        [&] {
            text_ = editing::edited(file.text, edits_.edits, file.listed.path);
            compute(desk, file);
        },
        [&](const InputError& error) { list(error); }, wrong_elsewhere_);
    if (!is_answered_) study_.reset();
}

void VisitsTrial::compute(const Opened& desk, const PlanFile& file) {
    files::TextInputs inputs = inputs_of(desk);
    inputs.put_in_place(file.listed.path, text_);
    study_ = std::make_unique<answers::AssessedStudy>(file.listed.path, today_here(), inputs);
    record_ = study_->record(inputs);
    study_->assess();
    if (answers::can_be_looked_for(overview::size_of_study_advice(study_->loaded.study)))
        study_->advise();
    is_answered_ = true;
}

void VisitsTrial::list(const InputError& error) {
    try {
        const editing::Outline outline(text_, error.position().file);
        const auto [table, key] = outline.place_of(error.position());
        const auto& steps = table.steps();
        const bool is_visit = error.position().file == FileName(path_) && steps.size() == 2 &&
                              std::holds_alternative<std::size_t>(steps[1]);
        const std::size_t visit = is_visit ? std::get<std::size_t>(steps[1]) : is_new;
        if (visit < edits_.visits.size() && !edits_.visits[visit].empty()) {
            wrong_.emplace_back(fmt::format("{}.{}", edits_.visits[visit], field_of_visit(key)),
                                error.message());
            return;
        }
    } catch (const std::exception&) {
        // What cannot be read as a whole has no place.
    }
    wrong_elsewhere_.emplace_back(error.what());
}

std::string VisitsTrial::json() const { return overview::study_json(study_->report(record_)); }

report::Document VisitsTrial::document() const {
    return overview::study_document(study_->report(record_),
                                    {.of = report::Telling::Of::ShortThenWhole});
}

}  // namespace earbudget::desk::trying
