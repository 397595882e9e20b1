#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>

#include "earbudget/study/input_error.hpp"
#include "register/connection.hpp"
#include "register/new_file.hpp"
#include "register/schema.hpp"

namespace earbudget::registers {

namespace {

// Health data of people: nobody else's until their owner says so.
constexpr mode_t only_the_owners = 0600;

void check_settings(const std::string& path, const RegisterSettings& settings) {
    if (settings.time_zone.empty()) {
        throw InputError({path},
                         "a register needs the time zone of its site; accepted: a name of the IANA "
                         "time zone database, such as Europe/Berlin");
    }
    if (settings.retention_days && *settings.retention_days < 1) {
        throw InputError({path}, fmt::format("entries cannot be kept for {} days; accepted: at "
                                             "least 1",
                                             *settings.retention_days));
    }
}

void set(SQLite::Database& database, const std::string& key, const std::string& value) {
    SQLite::Statement insert(database, "INSERT INTO setting VALUES (?, ?)");
    insert.bind(1, key);
    insert.bind(2, value);
    insert.exec();
}

void fill(SQLite::Database& database, const RegisterSettings& settings) {
    database.exec(fmt::format("PRAGMA application_id = {}", application_id));
    database.exec("PRAGMA journal_mode = WAL");
    migrate(database, migrations());
    AllOrNothing transaction(database);
    const Salt identity = random_salt();
    set(database, "identity", hexadecimal(bytes_of(identity)));
    set(database, "created_ms", fmt::format("{}", now().ms));
    set(database, "time_zone", settings.time_zone);
    set(database, "title", settings.title);
    if (settings.retention_days)
        set(database, "retention_days", fmt::format("{}", *settings.retention_days));
    database.exec("INSERT INTO state VALUES ('erasing', 0), ('last_session', 0), ('wipe', 0)");
    transaction.commit();
}

}  // namespace

void Register::create(const std::string& path, const RegisterSettings& settings) {
    check_settings(path, settings);
    NewFile file(path, only_the_owners);
    fill_new(path, file.path(),
             [&settings](SQLite::Database& database) { fill(database, settings); });
    file.move_to_place();
    file.keep();
}

}  // namespace earbudget::registers
