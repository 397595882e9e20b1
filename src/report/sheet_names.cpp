#include <algorithm>

#include <fmt/format.h>

#include "earbudget/choice/candidates.hpp"
#include "report/html/markup.hpp"
#include "report/sheet_parts.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

// Longer titles are cut, and then told apart by their ids where what is left is the same.
constexpr std::size_t most_in_title = 60;

std::string told_apart(const std::string& title, const std::string& id, std::ptrdiff_t alike) {
    return alike > 1 ? fmt::format("{} ({})", title, on_sheet(id)) : title;
}

std::string protector_title(const Plan& plan, const std::string& id) {
    const auto title = [](const CatalogueEntry& entry) { return on_sheet(entry.protector.title); };
    const std::string own = title(*plan.catalogue.find(id));
    return told_apart(own, id, std::ranges::count(plan.catalogue.protectors, own, title));
}

/// Something worn and by whom.
struct Worn {
    std::string id;
    std::vector<std::string> by = {};
};

void note(const std::string& id, const std::string& by, std::vector<Worn>& worn) {
    auto known = std::ranges::find(worn, id, &Worn::id);
    if (known == worn.end()) known = worn.insert(worn.end(), {id});
    add_once(by, known->by);
}

std::vector<std::string> ids_to_look_at(const SheetPerson& one) {
    std::vector<std::string> ids = one.person().wears;
    const auto add = [&](const std::vector<std::string>& more) {
        ids.insert(ids.end(), more.begin(), more.end());
    };
    for (const Task& task : one.person().tasks)
        if (task.wears) add(*task.wears);
    add(one.out->wears);
    add(one.out->spare);
    return ids;
}

}  // namespace

std::string on_sheet(std::string_view name) { return html::shortened(name, most_in_title); }

std::string limit_title(const Criterion& criterion) {
    const std::string id = on_sheet(criterion.id);
    return criterion.title.empty() ? id : fmt::format("{} ({})", on_sheet(criterion.title), id);
}

std::string sequence_title(const Plan& plan, std::size_t sequence) {
    const auto title = [](const Sequence& one) { return on_sheet(one.title); };
    const Sequence& own = plan.sequences[sequence];
    return told_apart(title(own), own.id, std::ranges::count(plan.sequences, title(own), title));
}

std::string worn_title(const Plan& plan, WornIds worn) {
    return joined(in_order(plan.catalogue, worn), " under ",
                  [&](const std::string& id) { return protector_title(plan, id); });
}

std::string short_names(const std::vector<std::string>& ids,
                        const std::vector<SheetPerson>& people) {
    const auto is_meant = [&](const std::string& id) {
        return std::ranges::find(ids, id) != ids.end();
    };
    std::vector<std::string> names;
    for (const SheetPerson& one : people) {
        const std::string& id = one.person().id;
        if (!is_meant(id)) continue;
        const bool all = one.alike.size() > 1 && std::ranges::all_of(one.alike, is_meant);
        if (all && one.alike.front() != id) continue;  // named with the first
        const std::string name = on_sheet(id);
        names.push_back(name);
        if (!all) continue;
        // Among other names "vol 1 and 1 alike" would read as two of them.
        const bool is_alone = one.alike.size() == ids.size();
        const std::string others = fmt::format("and {} alike", one.alike.size() - 1);
        names.back() += is_alone ? " " + others : " (" + others + ")";
    }
    return fmt::format("{}", fmt::join(names, ", "));
}

std::vector<Block> metal_part(const Plan& plan, const std::vector<SheetPerson>& people) {
    std::vector<Worn> metal, unstated;
    for (const SheetPerson& one : people) {
        const Person& person = one.person();
        for (const std::string& id : metal_near_magnet(plan, person))
            note(id, person.id, metal);
        for (const std::string& id : ids_to_look_at(one)) {
            if (metal_unstated(plan, person, plan.catalogue.find(id)->protector))
                note(id, person.id, unstated);
        }
    }
    std::vector<Block> blocks;
    const auto say = [&](const Worn& worn, std::string_view first, std::string_view then) {
        blocks.push_back(
            {Paragraph{strong(fmt::format("{}: {}", first, protector_title(plan, worn.id))) +
                           fmt::format("{} ({}).", then, short_names(worn.by, people)),
                       "metal"}});
    };
    for (const Worn& worn : metal)
        say(worn, "Stop, not free of metal", " must not come near the magnet; take another");
    for (const Worn& worn : unstated)
        say(worn, "Not known to be free of metal",
            "; make sure before it comes near the magnet, else leave it outside");
    return blocks;
}

}  // namespace earbudget::report
