// The whole desk, asked what no page of it asks: requests of its own links and forms, changed at
// random.
#include <cstdlib>
#include <map>
#include <random>

#include "support/asked_desk.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

class Mutations {
  public:
    explicit Mutations(std::uint32_t seed) : random_(seed) {}

    std::size_t below(std::size_t most) { return random_() % std::max<std::size_t>(most, 1); }

    /// Some changes of one request, or none.
    std::string changed(std::string request, const std::string& other) {
        static const std::vector<std::string> odd = {"../",
                                                     "%00",
                                                     "%2e%2e%2f",
                                                     "..%5c",
                                                     "nan",
                                                     "inf",
                                                     "-0",
                                                     "1e999",
                                                     "-1",
                                                     "999999999999999999999",
                                                     "0x10",
                                                     "<script>alert(1)</script>",
                                                     "\"'><b>",
                                                     "%E2%80%AE",
                                                     "%FF",
                                                     "&",
                                                     "=",
                                                     "%",
                                                     "\r\n",
                                                     "\r\n\r\n",
                                                     "\n",
                                                     "/",
                                                     "?",
                                                     "#",
                                                     ";",
                                                     "\\",
                                                     " ",
                                                     "%20",
                                                     "[]",
                                                     "[\"x\"]",
                                                     "/etc/passwd",
                                                     "outside.toml",
                                                     "leads-out.toml",
                                                     "r.register",
                                                     "plan.toml",
                                                     "<length>",
                                                     "{}",
                                                     "{0}",
                                                     "%n%s",
                                                     "\xc3",
                                                     "0",
                                                     "1",
                                                     "true",
                                                     "2026-02-30",
                                                     "12:61",
                                                     "Content-Length: 5\r\n",
                                                     "Transfer-Encoding: chunked\r\n",
                                                     "X: y\r\n",
                                                     std::string(2'000, 'a'),
                                                     std::string(300, '[')};
        for (std::size_t left = 1 + below(3); left > 0; --left) {
            const std::size_t at = place_in(request);
            switch (below(7)) {
                case 0:
                    request.insert(at, odd[below(odd.size())]);
                    break;
                case 1:
                    request.erase(at, 1 + below(8));
                    break;
                case 2:
                    if (at < request.size()) request[at] = static_cast<char>(random_());
                    break;
                case 3:
                    replace_value(request, odd[below(odd.size())]);
                    break;
                case 4:
                    repeat_field(request);
                    break;
                case 5:
                    request = request.substr(0, at) +
                              other.substr(std::min(place_in(other), other.size()));
                    break;
                default:
                    remove_field(request);
                    break;
            }
        }
        return request;
    }

  private:
    /// Mostly where it says what is asked, not where it says who asks.
    std::size_t place_in(const std::string& request) {
        const std::size_t body = request.find("\r\n\r\n"), line = request.find(" HTTP");
        const bool is_one = body != request.npos && line != request.npos && line > 4;
        if (below(10) == 0 || !is_one) return below(request.size());
        const bool has_form = body + 4 < request.size();
        return has_form && below(4) > 0 ? body + 4 + below(request.size() - body - 4)
                                        : 4 + below(line - 4);
    }
    /// A "name=value" somewhere; both places are the end where there is none.
    std::pair<std::size_t, std::size_t> field_in(const std::string& request) {
        const std::size_t at = std::min(request.find('&', place_in(request)), request.size());
        return {at, std::min(request.find_first_of("& \r", at + 1), request.size())};
    }
    void replace_value(std::string& request, const std::string& value) {
        const auto [begin, end] = field_in(request);
        const std::size_t equals = std::min(request.find('=', begin), end);
        if (begin < end && equals < end) request.replace(equals + 1, end - equals - 1, value);
    }
    void repeat_field(std::string& request) {
        const auto [begin, end] = field_in(request);
        if (begin < end) request.insert(end, request.substr(begin, end - begin));
    }
    void remove_field(std::string& request) {
        const auto [begin, end] = field_in(request);
        if (begin < end) request.erase(begin, end - begin);
    }

    std::mt19937 random_;
};

/// Requests that the desk's pages make, a few of each kind: of its path, numbers do not count.
class Pool {
  public:
    void add(const std::string& request) {
        std::string kind = request.substr(0, request.find_first_of("?\r"));
        std::erase_if(kind, [](char letter) { return letter >= '0' && letter <= '9'; });
        if (!by_kind_.contains(kind)) kinds_.push_back(kind);
        std::vector<std::string>& same = by_kind_[kind];
        if (same.size() >= most_of_a_kind) return;
        same.push_back(request);
        all_.push_back(request);
    }
    [[nodiscard]] const std::vector<std::string>& all() const { return all_; }
    [[nodiscard]] std::size_t kinds() const { return kinds_.size(); }
    /// Each kind as often as any other: some pages have a hundred links to one.
    [[nodiscard]] const std::string& any(Mutations& mutations) const {
        const std::string& kind = kinds_[mutations.below(kinds_.size())];
        // A trial draws: one costs as much as a hundred others.
        if (kind.find("/try") != kind.npos && mutations.below(4) > 0) return any(mutations);
        const auto& same = by_kind_.at(kind);
        return same[mutations.below(same.size())];
    }

