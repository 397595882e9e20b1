#pragma once

#include <cstddef>
#include <map>
#include <memory>
#include <mutex>
#include <vector>

namespace earbudget {

/// Tables by length, each made once for all that use it at the same time: the channels of a
/// recording.
class SharedTables {
  public:
    using Table = std::shared_ptr<const std::vector<float>>;

    template <class Make>
    [[nodiscard]] Table at(std::size_t length, const Make& make) {
        const std::lock_guard lock(mutex_);
        auto& known = known_[length];
        Table table = known.lock();
        if (!table) {
            table = std::make_shared<const std::vector<float>>(make(length));
            known = table;
        }
        return table;
    }

  private:
    std::mutex mutex_;
    std::map<std::size_t, std::weak_ptr<const std::vector<float>>> known_;
};

}  // namespace earbudget
