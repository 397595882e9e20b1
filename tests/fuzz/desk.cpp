// A request of any bytes to the whole desk is answered: no fault, no file of outside the folder, no
// number that is none. In requests <host>, <origin>, <cookie>, <token> and <length> stand for what
// only this start has (support/asked_desk.hpp).

#include <memory>
#include <string>

#include "fuzz/bounds.hpp"
#include "fuzz/held.hpp"
#include "support/asked_desk.hpp"

using namespace earbudget;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    // What is recorded and saved by one input is there for the next; so many, so that an input that
    // breaks something can be found again with few before it.
    constexpr int inputs_of_a_desk = 500;
    static std::unique_ptr<test::AskedDesk> desk;
    static int left = 0;
    if (left-- == 0) {
        desk = std::make_unique<test::AskedDesk>();
        left = inputs_of_a_desk;
    }
    const std::string request(data, data + size);
    // One answer computes six seconds at most (desk/routes.cpp).
    const fuzz::Bounded bounded(size, {12.0, 1e-3, 512 << 20, 65536});
    const std::string answer = desk->answer(request);
    fuzz::hold(test::AskedDesk::broken(request, answer).empty(),
               test::AskedDesk::broken(request, answer));
    return 0;
}
