#pragma once

#include <filesystem>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "answers/assessed.hpp"
#include "desk/desk.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::desk {

/// A plan or study of the folder, by the name that addresses have: its path below the folder.
struct Listed {
    std::string name;  ///< "pilots/plan.toml"
    std::string path;  ///< as the readers open it
    std::string title = {};
    bool is_study = false;                ///< of visits
    std::vector<std::string> wrong = {};  ///< why it cannot be read, in words
};

/// The plans and studies of the folder that the desk was opened on, in the order of their names.
[[nodiscard]] std::vector<Listed> listed_plans(const Opened& desk);

/// The one of that name. Throws InputError for anything else: no path is made of what a browser
/// sends.
[[nodiscard]] Listed plan_named(const Opened& desk, const std::string& name);

/// A plan or a study as its files are now, assessed, with what is handed out.
struct Kept {
    std::unique_ptr<answers::AssessedPlan> plan = nullptr;    ///< null: it is a study
    std::unique_ptr<answers::AssessedStudy> study = nullptr;  ///< null: it is a plan
    const HandOuts* outs = nullptr;  ///< of a plan; null where it would take too long to look for
    report::Record record = {};

    /// The report that `assess` makes; points into this.
    [[nodiscard]] report::Document document() const;
    /// Of it the answers to be read first, as markup.
    [[nodiscard]] std::string short_answer() const;
    [[nodiscard]] Verdict verdict() const;
};

/// Keeps what was assessed until a file that it was read from changes, or the day.
class Studies {
  public:
    /// Throws InputErrors, and the Obstacle.
    [[nodiscard]] std::shared_ptr<const Kept> assessed(const Opened& desk, const Listed& listed);

  private:
    using Stamp = std::vector<std::pair<std::string, std::filesystem::file_time_type>>;
    struct Known {
        Stamp stamp;  ///< of all files and folders that it was read from
        std::string date;
        std::shared_ptr<const Kept> kept;
    };
    static constexpr std::size_t most_known = 100;  // own choice

    std::mutex mutex_;
    std::map<std::string, Known> known_;
};

/// As the command line answers on this day.
[[nodiscard]] answers::When today_here();

/// Text files of the desk's folder, and no others.
[[nodiscard]] files::TextInputs inputs_of(const Opened& desk);

}  // namespace earbudget::desk
