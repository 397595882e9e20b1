#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "cli/messages.hpp"

namespace earbudget::cli {

/// What every command can be told about its output.
struct OutputOptions {
    std::optional<std::string> format;     ///< stated, else by the ending of the file
    std::optional<std::string> file;       ///< none: standard output
    std::string note = {};                 ///< to be said when the file is written; empty for none
    bool force = false;                    ///< replace an existing file
    std::optional<std::string> date;       ///< YYYY-MM-DD; none: today
    bool detail = false;                   ///< everything, not the short answer alone
    bool working = false;                  ///< show how each number came about
    std::vector<std::string> working_for;  ///< ids that it is about; empty: everything
    std::int64_t seed = 1;                 ///< of the draws, from 0

    [[nodiscard]] std::uint64_t seed_of_draws() const { return static_cast<std::uint64_t>(seed); }
};

/// earbudget measure RECORDING... Where several values are given, each is for one channel.
struct MeasureOptions {
    std::vector<std::string> recordings;
    std::vector<std::string> calibration;        ///< recordings of a calibrator's tone
    std::vector<std::string> calibration_after;  ///< the same after the measurement
    std::optional<double> calibrator_level_dB;   ///< that it produced
    bool accept_drift = false;
    bool accept_length = false;                 ///< as the headers announce it
    std::vector<double> full_scale_level_dB;    ///< RMS level of a full-scale sine
    std::vector<double> sensitivity_mV_per_Pa;  ///< of the microphone
    std::vector<double> full_scale_volts;       ///< peak volts at full scale
    std::optional<std::string> background;      ///< recording without the sequence
    std::optional<std::string> from, to;        ///< part of each recording
    bool find_runs = false;
    std::optional<unsigned> channel;              ///< from 1; none: all
    std::optional<std::string> history;           ///< CSV file of LAeq of each second
    std::optional<std::string> instrument_class;  ///< "1" or "2"
    std::optional<std::string> card;              ///< sequence card to write
    std::string card_id;                          ///< empty: the name of the card's file
    std::string card_title;                       ///< empty: the id
    std::optional<std::string> setup;  ///< file of what does not change between recordings
    std::optional<std::string> cards;  ///< folder of sequence cards to write, one a recording
    std::optional<std::string> table;  ///< of the recordings' ids and titles
    std::string who, when, where, instrument;  ///< origin on the card, free text
    std::string scanner, software, coil;       ///< on the card, free text
    std::optional<std::string> subject;        ///< load in the bore
    std::optional<double> uncertainty_dB;      ///< for the card
    OutputOptions output;
};

/// earbudget choose PLAN
struct ChooseOptions {
    std::string plan;
    OutputOptions output;
};

/// earbudget assess PATH...
struct AssessOptions {
    std::vector<std::string> paths;      ///< one plan; or plans, studies of visits and folders
    std::optional<std::string> since;    ///< an earlier JSON of the same question
    std::optional<std::string> against;  ///< an earlier version of the plan
    bool sheet = false;                  ///< the operator's sheet instead of the report
    std::optional<std::string> in_register, at;  ///< of what was heard before; RFC 3339
    std::vector<std::string> as;                 ///< "ID=CODE"
    OutputOptions output;
};

/// earbudget ratings PROTECTORS
struct RatingsOptions {
    std::string protectors;
    OutputOptions output;
};

/// earbudget review CARD...
struct ReviewOptions {
    std::vector<std::string> cards;
    std::optional<std::string> against;     ///< the card that is replaced
    std::optional<std::string> predicted;   ///< card of the same sequence, predicted
    std::optional<std::string> response;    ///< file whose record grows by the comparison
    std::optional<std::string> protectors;  ///< catalogue
    std::vector<std::string> criteria;      ///< ids; empty: every published one for the role
    std::optional<std::string> for_whom;    ///< an age group, or "staff"; none: "adult"
    std::optional<std::string> role;        ///< none: of `for_whom`
    std::string method = "best";
    std::string derating = "none";
    double protection_performance = 84.0;  ///< percent
    double accepted_probability = 5.0;     ///< percent
    unsigned sessions_per_day = 1;
    double days_per_week = 1.0;
    std::string at_least = "10 min";  ///< a day, by every criterion
    OutputOptions output;
};

/// earbudget new FOLDER
struct NewOptions {
    std::string folder;
    std::vector<std::string> tables;   ///< of sequences, protectors, people
    std::optional<std::string> bids;   ///< folder of scans that exist
    std::optional<std::string> match;  ///< site file whose [match] says which cards they are of
    OutputOptions output;
};

/// earbudget session start, wear, …: of a register, and what each is told.
struct SessionOptions {
    std::string in_register, plan, person, as;
    std::vector<std::string> present;          ///< "ID=CODE"
    std::optional<unsigned> session;           ///< none: the one that is open
    std::optional<std::string> by, at, whose;  ///< codes; RFC 3339
    std::optional<std::string> moved_plan;     ///< where the plan lies now
    std::optional<std::string> cleared_by;
    std::vector<std::string> protectors;
    bool nothing = false, poor_fit = false;
    std::optional<double> worn, PAR;
    std::string ear;
    std::string how;
    bool not_seated = false;
    std::optional<std::string> sequence, card, lasting, stopped;
    bool stop = false;
    std::optional<std::string> event;
    std::string note;
    std::string entry;  ///< its number
    bool never = false;
    std::string why;
    std::vector<std::string> sequences, cards;  ///< to be asked about
    OutputOptions output;
};

/// earbudget cards FOLDER...
struct CardsOptions {
    std::vector<std::string> folders;
    OutputOptions output;
};

/// earbudget predict WAVEFORM
struct PredictOptions {
    std::string waveform;
    unsigned repeat = 1;
    std::optional<std::string> rotate;    ///< as parse_rotation reads it
    std::optional<std::string> response;  ///< file of the scanner's response
    std::optional<std::string> card;      ///< sequence card to write
    std::string card_id;                  ///< empty: the name of the card's file
    std::string card_title;               ///< empty: the id
    std::optional<std::string> vary;      ///< as parse_vary reads it
    OutputOptions output;
};

/// earbudget response --waveform FILE --recording FILE …
struct ResponseOptions {
    std::vector<std::string> waveforms;
    MeasureOptions measure;  ///< recordings, calibration and origin; its output is not used
    unsigned repeat = 1;     ///< of each waveform
    std::optional<std::string> starts_at;  ///< where a trigger has each waveform begin
    std::string title;
    std::string file;  ///< response file to write
    OutputOptions output;
};

/// earbudget desk FOLDER
struct DeskOptions {
    std::string folder;
    std::optional<std::string> in_register;
    unsigned port = 0;  ///< 0: any that is free
    bool no_open = false;
    std::optional<std::string> proxy_secret;  ///< file that the web server in front shares
    OutputOptions output;
};

/// earbudget register create, verify, …: FILE and what each asks for.
struct RegisterOptions {
    std::string file;
    std::string code, other_code;          ///< of link
    std::string copy;                      ///< of backup: the file to be made
    std::optional<std::string> site;       ///< file
    std::optional<std::string> time_zone;  ///< IANA's name
    std::optional<std::string> title;
    std::optional<unsigned> retention_days;
    std::optional<std::string> head;          ///< "N:HASH"
    std::optional<std::string> as, by, role;  ///< codes; a role's name
    std::optional<std::string> from, to;      ///< days, both counted
    std::optional<std::string> confirm;       ///< of erase: the code once more
    bool yes = false;
    std::optional<std::string> study;        ///< of report: the title of its plans
    std::optional<std::string> staff_month;  ///< "2026-11"
    std::optional<std::string> table, bids;  ///< of import: where from
    std::optional<std::string> match;        ///< site file with [match]
    std::string plan;
    std::optional<std::string> person;  ///< id in the plan
    std::optional<std::string> at;      ///< when the first run began
    OutputOptions output;
};

/// Each runs one command and returns the exit status for a computed result. They throw InputError
/// for bad input and other exceptions for faults.
[[nodiscard]] ExitStatus run_measure(const MeasureOptions& options);
[[nodiscard]] ExitStatus run_assess(const AssessOptions& options);
/// `assess` of several plans, of folders of them, and since an earlier answer.
[[nodiscard]] ExitStatus run_assess_many(const AssessOptions& options);
[[nodiscard]] ExitStatus run_choose(const ChooseOptions& options);
[[nodiscard]] ExitStatus run_ratings(const RatingsOptions& options);
[[nodiscard]] ExitStatus run_review(const ReviewOptions& options);
[[nodiscard]] ExitStatus run_cards(const CardsOptions& options);
[[nodiscard]] ExitStatus run_new(const NewOptions& options);
[[nodiscard]] ExitStatus run_predict(const PredictOptions& options);
[[nodiscard]] ExitStatus run_response(const ResponseOptions& options);
/// Returns when the program is interrupted.
[[nodiscard]] ExitStatus run_desk(const DeskOptions& options);
[[nodiscard]] ExitStatus run_session_start(const SessionOptions& options);
[[nodiscard]] ExitStatus run_session_wear(const SessionOptions& options);
[[nodiscard]] ExitStatus run_session_checked(const SessionOptions& options);
[[nodiscard]] ExitStatus run_session_run(const SessionOptions& options);
[[nodiscard]] ExitStatus run_session_event(const SessionOptions& options);
[[nodiscard]] ExitStatus run_session_end(const SessionOptions& options);
[[nodiscard]] ExitStatus run_session_correct(const SessionOptions& options);
[[nodiscard]] ExitStatus run_session_next(const SessionOptions& options);
[[nodiscard]] ExitStatus run_session_show(const SessionOptions& options);

}  // namespace earbudget::cli
