// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "left_over.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <string_view>
#include <system_error>
#include <vector>

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

namespace loomwright::cli {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view letters = "XXXXXX"; // mkstemp and mkdtemp put others in their place
/// Younger ones may be of a run that has not come to hold them yet.
constexpr std::chrono::minutes least_age{1};

bool is_alnum(char c) {
    return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

bool is_of(std::string_view file, std::string_view name) {
    const std::string start = fmt::format(".{}.", name);
    return file.size() == start.size() + letters.size() && file.starts_with(start) &&
           std::ranges::all_of(file.substr(start.size()), is_alnum);
}

bool is_old(const fs::path& path) {
    std::error_code error;
    const auto written = fs::last_write_time(path, error);
    return !error && fs::file_time_type::clock::now() - written > least_age;
}

bool is_held(const fs::path& path) {
    const int number = ::open(path.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (number < 0) {
        return true; // it is not ours to judge
    }
    const bool is_free = ::flock(number, LOCK_EX | LOCK_NB) == 0;
    ::close(number);
    return !is_free;
}

/// Of a folder only plain files: nothing else was ever put there.
void remove_one(const fs::path& path) {
    std::error_code ignored;
    if (fs::is_directory(fs::symlink_status(path, ignored))) {
        for (const fs::directory_entry& entry : fs::directory_iterator(path, ignored)) {
            if (entry.is_regular_file(ignored) && !entry.is_symlink(ignored)) {
                fs::remove(entry.path(), ignored);
            }
        }
    }
    fs::remove(path, ignored);
}

} // namespace

std::string hidden_pattern(const std::string& name) {
    return fmt::format(".{}.{}", name, letters);
}

int hold(const fs::path& path) {
    const int number = ::open(path.c_str(), O_RDONLY | O_NOFOLLOW | O_CLOEXEC);
    if (number >= 0) {
        hold(number);
    }
    return number;
}

void hold(int descriptor) {
    ::flock(descriptor, LOCK_EX | LOCK_NB);
}

void let_go(int number) {
    if (number >= 0) {
        ::close(number);
    }
}

void remove_left_overs(const fs::path& folder, const std::string& name) {
    std::error_code error;
    std::vector<fs::path> found;
    for (auto entry = fs::directory_iterator(folder, error);
         !error && entry != fs::directory_iterator(); entry.increment(error)) {
        const fs::path& path = entry->path();
        if (is_of(path.filename().string(), name) && is_old(path) && !is_held(path)) {
            found.push_back(path);
        }
    }
    for (const fs::path& path : found) {
        remove_one(path);
    }
}

} // namespace loomwright::cli
