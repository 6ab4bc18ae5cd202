// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "unread_file.hpp"

#include "base/spelling.hpp"
#include "terminal.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cerrno>
#include <filesystem>
#include <optional>
#include <system_error>
#include <vector>

#include <unistd.h>

namespace loomwright::cli {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t most_named = 5;

fs::path folder_of(const fs::path& path) {
    return path.has_parent_path() ? path.parent_path() : fs::path(".");
}

bool is_folder(const fs::path& path) {
    std::error_code error;
    return fs::is_directory(path, error);
}

bool is_there(const fs::path& path) {
    std::error_code error;
    return fs::exists(path, error);
}

/// The file or a folder on the way to it is closed to this user.
bool is_forbidden(const fs::path& path) {
    return ::access(path.c_str(), R_OK) != 0 && errno == EACCES;
}

/// The names in a folder, of its folders or of the rest, in the order of the alphabet; none where
/// it cannot be read.
std::vector<std::string> names_in(const fs::path& folder, bool of_folders) {
    std::vector<std::string> names;
    std::error_code error;
    for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error)) {
        if (is_folder(at->path()) == of_folders) {
            names.push_back(at->path().filename().string());
        }
    }
    std::ranges::sort(names);
    return names;
}

bool is_of(InputKind kind, const std::string& name) {
    return kind == InputKind::vehicle ? name.ends_with(".yaml") || name.ends_with(".yml")
                                      : name.ends_with(".csv");
}

const char* name_of(InputKind kind) {
    return kind == InputKind::vehicle ? "vehicle file" : "table (.csv)";
}

/// "a.yaml, b.yaml": the files of this kind in a folder, or the first of them; "" for none.
std::string files_of(InputKind kind, const fs::path& folder) {
    std::vector<std::string> names = names_in(folder, false);
    std::erase_if(names, [kind](const std::string& name) { return !is_of(kind, name); });
    const std::size_t all = names.size();
    names.resize(std::min(all, most_named));
    return fmt::format("{}{}", fmt::join(names, ", "),
                       all > most_named ? fmt::format(" and {} more", all - most_named) : "");
}

/// The name as it stands, or without its ending: `car.yml` and `car` are near to `car.yaml`.
std::optional<std::string> nearest_name(const std::string& name,
                                        const std::vector<std::string>& names) {
    if (auto near = nearest_word(name, names)) {
        return near;
    }
    std::vector<std::string> stems;
    stems.reserve(names.size());
    for (const std::string& one : names) {
        stems.push_back(fs::path(one).stem().string());
    }
    const auto near = nearest_word(fs::path(name).stem().string(), stems);
    return near ? std::optional(names[static_cast<std::size_t>(std::ranges::find(stems, *near) -
                                                               stems.begin())])
                : std::nullopt;
}

std::string remedy_for_absent(const fs::path& path, InputKind kind) {
    // The first part of the path that is not there.
    fs::path absent = path;
    while (!is_folder(folder_of(absent))) {
        absent = absent.parent_path();
    }
    const bool of_folders = absent != path;
    const fs::path folder = folder_of(absent);
    if (const auto near = nearest_name(absent.filename().string(), names_in(folder, of_folders))) {
        const fs::path meant = absent.has_parent_path() ? folder / *near : fs::path(*near);
        const fs::path whole = meant / path.lexically_relative(absent);
        return fmt::format("did you mean `{}`?",
                           (of_folders && is_there(whole) ? whole : meant).string());
    }
    if (of_folders) {
        return fmt::format("there is no folder `{}`: give the file's path from where you are",
                           absent.string());
    }
    if (const std::string others = files_of(kind, folder); !others.empty()) {
        return fmt::format("in that folder there is: {}", others);
    }
    return fmt::format("no {} is in that folder: give the file's path from where you are{}",
                       name_of(kind),
                       kind == InputKind::vehicle ? ", or start one with `loomwright new`" : "");
}

std::string remedy_for_folder(const fs::path& path, InputKind kind) {
    const std::string files = files_of(kind, path);
    return files.empty() ? fmt::format("name a {}; that folder holds none", name_of(kind))
                         : fmt::format("name a {} in it: {}", name_of(kind), files);
}

} // namespace

std::string unread_file_text(const std::string& path, const std::string& why_not, InputKind kind) {
    std::string what = why_not;
    std::string remedy;
    if (path.empty()) {
        what = "no file name is given";
        remedy = fmt::format("name the {}; - reads standard input", name_of(kind));
    } else if (path == "-") {
        remedy = "give the file's name, or send its text to standard input";
    } else if (is_folder(path)) {
        what = "is a folder";
        remedy = remedy_for_folder(path, kind);
    } else if (is_forbidden(path)) {
        remedy = "you may not read it, or not look into its folder: ask its owner, or use chmod";
    } else if (is_there(path)) {
        remedy = "see that it is a text file, whole, and on a disk that works";
    } else {
        remedy = remedy_for_absent(path, kind);
    }
    return printable(fmt::format("loomwright: {}: {}\n  remedy: {}\n", path, what, remedy));
}

FileId add_unread_file(const std::string& path, const std::string& why_not, SourceFiles& files,
                       Findings& findings) {
    const FileId file = files.add(path, {});
    findings.add(Rule::bad_file, {}, SourceRange{file, 0, 0, 0}, "it cannot be read: " + why_not,
                 "give the path of a vehicle file that can be read");
    return file;
}

} // namespace loomwright::cli
