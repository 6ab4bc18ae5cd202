// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "output_folder.hpp"

#include "left_over.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <optional>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

namespace loomwright::cli {
namespace {

namespace fs = std::filesystem;

std::string with_reason(const fs::path& path, int error) {
    return fmt::format("{}: {}", path.string(), std::strerror(error));
}

/// A lock on a folder, until the end of the scope; without one where that cannot be had.
class FolderLock {
public:
    explicit FolderLock(const fs::path& folder)
        : number_(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)) {
        if (number_ >= 0) {
            while (::flock(number_, LOCK_EX) != 0 && errno == EINTR) {
            }
        }
    }
    ~FolderLock() {
        if (number_ >= 0) {
            ::close(number_);
        }
    }
    FolderLock(const FolderLock&) = delete;
    FolderLock& operator=(const FolderLock&) = delete;
    FolderLock(FolderLock&&) = delete;
    FolderLock& operator=(FolderLock&&) = delete;

private:
    int number_;
};

/// A hidden folder in which files are written before they are seen; gone at the end of the scope,
/// unless it was renamed.
class Staging {
public:
    /// Not made when `why_not` says something afterwards.
    Staging(const fs::path& parent, const std::string& name, std::string& why_not) {
        remove_left_overs(parent, name);
        std::string pattern = (parent / hidden_pattern(name)).string();
        if (::mkdtemp(pattern.data()) == nullptr) {
            why_not = with_reason(parent, errno);
            return;
        }
        path_ = pattern;
        mark_ = hold(path_);
    }
    ~Staging() {
        if (!path_.empty()) {
            std::error_code ignored;
            fs::remove_all(path_, ignored);
        }
        let_go(mark_);
    }
    Staging(const Staging&) = delete;
    Staging& operator=(const Staging&) = delete;
    Staging(Staging&&) = delete;
    Staging& operator=(Staging&&) = delete;

    [[nodiscard]] const fs::path& path() const { return path_; }
    /// It is the folder asked for now.
    void keep() { path_.clear(); }

private:
    fs::path path_;
    int mark_ = -1;
};

bool write_all_in(const fs::path& folder, const std::vector<OutputFile>& files,
                  std::string& why_not) {
    std::vector<OutputFile> placed;
    placed.reserve(files.size());
    for (const OutputFile& file : files) {
        placed.push_back({(folder / file.path).string(), file.bytes});
    }
    return write_new_files(placed, why_not);
}

/// Names of files in the folder, and of nothing beside or above it.
bool are_plain(const std::vector<OutputFile>& files, std::string& why_not) {
    const auto odd = std::ranges::find_if(files, [](const OutputFile& file) {
        return file.path.empty() || file.path == "." || file.path == ".." ||
               file.path.find_first_of(std::string_view("/\0", 2)) != std::string::npos;
    });
    if (odd != files.end()) {
        why_not = fmt::format("`{}` is no name of a file in a folder", odd->path);
    }
    return odd == files.end();
}

/// Into a folder that is there.
bool write_into(const fs::path& folder, const std::vector<OutputFile>& files,
                std::string& why_not) {
    std::error_code ignored;
    for (const OutputFile& file : files) {
        if (fs::is_directory(fs::symlink_status(folder / file.path, ignored))) {
            why_not = fmt::format("{}: is a folder", (folder / file.path).string());
            return false;
        }
    }
    const Staging staging(folder, "loomwright", why_not);
    if (staging.path().empty() || !write_all_in(staging.path(), files, why_not)) {
        return false;
    }
    const FolderLock lock(folder);
    for (const OutputFile& file : files) {
        if (::rename((staging.path() / file.path).c_str(), (folder / file.path).c_str()) != 0) {
            why_not = with_reason(folder / file.path, errno);
            return false;
        }
    }
    return true;
}

/// As one that was not there; nothing decided when another run has made it meanwhile.
std::optional<bool> write_as_new(const fs::path& folder, const std::vector<OutputFile>& files,
                                 std::string& why_not) {
    const fs::path parent = folder.has_parent_path() ? folder.parent_path() : fs::path(".");
    if (!make_folder(parent.string(), why_not)) {
        return false;
    }
    Staging staging(parent, folder.filename().string(), why_not);
    if (staging.path().empty() || !write_all_in(staging.path(), files, why_not)) {
        return false;
    }
    const mode_t mask = ::umask(0);
    ::umask(mask);
    if (::chmod(staging.path().c_str(), 0777U & ~mask) != 0) {
        why_not = with_reason(folder, errno);
        return false;
    }
    if (::rename(staging.path().c_str(), folder.c_str()) == 0) {
        staging.keep();
        return true;
    }
    if (errno == ENOTEMPTY || errno == EEXIST) {
        return std::nullopt;
    }
    why_not = with_reason(folder, errno);
    return false;
}

} // namespace

bool write_folder(const std::string& folder, const std::vector<OutputFile>& files,
                  std::string& why_not) {
    if (!are_plain(files, why_not)) {
        return false;
    }
    fs::path path(folder);
    if (!path.has_filename() && path.has_parent_path()) {
        path = path.parent_path(); // "out/"
    }
    std::error_code error;
    const fs::file_status status = fs::status(path, error);
    if (!fs::exists(status) && !fs::is_symlink(fs::symlink_status(path, error))) {
        if (const auto is_written = write_as_new(path, files, why_not)) {
            return *is_written;
        }
    } else if (!fs::is_directory(status)) {
        why_not = fmt::format("{}: is not a folder", folder);
        return false;
    }
    return write_into(path, files, why_not);
}

} // namespace loomwright::cli
