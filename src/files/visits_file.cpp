#include "files/visits_file.hpp"

#include <algorithm>
#include <filesystem>

#include <fmt/format.h>

#include "earbudget/computing/add_once.hpp"
#include "files/ids.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

namespace {

/// A file that a study names.
std::string beside_study(const std::string& study, const std::string& relative) {
    return (std::filesystem::path(study).parent_path() / relative).string();
}

void add_loaded(LoadedPlan plan, LoadedStudy& loaded) {
    for (std::string& file : plan.files)
        add_once(std::move(file), loaded.files);
    for (std::string& file : plan.examples)
        add_once(std::move(file), loaded.examples);
    loaded.folders.merge(plan.folders);
    loaded.notes.insert(loaded.notes.end(), plan.notes.begin(), plan.notes.end());
    loaded.study.visits.back().plan = std::move(plan.plan);
}

void read_visit(TableReader& table, const std::string& path, LoadedStudy& loaded,
                TextInputs& inputs) {
    Visit& visit = loaded.study.visits.emplace_back();
    visit.stated_at = table.position();
    table.put("title", visit.title);
    table.put("times", visit.times);
    table.put("days_apart", visit.days_apart);
    const auto plan = table.require_text("plan");
    const std::string file = beside_study(path, plan.value);
    const auto before = std::ranges::find(loaded.plans, file);
    const auto first = static_cast<std::size_t>(before - loaded.plans.begin());
    const bool is_known = before != loaded.plans.end();
    loaded.plans.push_back(file);
    if (is_known) {
        visit.plan = loaded.study.visits[first].plan;
    } else {
        const TomlTable document = read_toml(file, inputs, &plan.position, "plan");
        add_loaded(read_plan(document, file, inputs), loaded);
    }
    if (visit.title.empty()) visit.title = visit.plan.title;
}

void read_visits(TableReader& file, const std::string& path, LoadedStudy& loaded,
                 TextInputs& inputs) {
    file.put("title", loaded.study.title);
    for (TableReader& table : file.tables("visit"))
        file.errors().attempt([&] { read_visit(table, path, loaded, inputs); });
    if (!loaded.study.visits.empty() || file.is_misspelt("visit") || file.has("visit")) return;
    throw InputError(file.position(),
                     "there is no visit; accepted: at least one [[visit]] with "
                     "the plan of its day");
}

}  // namespace

bool is_study(const std::string& path, TextInputs& inputs) {
    try {
        // Nearly every file is none, and need not be parsed for that.
        if (inputs.text(path, {path}).find("study") == std::string::npos) return false;
        return kind_of(read_toml(path, inputs)) == "study";
    } catch (const InputError&) {
        return false;
    }
}

LoadedStudy read_study(const std::string& path, TextInputs& inputs) {
    return read_study(read_toml(path, inputs), path, inputs);
}

LoadedStudy read_study(const TomlTable& document, const std::string& path, TextInputs& inputs) {
    LoadedStudy loaded{.study = {.title = path}, .files = {path}};
    ErrorList errors;
    errors.attempt([&] {
        TableReader file = open_document(document, path, study_file, errors);
        read_visits(file, path, loaded, inputs);
    });
    errors.throw_if_any();
    return loaded;
}

void refuse_study(const std::string& path, const std::string& command, TextInputs& inputs) {
    if (!is_study(path, inputs)) return;
    const LoadedStudy loaded = read_study(path, inputs);
    std::vector<std::string> plans;
    for (const std::string& plan : loaded.plans)
        add_once(plan, plans);
    throw InputError(
        {path}, fmt::format("this is a study of visits, which earbudget assess answers; accepted: "
                            "{}: {}",
                            command == "review" ? "sequence cards, such as those of its plans"
                                                : "one plan, and this study's are",
                            fmt::join(plans, ", ")));
}

}  // namespace earbudget::files