  private:
    static constexpr std::size_t most_of_a_kind = 6;
    std::map<std::string, std::vector<std::string>> by_kind_ = {};
    std::vector<std::string> kinds_ = {}, all_ = {};
};

std::string_view body_of(const std::string& answer) {
    return std::string_view(answer).substr(std::min(answer.find("\r\n\r\n"), answer.size()));
}

/// With EARBUDGET_DESK_CORPUS=tests/fuzz/corpus/desk the fuzzers begin with what the pages ask now.
void keep_for_fuzzers(const Pool& pool) {
    const char* folder = std::getenv("EARBUDGET_DESK_CORPUS");
    if (!folder) return;
    for (const std::string& request : pool.all()) {
        std::string name = request.substr(0, request.find_first_of("?\r"));
        std::ranges::replace_if(
            name, [](unsigned char letter) { return std::isalnum(letter) == 0; }, '-');
        // One of a kind: the others differ in what a fuzzer changes first.
        std::ofstream(std::string(folder) + "/" + name.substr(0, name.find("-HTTP")),
                      std::ios::binary)
            << request;
    }
}

}  // namespace

TEST_CASE("ten thousand changed requests: no fault, no file of outside, no number that is none") {
    const AskedDesk desk;
    Mutations mutations(22);
    Pool pool;
    pool.add(AskedDesk::get("/"));
    // As a browser would go from page to page, before anything is changed.
    for (std::size_t n = 0; n < pool.all().size() && n < 400; ++n) {
        const std::string request = pool.all()[n];
        const std::string answer = desk.answer(request);
        CHECK_MESSAGE(AskedDesk::broken(request, answer).empty(), request, "\n",
                      AskedDesk::broken(request, answer));
        for (const std::string& next : desk.requests_of(body_of(answer)))
            pool.add(next);
    }
    MESSAGE(pool.kinds(), " kinds of requests");
    CHECK(pool.kinds() > 8);
    keep_for_fuzzers(pool);
    const auto beside = desk.beside();
    std::map<std::string, int> statuses;
    const char* count = std::getenv("EARBUDGET_DESK_REQUESTS");
    const int most = count ? std::atoi(count) : 10'000;
    for (int n = 0; n < most; ++n) {
        const std::string request = mutations.changed(pool.any(mutations), pool.any(mutations));
        const std::string answer = desk.answer(request);
        const std::string broken = AskedDesk::broken(request, answer);
        REQUIRE_MESSAGE(broken.empty(), broken, ":\n", request, "\n", answer.substr(0, 4'000));
        ++statuses[answer.substr(9, 3)];
        if (n % 50 == 0)
            for (const std::string& next : desk.requests_of(body_of(answer)))
                pool.add(next);
    }
    for (const auto& [status, times] : statuses)
        MESSAGE(status, ": ", times);
    CHECK(statuses["200"] > most / 20);
    CHECK(statuses["400"] > most / 20);
    // Backups stand beside their register, under names of the program's own, as what SQLite needs.
    for (const std::string& name : desk.beside())
        CHECK_MESSAGE((beside.contains(name) || name.starts_with("r.register-") ||
                       name.starts_with("r-backup-")),
                      name);
}
