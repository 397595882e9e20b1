// To be loaded before the libraries of a program (LD_PRELOAD): makes one call of a kind fail, as a
// system without memory, threads or permissions would. EARBUDGET_FAIL says which:
//
//     allocation:N   the N-th allocation, from 1, of C++ or C
//     new:N          the N-th of operator new
//     c-allocation:N the N-th of all others
//     thread:N       the N-th start of a thread
//     move:N         the N-th linkat, rename or renameat2, with EPERM
//     exchange:N     the N-th renameat2 with flags, with EINVAL
//     second-name:N  the N-th of that or link, so
//
// N followed by + means that one and all after it; N = 0 none. Where EARBUDGET_FAIL_COUNT names a
// file, the number of calls of that kind is written there at the end.
#include <atomic>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <new>

#include <dlfcn.h>
#include <fcntl.h>
#include <pthread.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

extern "C" {
void* __libc_malloc(size_t size);
void* __libc_calloc(size_t count, size_t size);
void* __libc_realloc(void* old, size_t size);
void* __libc_memalign(size_t alignment, size_t size);
}

namespace {

enum class Kind { Unknown, None, Allocation, New, CAllocation, Thread, Move, Exchange, SecondName };

Kind kind = Kind::Unknown;
unsigned long failing = 0;
bool and_all_after = false;
std::atomic<unsigned long> calls = 0;
thread_local bool is_in_new = false;

Kind kind_named(const char* name, std::size_t length) {
    const auto is = [&](const char* other) {
        return std::strlen(other) == length && std::strncmp(name, other, length) == 0;
    };
    if (is("allocation")) return Kind::Allocation;
    if (is("new")) return Kind::New;
    if (is("c-allocation")) return Kind::CAllocation;
    if (is("thread")) return Kind::Thread;
    if (is("move")) return Kind::Move;
    if (is("exchange")) return Kind::Exchange;
    if (is("second-name")) return Kind::SecondName;
    return Kind::None;
}

/// Called by the first call of any kind, which comes before every constructor.
void read_settings() {
    if (kind != Kind::Unknown) return;
    kind = Kind::None;
    const char* setting = std::getenv("EARBUDGET_FAIL");
    const char* colon = setting ? std::strchr(setting, ':') : nullptr;
    if (!colon) return;
    char* end = nullptr;
    failing = std::strtoul(colon + 1, &end, 10);
    and_all_after = *end == '+';
    kind = kind_named(setting, static_cast<std::size_t>(colon - setting));
}

bool must_fail(Kind called) {
    read_settings();
    if (kind != called) return false;
    const unsigned long number = ++calls;
    return failing > 0 && (and_all_after ? number >= failing : number == failing);
}

bool allocation_must_fail() {
    const bool fails =
        must_fail(Kind::Allocation) || must_fail(is_in_new ? Kind::New : Kind::CAllocation);
    if (fails) errno = ENOMEM;
    return fails;
}

template <class Function>
Function* next(const char* name) {
    void* const found = ::dlsym(RTLD_NEXT, name);
    Function* function = nullptr;
    std::memcpy(&function, &found, sizeof function);
    return function;
}

void write_count() __attribute__((destructor));
void write_count() {
    const char* path = std::getenv("EARBUDGET_FAIL_COUNT");
    if (!path) return;
    const int file = ::open(path, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
    char digits[24];
    std::size_t begin = sizeof digits;
    for (unsigned long rest = calls; rest > 0 || begin == sizeof digits; rest /= 10)
        digits[--begin] = static_cast<char>('0' + rest % 10);
    static_cast<void>(!::write(file, digits + begin, sizeof digits - begin));
    ::close(file);
}

void* allocate_for_new(std::size_t size) {
    for (;;) {
        is_in_new = true;
        void* const found = std::malloc(size > 0 ? size : 1);
        is_in_new = false;
        if (found) return found;
        const std::new_handler handler = std::get_new_handler();
        if (!handler) throw std::bad_alloc();
        handler();
    }
}

}  // namespace

void* operator new(std::size_t size) { return allocate_for_new(size); }
void* operator new[](std::size_t size) { return allocate_for_new(size); }

extern "C" {

void* malloc(size_t size) noexcept {
    return allocation_must_fail() ? nullptr : __libc_malloc(size);
}

void* calloc(size_t count, size_t size) noexcept {
    return allocation_must_fail() ? nullptr : __libc_calloc(count, size);
}

void* realloc(void* old, size_t size) noexcept {
    return allocation_must_fail() ? nullptr : __libc_realloc(old, size);
}

void* memalign(size_t alignment, size_t size) noexcept {
    return allocation_must_fail() ? nullptr : __libc_memalign(alignment, size);
}

void* aligned_alloc(size_t alignment, size_t size) noexcept {
    return allocation_must_fail() ? nullptr : __libc_memalign(alignment, size);
}

int posix_memalign(void** found, size_t alignment, size_t size) noexcept {
    void* const memory = allocation_must_fail() ? nullptr : __libc_memalign(alignment, size);
    if (!memory) return ENOMEM;
    *found = memory;
    return 0;
}

void* mmap(void* address, size_t size, int protection, int flags, int file, off_t offset) noexcept {
    if (allocation_must_fail()) return MAP_FAILED;
    const long found = ::syscall(SYS_mmap, address, size, protection, flags, file, offset);
    void* memory = nullptr;
    std::memcpy(&memory, &found, sizeof memory);
    return memory;
}

int pthread_create(pthread_t* thread, const pthread_attr_t* attributes, void* (*start)(void*),
                   void* argument) noexcept {
    if (must_fail(Kind::Thread)) return EAGAIN;
    return next<int(pthread_t*, const pthread_attr_t*, void* (*)(void*), void*)>("pthread_create")(
        thread, attributes, start, argument);
}

int linkat(int from_folder, const char* from, int to_folder, const char* to, int flags) noexcept {
    if (must_fail(Kind::Move)) {
        errno = EPERM;
        return -1;
    }
    return static_cast<int>(::syscall(SYS_linkat, from_folder, from, to_folder, to, flags));
}

int link(const char* from, const char* to) noexcept {
    if (must_fail(Kind::SecondName)) {
        errno = EPERM;
        return -1;
    }
    return static_cast<int>(::syscall(SYS_linkat, AT_FDCWD, from, AT_FDCWD, to, 0));
}

int rename(const char* from, const char* to) noexcept {
    if (must_fail(Kind::Move)) {
        errno = EPERM;
        return -1;
    }
    return static_cast<int>(::syscall(SYS_renameat2, AT_FDCWD, from, AT_FDCWD, to, 0));
}

int renameat2(int from_folder, const char* from, int to_folder, const char* to,
              unsigned flags) noexcept {
    if (must_fail(Kind::Move)) {
        errno = EPERM;
        return -1;
    }
    if (flags != 0 && (must_fail(Kind::Exchange) || must_fail(Kind::SecondName))) {
        errno = EINVAL;
        return -1;
    }
    return static_cast<int>(::syscall(SYS_renameat2, from_folder, from, to_folder, to, flags));
}
}
