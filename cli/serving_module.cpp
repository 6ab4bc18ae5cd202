// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The part that serves a page, loaded when it is asked for.
#include "page_server.hpp"

#include <httplib.h>

#include <thread>
#include <utility>

#include <sys/socket.h>

namespace loomwright::cli {
namespace {

constexpr const char* loopback = "127.0.0.1";
constexpr std::size_t threads = 4;
constexpr std::size_t longest_body = 1024;

class Server final : public PageServer {
public:
    explicit Server(std::function<ShownPage()> page) : page_(std::move(page)) {}
    Server(const Server&) = delete;
    Server& operator=(const Server&) = delete;
    Server(Server&&) = delete;
    Server& operator=(Server&&) = delete;
    ~Server() override {
        server_.stop();
        if (thread_.joinable()) {
            thread_.join();
        }
    }

    bool start(int port, std::string& why_not) {
        server_.new_task_queue = [] { return new httplib::ThreadPool(threads); };
        server_.set_payload_max_length(longest_body);
        // A port that another program has is taken: never shared.
        server_.set_socket_options([](socket_t socket) {
            const int yes = 1;
            (void)::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
        });
        if (port == 0) {
            port_ = server_.bind_to_any_port(loopback);
        } else {
            port_ = server_.bind_to_port(loopback, port) ? port : -1;
        }
        if (port_ <= 0) {
            why_not = "port " + std::to_string(port) + " of " + loopback + " cannot be had";
            return false;
        }
        set_answers();
        thread_ = std::thread([this] { server_.listen_after_bind(); });
        return true;
    }

    [[nodiscard]] int port() const override { return port_; }

private:
    /// A page of a stranger's may lead a browser here under the stranger's own name.
    [[nodiscard]] bool is_meant(const httplib::Request& request) const {
        const std::string host = request.get_header_value("Host");
        const std::string port = ":" + std::to_string(port_);
        return host == loopback + port || host == "localhost" + port;
    }

    void set_answers() {
        server_.set_default_headers({{"Cache-Control", "no-store"},
                                     {"X-Content-Type-Options", "nosniff"},
                                     {"Referrer-Policy", "no-referrer"},
                                     {"X-Frame-Options", "DENY"}});
        server_.set_pre_routing_handler(
            [this](const httplib::Request& request, httplib::Response& response) {
                if (is_meant(request) && (request.method == "GET" || request.method == "HEAD")) {
                    return httplib::Server::HandlerResponse::Unhandled;
                }
                response.status = 403;
                response.set_content("this page is shown on this machine alone\n", "text/plain");
                return httplib::Server::HandlerResponse::Handled;
            });
        server_.Get("/", [this](const httplib::Request& /*request*/, httplib::Response& response) {
            const ShownPage shown = page_();
            response.set_content(shown.html->data(), shown.html->size(),
                                 "text/html; charset=utf-8");
        });
        server_.Get("/version",
                    [this](const httplib::Request& /*request*/, httplib::Response& response) {
                        response.set_content(std::to_string(page_().version), "text/plain");
                    });
    }

    std::function<ShownPage()> page_;
    httplib::Server server_;
    std::thread thread_;
    int port_ = -1;
};

} // namespace

extern "C" __attribute__((visibility("default"))) PageServer*
loomwright_page_server(std::function<ShownPage()>* page, int port, std::string* why_not) {
    auto server = std::make_unique<Server>(std::move(*page));
    return server->start(port, *why_not) ? server.release() : nullptr;
}

} // namespace loomwright::cli
