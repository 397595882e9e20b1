#include "report/document.hpp"

#include <fmt/format.h>

#include "report/cautions.hpp"
#include "report/text_style.hpp"
#include "report/version.hpp"

namespace earbudget::report {

namespace {

void add_sources(std::string_view kind, const std::vector<NamedSource>& sources,
                 Definitions& definitions) {
    for (const NamedSource& source : sources)
        definitions.entries.emplace_back(fmt::format("{} {}", kind, source.id), source.source);
}

}  // namespace

List sentences(const std::vector<std::string>& all, bool bullets) {
    List list{.items = {}, .bullets = bullets};
    for (const std::string& one : all)
        if (!one.empty()) list.items.push_back({one});
    return list;
}

void add_record_and_cautions(const Record& record, const RulesUsed& rules,
                             const std::vector<std::string>& more, Document& document) {
    const std::string program = fmt::format("earbudget {}", program_version());
    Definitions terms{.entries = {{"program", program}, {"date", record.date}}};
    if (record.draws)
        terms.entries.emplace_back("probabilities", draws_words(record) + " (docs/uncertainty.md)");
    add_sources("method", rules.methods, terms);
    add_sources("derating", rules.deratings, terms);
    add_sources("criterion", rules.criteria, terms);
    Definitions files{.entries = {}, .look = "record"};
    for (const SourceFile& file : record.inputs)
        files.entries.emplace_back(file.path, hash_digits(file.sha256));
    files.entries.emplace_back("fingerprint of all files read: " + fingerprint_in_fours(record),
                               hash_digits(record.fingerprint));
    document.sections.push_back({"record",
                                 "Sources and record",
                                 {{terms}, {Heading{"Files read, with their SHA-256"}}, {files}}});
    std::vector<std::string> all = more;
    all.insert(all.end(), cautions.begin(), cautions.end());
    document.sections.push_back({"cautions", "Cautions", {{sentences(all)}}});
    document.foot = fmt::format("{}, {}", program, record.date);
}

}  // namespace earbudget::report
