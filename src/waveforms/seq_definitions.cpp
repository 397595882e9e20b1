#include <array>

#include <fmt/format.h>

#include "files/written_values.hpp"
#include "waveforms/seq_extension_names.hpp"
#include "waveforms/seq_sections.hpp"

namespace earbudget::waveforms {

namespace {

constexpr double shortest_raster = 1e-9;  // s, own choice
constexpr double longest_raster = 0.1;    // s, own choice

void require_extension(const Words& words, std::string_view name) {
    if (extension_kinds.parse(name)) return;
    std::string all;
    for (const auto& row : extension_kinds)
        if (row.key != ExtensionKind::Unknown)
            all += fmt::format("{}{}", all.empty() ? "" : ", ", row.name);
    words.refuse(fmt::format("the sequence requires the extension {}, which is not known, so it "
                             "might play something else",
                             shown(name)),
                 all);
}

}  // namespace

void read_definitions(const files::OpenFile& file, const Sections& sections, SeqParts& parts) {
    std::array<bool, 3> has{};
    const auto definition = [&](const TextLines& lines) {
        Words words(lines, "a name and its value");
        const std::string_view key = words.word("a name");
        const auto raster = [&](Seconds& target, bool& stated) {
            target = Seconds(words.number(key, shortest_raster, longest_raster));
            stated = true;
        };
        if (key == "GradientRasterTime") {
            raster(parts.gradient_raster, has[0]);
        } else if (key == "RadiofrequencyRasterTime") {
            raster(parts.RF_raster, has[1]);
        } else if (key == "BlockDurationRaster") {
            raster(parts.block_raster, has[2]);
        } else if (key == "TotalDuration") {
            parts.stated_duration = Seconds(words.number(key, 0.0, 1e9));
            parts.stated_at = words.place();
        } else if (key == "RequiredExtensions") {
            while (const auto name = words.next())
                require_extension(words, *name);
        } else if (key == "Name") {
            const std::size_t behind = lines.text().find("Name") + 4;
            parts.title = shown(files::trimmed(lines.text().substr(behind), " \t"));
        }
    };
    for_each_row(file, sections, "DEFINITIONS", definition);
    if (!parts.version.states_durations) return;
    constexpr std::array names = {"GradientRasterTime", "RadiofrequencyRasterTime",
                                  "BlockDurationRaster"};
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (has[i]) continue;
        const unsigned line =
            sections.has("DEFINITIONS") ? sections.behind.at("DEFINITIONS").line : 1;
        throw InputError({file.path(), line},
                         fmt::format("{} is not stated; accepted: it in [DEFINITIONS], in seconds, "
                                     "as version {} of the format requires",
                                     names[i], parts.version.name));
    }
}

}  // namespace earbudget::waveforms
