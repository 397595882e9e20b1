#include "desk/sounds_list.hpp"

#include <algorithm>
#include <filesystem>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/studies.hpp"
#include "earbudget/computing/add_once.hpp"
#include "files/open_file.hpp"
#include "files/study_files.hpp"

namespace earbudget::desk {

namespace {

namespace fs = std::filesystem;

/// Nothing of this name is there; what there is.
[[noreturn]] void refuse_sound(std::string_view what, const std::string& name,
                               const std::vector<std::string>& accepted) {
    throw InputError({std::string(what)},
                     fmt::format("\"{}\" is none that can be read of this desk; accepted: {}", name,
                                 accepted.empty() ? std::string("none there is")
                                                  : fmt::format("{}", fmt::join(accepted, ", "))));
}

bool is_of_file(const Opened& desk, const std::string& path, const std::string& file) {
    return file.empty() || name_below(desk, path) == file;
}

}  // namespace

Sounds sounds_of(const Opened& desk, files::TextInputs& inputs) {
    files::ErrorList errors;
    Sounds sounds{overview::list_cards({desk.folder}, today_here().date, inputs, errors)};
    try {
        errors.throw_if_any();
    } catch (const files::InputErrors& all) {
        sounds.wrong = words_of(all);
    }
    return sounds;
}

std::string name_below(const Opened& desk, const std::string& path) {
    return fs::path(path).lexically_relative(desk.folder).generic_string();
}

const overview::ListedCard& card_named(const Opened& desk, const Sounds& sounds,
                                       const std::string& id, const std::string& file) {
    const auto found = std::ranges::find_if(sounds.list.cards, [&](const auto& one) {
        return one.card.id == id && is_of_file(desk, one.file, file);
    });
    if (found != sounds.list.cards.end()) return *found;
    std::vector<std::string> ids;
    for (const overview::ListedCard& one : sounds.list.cards)
        ids.push_back(one.card.id);
    refuse_sound("card", id, ids);
}

const overview::ListedCatalogue& catalogue_named(const Opened& desk, const Sounds& sounds,
                                                 const std::string& file) {
    const auto& all = sounds.list.catalogues;
    auto found = std::ranges::find_if(all, [&](const auto& one) {
        return file.empty() ? !one.used_by.empty() : name_below(desk, one.file) == file;
    });
    if (found == all.end() && file.empty()) found = all.begin();
    if (found != all.end()) return *found;
    std::vector<std::string> names;
    for (const overview::ListedCatalogue& one : all)
        names.push_back(name_below(desk, one.file));
    refuse_sound("catalogue", file, names);
}

FoundProtector protector_named(const Opened& desk, const Sounds& sounds, const std::string& id,
                               const std::string& file, files::TextInputs& inputs) {
    std::vector<std::string> ids;
    for (const overview::ListedCatalogue& one : sounds.list.catalogues) {
        if (!is_of_file(desk, one.file, file)) continue;
        Catalogue catalogue = files::read_protector_catalogue(one.file, inputs);
        const auto found = std::ranges::find_if(
            catalogue.protectors,
            [&](const CatalogueEntry& entry) { return entry.protector.id == id; });
        if (found != catalogue.protectors.end()) {
            const auto index = static_cast<std::size_t>(found - catalogue.protectors.begin());
            return {one.file, one.used_by, std::move(catalogue), index};
        }
        for (std::string& other : catalogue.ids())
            ids.push_back(std::move(other));
    }
    refuse_sound("protector", id, ids);
}

std::vector<std::string> card_folders(const Opened& desk, const Sounds& sounds) {
    std::vector<std::string> used, others;
    for (const overview::ListedCard& one : sounds.list.cards) {
        const std::string folder = name_below(desk, files::folder_of(one.file));
        auto& which = one.used_by.empty() ? others : used;
        add_once(folder, which);
    }
    for (std::string& folder : others)
        add_once(std::move(folder), used);
    if (used.empty()) used.emplace_back("cards");
    return used;
}

std::string address_of_card(const std::string& id, const std::string& file) {
    return fmt::format("/sounds/card?id={}&file={}", serving::in_address(id),
                       serving::in_address(file));
}

std::string address_of_protector(const std::string& id, const std::string& file) {
    return fmt::format("/sounds/protector?id={}&file={}", serving::in_address(id),
                       serving::in_address(file));
}

std::string users_markup(const Opened& desk, const std::vector<std::string>& plans) {
    if (plans.empty()) return report::html::text("Used by no plan of this folder.");
    std::string links;
    for (const std::string& plan : plans) {
        const std::string name = name_below(desk, plan);
        links +=
            (links.empty() ? "" : ", ") + link("/report?plan=" + serving::in_address(name), name);
    }
    return "Used by " + links + ".";
}

}  // namespace earbudget::desk
