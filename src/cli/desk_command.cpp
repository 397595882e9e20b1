#include <atomic>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <optional>
#include <string>
#include <system_error>
#include <thread>

#include <fmt/format.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include "cli/commands.hpp"
#include "cli/steps.hpp"
#include "desk/desk.hpp"
#include "desk/studies.hpp"
#include "earbudget/study/input_error.hpp"
#include "register/register.hpp"
#include "serving/guard.hpp"
#include "serving/scratch_folder.hpp"
#include "serving/server.hpp"

namespace earbudget::cli {

namespace {

namespace fs = std::filesystem;

desk::Opened opened(const DeskOptions& options) {
    std::error_code failure;
    const fs::path folder = fs::canonical(options.folder, failure);
    if (failure || !fs::is_directory(folder)) {
        throw InputError({options.folder},
                         "is no folder that can be opened; accepted: a folder of plans, cards and "
                         "catalogues, as \"earbudget new\" makes one");
    }
    std::optional<std::string> in_register;
    if (options.in_register) {
        // What is no register is refused now, not at the first participant.
        static_cast<void>(
            registers::Register::open(*options.in_register, registers::Access::Write));
        in_register = fs::canonical(*options.in_register).string();
    }
    return {folder.string(), in_register, fs::read_symlink("/proc/self/exe").string(),
            std::make_shared<desk::Studies>()};
}

/// Opens the address by what the desktop calls for files; without one the printed line is all.
/// Arguments of a program can be read by all who use the machine, so that what is opened is a page
/// in a folder of the user's own that leads to the address.
class OpenedBrowser {
  public:
    explicit OpenedBrowser(const std::string& address) {
        if (!std::getenv("DISPLAY") && !std::getenv("WAYLAND_DISPLAY")) return;
        const fs::path page = folder_.emplace().path() / "desk.html";
        std::ofstream(page) << "<!DOCTYPE html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n"
                               "<meta http-equiv=\"refresh\" content=\"0; url="
                            << address << "\">\n<title>The desk opens</title>\n<p><a href=\""
                            << address << "\">To the desk</a></p>\n";
        std::string name = "xdg-open";
        std::string argument = page.string();
        std::array<char*, 3> words = {name.data(), argument.data(), nullptr};
        pid_t child = -1;
        // The desk leaves signals to one thread; a browser ends by its own.
        sigset_t none;
        sigemptyset(&none);
        posix_spawnattr_t attributes;
        ::posix_spawnattr_init(&attributes);
        ::posix_spawnattr_setsigmask(&attributes, &none);
        ::posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGMASK);
        if (::posix_spawnp(&child, name.c_str(), nullptr, &attributes, words.data(), environ) == 0)
            std::thread([child] { ::waitpid(child, nullptr, 0); }).detach();
        ::posix_spawnattr_destroy(&attributes);
    }

  private:
    std::optional<serving::ScratchFolder> folder_ = std::nullopt;
};

/// What ends the program is left to who waits for it; before any other thread begins, so that all
/// of them do so.
sigset_t held_back_signals() {
    sigset_t ends;
    sigemptyset(&ends);
    sigaddset(&ends, SIGINT);
    sigaddset(&ends, SIGTERM);
    sigaddset(&ends, SIGHUP);
    ::pthread_sigmask(SIG_BLOCK, &ends, nullptr);
    return ends;
}

/// Until somebody interrupts the program or ends it.
void serve_until(const sigset_t& ends, serving::Server& server) {
    std::thread serving([&] { server.serve(); });
    int which = 0;
    ::sigwait(&ends, &which);
    server.stop();
    serving.join();
}

}  // namespace

ExitStatus run_desk(const DeskOptions& options) {
    std::optional<std::string> secret;
    if (options.proxy_secret) secret = serving::read_proxy_secret(*options.proxy_secret);
    const desk::Opened desk = opened(options);
    serving::Server server({static_cast<int>(options.port), secret},
                           [&](const serving::Asked& asked) { return desk::answer(desk, asked); });
    files::write_standard_output(server.address() + "\n");
    const sigset_t ends = held_back_signals();
    std::optional<OpenedBrowser> browser;
    if (!options.no_open && !secret) browser.emplace(server.address());
    serve_until(ends, server);
    return computed;
}

}  // namespace earbudget::cli
