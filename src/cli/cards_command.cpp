#include "cli/commands.hpp"
#include "cli/steps.hpp"
#include "earbudget/study/card_age.hpp"
#include "overview/cards.hpp"
#include "report/csv_table.hpp"

namespace earbudget::cli {

ExitStatus run_cards(const CardsOptions& options) {
    check_output(options.output);
    files::TextInputs inputs;
    const std::string day = options.output.date.value_or(today());
    const overview::CardList list = overview::list_cards(options.folders, day, inputs);
    check_output_is_no_input(options.output,
                             {list.files, {options.folders.begin(), options.folders.end()}});
    report::Record record = record_of(options.output, list.files, inputs);
    record.date = day;
    add_examples(record, list.files, inputs);
    deliver(in_format(
                options.output, [&] { return overview::cards_json(list, record); },
                [&] { return overview::cards_document(list, options.folders, record); },
                report::cards_csv),
            options.output);
    return computed;
}

}  // namespace earbudget::cli
