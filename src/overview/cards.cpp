#include "overview/cards.hpp"

#include <algorithm>
#include <filesystem>
#include <map>
#include <set>
#include <system_error>

#include <fmt/format.h>

#include "files/error_list.hpp"
#include "files/ids.hpp"
#include "files/open_file.hpp"
#include "files/study_files.hpp"

namespace earbudget::overview {

namespace {

namespace fs = std::filesystem;

/// More than any unit has; a whole disk is a mistake. Own choice.
constexpr std::size_t most_files = 20'000;

/// One file by whatever name.
std::string one_name_of(const std::string& path) {
    std::error_code failure;
    const fs::path real = fs::weakly_canonical(path, failure);
    return failure ? path : real.string();
}

bool is_hidden_name(const fs::path& path) { return path.filename().string().starts_with('.'); }

void add_files_below(const std::string& folder, std::vector<std::string>& files) {
    std::error_code failure;
    fs::recursive_directory_iterator entry(folder, failure);
    if (failure)
        throw InputError({folder}, fmt::format("cannot be looked through: {}; accepted: a folder "
                                               "of cards or plans, or such a file",
                                               failure.message()));
    for (; entry != fs::recursive_directory_iterator(); entry.increment(failure)) {
        if (failure) throw std::system_error(failure, folder);
        if (entry->is_directory(failure) && is_hidden_name(entry->path())) {
            entry.disable_recursion_pending();
        } else if (entry->is_regular_file(failure) && files::is_read_in_folder(entry->path())) {
            files.push_back(entry->path().string());
        }
        if (files.size() > most_files)
            throw InputError({folder},
                             fmt::format("holds more than {} files; accepted: the folders "
                                         "of cards and plans of a unit",
                                         most_files));
    }
}

/// In the order of their names, each once.
std::vector<std::string> files_in(const std::vector<std::string>& folders,
                                  files::ErrorList& errors) {
    std::vector<std::string> all;
    for (const std::string& folder : folders) {
        errors.attempt([&] {
            std::error_code ignored;
            if (fs::is_regular_file(folder, ignored)) {
                all.push_back(folder);
            } else {
                add_files_below(folder, all);
            }
        });
    }
    std::ranges::sort(all);
    std::set<std::string> known;
    std::erase_if(all,
                  [&](const std::string& path) { return !known.insert(one_name_of(path)).second; });
    return all;
}

/// The sequences of a plan that somebody hears.
std::set<std::size_t> heard_in(const Plan& plan) {
    std::set<std::size_t> heard;
    for (const TimelineRow& row : plan.timeline) {
        if (row.sequence) heard.insert(*row.sequence);
    }
    for (const Person& person : plan.people) {
        for (const Task& task : person.tasks) {
            if (task.sequence) heard.insert(*task.sequence);
        }
    }
    return heard;
}

/// What is read, with all mistakes in one list.
class Collection {
  public:
    Collection(files::TextInputs& inputs, files::ErrorList& errors)
        : inputs_(inputs), errors_(errors) {}

    void read(const std::string& path) {
        errors_.attempt([&] {
            const files::TomlTable document = files::read_toml(path, inputs_);
            const std::string_view kind = files::kind_of(document);
            if (kind == "sequence") {
                add_card(path, document);
            } else if (kind == "plan") {
                list.files.push_back(path);
                plans_.push_back(path);
            } else if (kind == "protectors") {
                list.catalogues.push_back({path});
            } else if (kind == "response") {
                list.responses.push_back(path);
            } else if (kind != "site" && kind != "study") {
                list.passed_over.push_back(path);
            }
        });
    }

    /// Once all cards are read, so that a mistake of one is told of itself.
    void read_plans() {
        for (const std::string& path : plans_) {
            errors_.attempt([&] { add_plan(path); });
        }
    }

    /// What was read without mistakes, the rest left out.
    [[nodiscard]] CardList usable() {
        std::erase_if(list.cards,
                      [this](const ListedCard& one) { return lost_.contains(one.file); });
        return std::move(list);
    }

    CardList list = {};

  private:
    ListedCard& add_card(const std::string& path, const files::TomlTable& document) {
        list.files.push_back(path);
        const std::size_t mistakes = errors_.size();
        list.cards.push_back({files::read_sequence_card(document, path, errors_), path});
        place_of_[one_name_of(path)] = list.cards.size() - 1;
        if (errors_.size() > mistakes) lost_.insert(path);
        return list.cards.back();
    }

