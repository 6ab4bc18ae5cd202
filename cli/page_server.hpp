// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <string>

namespace loomwright::cli {

/// What is shown now, and a number that grows with every other page.
struct ShownPage {
    std::shared_ptr<const std::string> html;
    std::uint64_t version = 0;
};

/// Shows one page on the loopback address; nothing of it is reached from other machines. Requests
/// that name another host, as a page of a stranger's can bring about, are refused.
class PageServer {
public:
    PageServer() = default;
    PageServer(const PageServer&) = delete;
    PageServer& operator=(const PageServer&) = delete;
    PageServer(PageServer&&) = delete;
    PageServer& operator=(PageServer&&) = delete;
    virtual ~PageServer() = default;
    [[nodiscard]] virtual int port() const = 0;
};

/// Begins to show what `page` gives, on a thread of its own, until the server is destroyed. Port 0:
/// one that is free. Nothing, with the reason in `why_not`, when the port is taken or the part of
/// the program that serves could not be loaded.
[[nodiscard]] std::unique_ptr<PageServer> serve_page(std::function<ShownPage()> page, int port,
                                                     std::string& why_not);

/// What the loaded part gives.
extern "C" PageServer* loomwright_page_server(std::function<ShownPage()>* page, int port,
                                              std::string* why_not);

} // namespace loomwright::cli
