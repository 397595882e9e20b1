#include "earbudget/choice/phrases.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

EARBUDGET_WORDS(
    WorkPhrase, {People, "{0} {0:?person|people who differ}{1}"}, {InAll, " ({} in all)"},
    {RowsOfADay, "{:.0f} rows a day of {:.0f} sounds that differ × {:.0f} criteria"},
    {Product, "{: × }"}, {Both, "{} and {}"}, {Protectors, "{} protectors"},
    {ProtectorsAndPairs, "{} protectors and pairs ({} alone, {} plugs each under {} earmuffs)"},
    {NothingWorn, "nothing worn"}, {Cards, "{0} card{0:?|s}"}, {Criteria, "{} criteria"},
    {TooLong, "{}: about {:.0f} s of computing; accepted: at most {:.0f} s"},
    {TooLongByLittle, "{}: about {:.1f} s of computing; accepted: at most {:.0f} s"},
    {TooLarge, "{}: {:?results|a report} of about {:.0f} MB; accepted: at most {:.0f} MB"},
    {TooLargeByLittle, "{}: {:?results|a report} of about {:.1f} MB; accepted: at most {:.0f} MB"},
    {TooLongAsCounted,
     "{}: more than {:.0f} s of computing, since many results lie so near their limits that they "
     "take more draws; accepted: less, for example half as many rows, people, protectors or "
     "criteria"},
    {PeopleInOnePlan, "{} people in one plan"}, {TimelineRows, "{0} row{0:?|s} in the timeline"},
    {ProtectorsInCatalogue, "{} protectors in the catalogue"},
    {PlugsAndEarmuffs, "{} plugs and {} earmuffs in the catalogue"},
    {CardsAtOnce, "{0} card{0:?|s} at once"}, {CriteriaOfTerms, "{0} criteri{0:?on|a}"},
    {NoWorking, "no --working"}, {AsText, "--format text"}, {AllOf, "{: and }"},
    {ForExample, "for example {:, or }"}, {LessOfEverything, "less of everything"})

}  // namespace earbudget::report
