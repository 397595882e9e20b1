#include "files/canal_size.hpp"

#include <fmt/format.h>

namespace earbudget::files {

CanalSize canal_size_named(const Located<std::string>& name) {
    for (const CanalSize size : canal_sizes) {
        if (name_of(size) == name.value) return size;
    }
    throw InputError(name.position, fmt::format("canal size is \"{}\"; accepted: {}", name.value,
                                                accepted_canal_sizes));
}

}  // namespace earbudget::files
