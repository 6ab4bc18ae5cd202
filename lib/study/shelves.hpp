// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/operating.hpp"

#include <map>
#include <memory>
#include <mutex>
#include <typeindex>

namespace loomwright {

/// What need not be worked out again, for one car or for several that are alike: each room puts
/// shelves of its own here, one of a type. What is taken from a shelf is what working it out once
/// more would give. Several threads may ask at once.
class Shelves {
public:
    /// The shelf of this type, made when it is first asked for.
    template <typename Shelf> [[nodiscard]] Shelf& of() {
        const std::lock_guard lock(mutex_);
        std::shared_ptr<void>& known = known_[typeid(Shelf)];
        if (!known) {
            known = std::make_shared<Shelf>();
        }
        return *static_cast<Shelf*>(known.get());
    }

private:
    std::mutex mutex_;
    std::map<std::type_index, std::shared_ptr<void>> known_;
};

/// nullptr: the study was given none.
template <typename Shelf> [[nodiscard]] Shelf* shelf_of(const StudyInput& input) {
    return input.shelves != nullptr ? &input.shelves->of<Shelf>() : nullptr;
}

} // namespace loomwright