    void add_plan(const std::string& path) {
        const files::LoadedPlan loaded = files::read_plan(path, inputs_);
        std::set<std::string> sequences, used;
        for (const Sequence& card : loaded.plan.sequences)
            sequences.insert(one_name_of(card.stated_at.file));
        std::set<std::string> ids;
        for (const std::size_t n : heard_in(loaded.plan)) {
            const Sequence& heard = loaded.plan.sequences[n];
            used.insert(heard.stated_at.file);
            ids.insert(heard.id);
            // Whose bands it has.
            for (const Sequence& card : loaded.plan.sequences)
                if (card.id == heard.spectrum_like) used.insert(card.stated_at.file);
        }
        // Those measured at positions, wherever they lie.
        for (const std::string& file : loaded.files) {
            if (!sequences.contains(one_name_of(file)) && ids.contains(id_of_card(file)))
                used.insert(file);
        }
        for (const std::string& file : used)
            card_in(file).used_by.push_back(path);
        for (ListedCatalogue& catalogue : list.catalogues) {
            const auto is_it = [name = one_name_of(catalogue.file)](const std::string& file) {
                return one_name_of(file) == name;
            };
            if (std::ranges::any_of(loaded.files, is_it)) catalogue.used_by.push_back(path);
        }
    }

    /// Of a file that a plan read; empty where it is no card.
    [[nodiscard]] std::string id_of_card(const std::string& file) {
        const auto known = place_of_.find(one_name_of(file));
        if (known != place_of_.end()) return list.cards[known->second].card.id;
        const files::TomlTable document = files::read_toml(file, inputs_);
        return files::kind_of(document) == "sequence"
                   ? files::read_sequence_card(document, file, errors_).id
                   : std::string();
    }

    /// One that lies outside the folders is read now.
    ListedCard& card_in(const std::string& file) {
        const auto known = place_of_.find(one_name_of(file));
        if (known != place_of_.end()) return list.cards[known->second];
        return add_card(file, files::read_toml(file, inputs_));
    }

    files::TextInputs& inputs_;
    files::ErrorList& errors_;
    std::vector<std::string> plans_ = {};
    std::set<std::string> lost_ = {};  // files of cards with mistakes
    std::map<std::string, std::size_t> place_of_ = {};
};

void add_states(const std::string& day, std::vector<ListedCard>& cards) {
    std::vector<Sequence> all;
    for (const ListedCard& one : cards)
        all.push_back(one.card);
    for (ListedCard& one : cards) {
        one.superseded_by = earbudget::superseded_by(one.card, all);
        one.state = !one.superseded_by.empty() ? CardState::Superseded
                    : is_stale(one.card, day)  ? CardState::Stale
                                               : CardState::Current;
        one.missing = missing_on(one.card);
        const std::string measured = day_at_start(one.card.origin.when);
        if (!measured.empty()) one.age_days = days_between(measured, day);
    }
}

}  // namespace

std::size_t CardList::number_of(CardState state) const {
    return static_cast<std::size_t>(std::ranges::count(cards, state, &ListedCard::state));
}

std::vector<std::string> missing_on(const Sequence& card) {
    const Origin& origin = card.origin;
    const SoundLevels& levels = card.levels;
    std::vector<std::string> missing;
    const auto need = [&missing](bool stated, const char* name) {
        if (!stated) missing.emplace_back(name);
    };
    need(!origin.how.empty(), "origin");
    need(!origin.who.empty(), "who");
    need(!origin.when.empty(), "date");
    need(!origin.where.empty(), "position");
    need(!origin.instrument.empty(), "instrument");
    need(levels.uncertainty.has_value(), "uncertainty");
    need(levels.c_weighted_level().has_value(), "LCeq");
    need(!levels.a_weighted_octaves().empty(), "octave");
    need(levels.LCpeak || levels.LZpeak, "peak");
    return missing;
}

CardList list_cards(const std::vector<std::string>& folders, const std::string& day,
                    files::TextInputs& inputs) {
    return files::without_mistakes(
        [&](files::ErrorList& errors) { return list_cards(folders, day, inputs, errors); });
}

CardList list_cards(const std::vector<std::string>& folders, const std::string& day,
                    files::TextInputs& inputs, files::ErrorList& errors) {
    Collection all(inputs, errors);
    for (const std::string& path : files_in(folders, errors))
        all.read(path);
    all.read_plans();
    CardList list = all.usable();
    std::ranges::stable_sort(list.cards, {}, &ListedCard::file);
    add_states(day, list.cards);
    return list;
}

}  // namespace earbudget::overview
