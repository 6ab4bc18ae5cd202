// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/drawing_library.hpp"

#include <dlfcn.h>

namespace loomwright::draw {
namespace {

// Looked for in the folders that the program itself names for its libraries (its run path).
constexpr const char* file_name = "loomwright_drawing.so";
constexpr const char* symbol_name = "loomwright_drawing_library";

struct Loaded {
    const DrawingLibrary* library = nullptr;
    std::string why_not;
};

Loaded load() {
    void* const part = dlopen(file_name, RTLD_NOW | RTLD_LOCAL);
    void* const symbol = part == nullptr ? nullptr : dlsym(part, symbol_name);
    if (symbol == nullptr) {
        const char* const fault = dlerror();
        return {nullptr, std::string("the drawing part of the program could not be loaded: ") +
                             (fault == nullptr ? file_name : fault)};
    }
    const auto get = reinterpret_cast<decltype(&loomwright_drawing_library)>(symbol);
    return {get(), {}};
}

} // namespace

const DrawingLibrary* load_drawing_library(std::string& why_not) {
    static const Loaded loaded = load();
    if (loaded.library == nullptr) {
        why_not = loaded.why_not;
    }
    return loaded.library;
}

} // namespace loomwright::draw
