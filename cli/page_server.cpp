// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Loads the part that serves: the other verbs do without what it is linked to.
#include "page_server.hpp"

#include <dlfcn.h>

namespace loomwright::cli {

std::unique_ptr<PageServer> serve_page(std::function<ShownPage()> page, int port,
                                       std::string& why_not) {
    void* const part = dlopen("loomwright_serving.so", RTLD_NOW | RTLD_LOCAL);
    void* const symbol = part == nullptr ? nullptr : dlsym(part, "loomwright_page_server");
    if (symbol == nullptr) {
        const char* const fault = dlerror();
        why_not = std::string("the part of the program that serves could not be loaded: ") +
                  (fault == nullptr ? "loomwright_serving.so" : fault);
        return nullptr;
    }
    const auto start = reinterpret_cast<decltype(&loomwright_page_server)>(symbol);
    return std::unique_ptr<PageServer>(start(&page, port, &why_not));
}

} // namespace loomwright::cli
