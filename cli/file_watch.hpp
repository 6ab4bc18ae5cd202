// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <map>
#include <string>
#include <vector>

namespace loomwright::cli {

/// Waits for a change of files, also of such as are not there yet, and of such as an editor
/// replaces by a new file of the same name (inotify on their folders).
class FileWatch {
public:
    FileWatch();
    ~FileWatch();
    FileWatch(const FileWatch&) = delete;
    FileWatch& operator=(const FileWatch&) = delete;
    FileWatch(FileWatch&&) = delete;
    FileWatch& operator=(FileWatch&&) = delete;

    /// False, with the reason, when the machine gives no means to watch.
    [[nodiscard]] bool is_good(std::string& why_not) const;
    /// From now on these files and no others. A folder that is not there is not watched.
    void set_files(const std::vector<std::string>& paths);
    /// Returns true when one of them has changed and then was left alone for a moment; false when
    /// `stop`, a descriptor, has something to read.
    [[nodiscard]] bool wait(int stop);

private:
    [[nodiscard]] bool take_events();

    int inotify_;
    int error_ = 0;
    std::map<int, std::string> folders_; ///< by what inotify calls each
    std::vector<std::string> files_;     ///< folder and name
};

} // namespace loomwright::cli
