#include "desk/try_trial.hpp"

#include <algorithm>
#include <exception>

#include "earbudget/computing/work_meter.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/error_list.hpp"
#include "report/words/words.hpp"

namespace earbudget::desk::trying {

PlanFile plan_file(const Opened& desk, const std::string& name) {
    PlanFile file{plan_named(desk, name), {}, {}, {}};
    files::TextInputs inputs = inputs_of(desk);
    const std::string& path = file.listed.path;
    file.text = inputs.text(path, {path});
    file.sha256 = inputs.sha256(path);
    file.tree = files::parse_toml(file.text, path);
    return file;
}

void attempt(const std::function<void()>& work, const std::function<void(const InputError&)>& list,
             std::vector<std::string>& elsewhere) {
    try {
        work();
    } catch (const files::InputErrors& errors) {
        for (const InputError& error : errors.all())
            list(error);
    } catch (const InputError& error) {
        list(error);
    } catch (const Obstacle& obstacle) {
        elsewhere.push_back(text_of(obstacle));
    } catch (const TooMuchWork&) {
        elsewhere.emplace_back(too_much_for_a_page);
    }
}

Trial::Trial(const Opened& desk, const PlanFile& file, const TrialForm& form, Depth depth)
    : path_(file.listed.path), form_(form), edits_(edits_for(form, file.tree)) {
    const TrialForm in_file = form_in_file(file.tree, form.timeline.first, form.persons.first);
    form_.timeline = in_file.timeline;
    form_.persons = in_file.persons;
    attempt(
        [&] {
            text_ = editing::edited(file.text, edits_.edits, file.listed.path);
            compute(desk, file, depth);
        },
        [&](const InputError& error) { list(error); }, wrong_elsewhere_);
    if (!is_answered_) plan_.reset();
}

void Trial::compute(const Opened& desk, const PlanFile& file, Depth depth) {
    files::TextInputs inputs = inputs_of(desk);
    inputs.put_in_place(file.listed.path, text_);
    plan_ = std::make_unique<answers::AssessedPlan>(file.listed.path, today_here(), inputs);
    record_ = plan_->record(inputs);
    plan_->assess(Tracing::Off, depth == Depth::Whole);
    if (depth == Depth::Whole && answers::can_be_looked_for(size_of_sheet(plan_->loaded.plan)))
        outs_ = &plan_->hand_outs();
    is_answered_ = true;
}

void Trial::list(const InputError& error) {
    std::string field;
    try {
        const editing::Outline outline(text_, error.position().file);
        if (error.position().file == FileName(path_))
            field = field_at(outline, error.position(), edits_);
    } catch (const std::exception&) {
        // What cannot be read as a whole has no place.
    }
    if (field.empty())
        wrong_elsewhere_.emplace_back(error.what());
    else
        wrong_.emplace_back(field, error.message());
}

std::string Trial::json() const {
    return report::assess_json(plan_->assessment, plan_->file, record_);
}

std::string Trial::page() const {
    report::Telling told{.of = report::Telling::Of::ShortThenWhole};
    told.outs = outs_;
    return report::as_page(
        report::assess_document(plan_->assessment, plan_->file, record_, std::nullopt, told));
}

}  // namespace earbudget::desk::trying
