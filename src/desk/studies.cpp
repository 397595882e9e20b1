#include "desk/studies.hpp"

#include <algorithm>
#include <system_error>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "earbudget/study/card_age.hpp"
#include "files/toml_tree.hpp"
#include "files/visits_file.hpp"
#include "overview/found_plans.hpp"

namespace earbudget::desk {

namespace {

namespace fs = std::filesystem;

using Stamp = std::vector<std::pair<std::string, fs::file_time_type>>;

Stamp stamp_of(const std::vector<std::string>& files, const std::set<std::string>& folders) {
    Stamp stamp;
    std::error_code missing;
    for (const std::string& file : files)
        stamp.emplace_back(file, fs::last_write_time(file, missing));
    for (const std::string& folder : folders)
        stamp.emplace_back(folder, fs::last_write_time(folder, missing));
    return stamp;
}

bool is_unchanged(const Stamp& stamp) {
    return std::ranges::all_of(stamp, [](const auto& one) {
        std::error_code missing;
        return fs::last_write_time(one.first, missing) == one.second;
    });
}

std::string title_in(const std::string& path, files::TextInputs& inputs) {
    const auto document = files::read_toml(path, inputs);
    for (const files::TomlEntry& entry : document.entries)
        if (entry.key == "title")
            if (const auto* title = std::get_if<std::string>(&entry.value.content)) return *title;
    return {};
}

/// What can be read of a plan to list it; else what is wrong.
Listed listed(const Opened& desk, const std::string& path, files::TextInputs& inputs) {
    Listed one{fs::path(path).lexically_relative(desk.folder).generic_string(), path};
    try {
        one.is_study = files::is_study(path, inputs);
        one.title = title_in(path, inputs);
    } catch (const files::InputErrors& errors) {
        one.wrong = words_of(errors);
    } catch (const InputError& error) {
        one.wrong = {error.what()};
    }
    return one;
}

}  // namespace

answers::When today_here() { return {earbudget::today()}; }

files::TextInputs inputs_of(const Opened& desk) {
    files::TextInputs inputs;
    inputs.confine_to(desk.folder);
    return inputs;
}

std::vector<Listed> listed_plans(const Opened& desk) {
    files::TextInputs inputs = inputs_of(desk);
    files::ErrorList errors;
    const overview::FoundPlans found = overview::find_plans({desk.folder}, inputs, errors);
    std::vector<Listed> all;
    for (const std::string& path : found.files)
        all.push_back(listed(desk, path, inputs));
    return all;
}

Listed plan_named(const Opened& desk, const std::string& name) {
    std::vector<Listed> all = listed_plans(desk);
    const auto found = std::ranges::find(all, name, &Listed::name);
    if (found != all.end()) return std::move(*found);
    std::string names;
    for (const Listed& one : all)
        names += fmt::format("{}{}", names.empty() ? "" : ", ", one.name);
    throw InputError({"plan"}, fmt::format("\"{}\" is no plan of this desk; accepted: {}", name,
                                           names.empty() ? "none there is" : names));
}

std::shared_ptr<const Kept> Studies::assessed(const Opened& desk, const Listed& listed) {
    const answers::When when = today_here();
    {
        const std::scoped_lock lock(mutex_);
        const auto found = known_.find(listed.path);
        if (found != known_.end() && found->second.date == when.date &&
            is_unchanged(found->second.stamp))
            return found->second.kept;
    }
    // Several at once may compute the same: each is right.
    auto kept = std::make_shared<Kept>();
    files::TextInputs inputs = inputs_of(desk);
    Stamp stamp;
    if (listed.is_study) {
        kept->study = std::make_unique<answers::AssessedStudy>(listed.path, when, inputs);
        kept->record = kept->study->record(inputs);
        stamp = stamp_of(kept->study->loaded.files, kept->study->loaded.folders);
        kept->study->assess();
        if (answers::can_be_looked_for(overview::size_of_study_advice(kept->study->loaded.study)))
            kept->study->advise();
    } else {
        kept->plan = std::make_unique<answers::AssessedPlan>(listed.path, when, inputs);
        kept->record = kept->plan->record(inputs);
        stamp = stamp_of(kept->plan->loaded.files, kept->plan->loaded.folders);
        kept->plan->assess(Tracing::Off, true);
        if (answers::can_be_looked_for(size_of_sheet(kept->plan->loaded.plan)))
            kept->outs = &kept->plan->hand_outs();
    }
    const std::scoped_lock lock(mutex_);
    if (known_.size() >= most_known) known_.clear();
    known_[listed.path] = {std::move(stamp), when.date, kept};
    return kept;
}

Verdict Kept::verdict() const {
    return study ? study->assessment.verdict() : plan->assessment.verdict();
}

namespace {

/// Blocks down to the answers to be read first, what stands before them too; none without answers.
std::vector<report::Block> to_answers(const std::vector<report::Block>& blocks) {
    std::vector<report::Block> taken;
    for (const report::Block& block : blocks) {
        if (const auto* beside = std::get_if<report::Beside>(&block.is)) {
            for (const auto& part : beside->parts)
                if (auto inside = to_answers(part); !inside.empty()) return inside;
        }
        taken.push_back(block);
        if (std::holds_alternative<report::Answers>(block.is)) return taken;
    }
    return {};
}

}  // namespace

report::Document Kept::document() const {
    report::Telling told{.of = report::Telling::Of::ShortThenWhole};
    told.outs = outs;
    return study
               ? overview::study_document(study->report(record), told)
               : report::assess_document(plan->assessment, plan->file, record, std::nullopt, told);
}

std::string Kept::short_answer() const {
    const report::Document whole = document();
    const std::string examples = report::words_on_examples(record);
    return (examples.empty() ? "" : report::html::element("p", report::html::text(examples))) +
           report::as_markup(to_answers(whole.sections.front().blocks));
}

}  // namespace earbudget::desk
