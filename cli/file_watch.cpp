// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "file_watch.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <set>
#include <system_error>

#include <poll.h>
#include <sys/inotify.h>
#include <unistd.h>

namespace loomwright::cli {
namespace {

namespace fs = std::filesystem;

// What an editor does to a file that it saves: writes it, or puts another in its place.
constexpr std::uint32_t changes =
    IN_CLOSE_WRITE | IN_MOVED_TO | IN_MOVED_FROM | IN_CREATE | IN_DELETE | IN_ATTRIB;
constexpr int quiet_ms = 60; // several events belong to one save

std::string full_name(const std::string& path) {
    std::error_code error;
    const fs::path full = fs::absolute(path, error).lexically_normal();
    return error ? path : full.string();
}

} // namespace

FileWatch::FileWatch() : inotify_(::inotify_init1(IN_NONBLOCK | IN_CLOEXEC)) {
    error_ = inotify_ < 0 ? errno : 0;
}

FileWatch::~FileWatch() {
    if (inotify_ >= 0) {
        ::close(inotify_);
    }
}

bool FileWatch::is_good(std::string& why_not) const {
    if (inotify_ < 0) {
        why_not = std::generic_category().message(error_);
    }
    return inotify_ >= 0;
}

void FileWatch::set_files(const std::vector<std::string>& paths) {
    std::vector<std::string> files;
    std::set<std::string> wanted;
    for (const std::string& path : paths) {
        files.push_back(full_name(path));
        wanted.insert(fs::path(files.back()).parent_path().string());
    }
    files_ = std::move(files);
    // Folders that are watched already stay so: no change of theirs is missed.
    std::erase_if(folders_, [&](const auto& folder) {
        if (wanted.erase(folder.second) > 0) {
            return false;
        }
        ::inotify_rm_watch(inotify_, folder.first);
        return true;
    });
    for (const std::string& folder : wanted) {
        const int watch = ::inotify_add_watch(inotify_, folder.c_str(), changes);
        if (watch >= 0) {
            folders_[watch] = folder;
        }
    }
}

bool FileWatch::take_events() {
    alignas(inotify_event) std::array<char, 16384> block{};
    bool is_ours = false;
    for (;;) {
        const ssize_t count = ::read(inotify_, block.data(), block.size());
        if (count <= 0) {
            return is_ours;
        }
        for (ssize_t at = 0; at < count;) {
            inotify_event event{};
            std::memcpy(&event, block.data() + at, sizeof event);
            const char* const name = block.data() + at + sizeof event;
            const auto folder = folders_.find(event.wd);
            // Too many at once: something may be among what was lost.
            is_ours = is_ours || (event.mask & IN_Q_OVERFLOW) != 0;
            if (folder != folders_.end() && event.len > 0) {
                const std::string file = (fs::path(folder->second) / name).string();
                is_ours = is_ours || std::ranges::find(files_, file) != files_.end();
            }
            at += static_cast<ssize_t>(sizeof event + event.len);
        }
    }
}

bool FileWatch::wait(int stop) {
    bool has_changed = false;
    for (;;) {
        std::array<pollfd, 2> ends = {pollfd{inotify_, POLLIN, 0}, pollfd{stop, POLLIN, 0}};
        const int ready = ::poll(ends.data(), ends.size(), has_changed ? quiet_ms : -1);
        if (ready < 0 && errno == EINTR) {
            continue;
        }
        if (ready < 0 || ends[1].revents != 0) {
            return false;
        }
        if (ready == 0) {
            return true;
        }
        has_changed = take_events() || has_changed;
    }
}

} // namespace loomwright::cli
