#include <atomic>
#include <csignal>
#include <cstdlib>
#include <filesystem>
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

/// By what the desktop calls for addresses; without one the printed line is all.
void open_browser(const std::string& address) {
    if (!std::getenv("DISPLAY") && !std::getenv("WAYLAND_DISPLAY")) return;
    std::string name = "xdg-open";
    std::string argument = address;
    std::array<char*, 3> words = {name.data(), argument.data(), nullptr};
    pid_t child = -1;
    if (::posix_spawnp(&child, name.c_str(), nullptr, nullptr, words.data(), environ) == 0)
        std::thread([child] { ::waitpid(child, nullptr, 0); }).detach();
}

/// Until somebody interrupts the program or ends it.
void serve_until_interrupted(serving::Server& server) {
    sigset_t ends;
    sigemptyset(&ends);
    sigaddset(&ends, SIGINT);
    sigaddset(&ends, SIGTERM);
    sigaddset(&ends, SIGHUP);
    // Before any other thread begins, so that all of them leave these to sigwait.
    ::pthread_sigmask(SIG_BLOCK, &ends, nullptr);
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
    if (!options.no_open && !secret) open_browser(server.address());
    serve_until_interrupted(server);
    return computed;
}

}  // namespace earbudget::cli
