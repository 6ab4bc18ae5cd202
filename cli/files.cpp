// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "files.hpp"

#include "left_over.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <iostream>
#include <iterator>
#include <system_error>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace loomwright::cli {
namespace {

namespace fs = std::filesystem;

// What a library of ours has written to a file.
constexpr std::size_t most_written_bytes = std::size_t{1} << 30U;

std::string reason(int error) {
    return std::strerror(error);
}

/// Closes a file descriptor when its scope ends.
class Descriptor {
public:
    explicit Descriptor(int number) : number_(number) {}
    ~Descriptor() {
        if (number_ > STDERR_FILENO) {
            ::close(number_);
        }
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    Descriptor(Descriptor&&) = delete;
    Descriptor& operator=(Descriptor&&) = delete;
    [[nodiscard]] int number() const { return number_; }
    /// Closes now, so that a failure of the last write is seen.
    [[nodiscard]] bool close() {
        const int number = std::exchange(number_, -1);
        return ::close(number) == 0;
    }

private:
    int number_;
};

bool write_all(int descriptor, const std::string& bytes) {
    std::size_t written = 0;
    while (written < bytes.size()) {
        const ssize_t count = ::write(descriptor, bytes.data() + written, bytes.size() - written);
        if (count < 0 && errno == EINTR) {
            continue;
        }
        if (count <= 0) {
            return false;
        }
        written += static_cast<std::size_t>(count);
    }
    return true;
}

/// All of it, down to the disk; the file is closed then.
bool fill(Descriptor& file, const OutputFile& output, std::string& why_not) {
    const bool is_written = write_all(file.number(), output.bytes) && ::fsync(file.number()) == 0;
    const int error = errno;
    if (is_written && file.close()) {
        return true;
    }
    why_not = fmt::format("{}: {}", output.path, reason(is_written ? errno : error));
    return false;
}

/// Writes `bytes` to a new file beside `path`; its name, or nothing with `why_not`.
std::optional<std::string> write_beside(const OutputFile& output, std::string& why_not) {
    const fs::path target(output.path);
    const fs::path folder = target.has_parent_path() ? target.parent_path() : fs::path(".");
    remove_left_overs(folder, target.filename().string());
    std::string pattern = (folder / hidden_pattern(target.filename().string())).string();
    Descriptor file(::mkstemp(pattern.data()));
    if (file.number() < 0) {
        why_not = fmt::format("{}: {}", output.path, reason(errno));
        return std::nullopt;
    }
    hold(file.number());
    const mode_t mask = ::umask(0);
    ::umask(mask);
    if (::fchmod(file.number(), 0666U & ~mask) != 0) {
        why_not = fmt::format("{}: {}", output.path, reason(errno));
    } else if (fill(file, output, why_not)) {
        return pattern;
    }
    ::unlink(pattern.c_str());
    return std::nullopt;
}

/// A pipe or a device (`/dev/null`): bytes go into it; a file put in its place would be its end.
bool is_stream(const std::string& path) {
    std::error_code error;
    const fs::file_status status = fs::status(path, error);
    return !error && (fs::is_fifo(status) || fs::is_character_file(status));
}

bool write_into_stream(const OutputFile& output, std::string& why_not) {
    Descriptor stream(::open(output.path.c_str(), O_WRONLY | O_CLOEXEC));
    if (stream.number() >= 0 && write_all(stream.number(), output.bytes)) {
        return true;
    }
    why_not = fmt::format("{}: {}", output.path, reason(errno));
    return false;
}

bool is_inside(const fs::path& file, const fs::path& folder) {
    const fs::path relative = file.lexically_relative(folder);
    return !relative.empty() && *relative.begin() != "..";
}

} // namespace

std::optional<std::string> read_text(const std::string& path, std::string& why_not,
                                     std::size_t most_bytes) {
    Descriptor file(path == "-" ? STDIN_FILENO : ::open(path.c_str(), O_RDONLY | O_CLOEXEC));
    if (file.number() < 0) {
        why_not = reason(errno);
        return std::nullopt;
    }
    struct stat about {};
    if (::fstat(file.number(), &about) == 0 && S_ISREG(about.st_mode) &&
        static_cast<std::size_t>(about.st_size) > most_bytes) {
        why_not = fmt::format("larger than {} MiB", most_bytes >> 20U);
        return std::nullopt;
    }
    std::string text;
    std::string block(1U << 16U, '\0');
    for (;;) {
        const ssize_t count = ::read(file.number(), block.data(), block.size());
        if (count < 0 && errno == EINTR) {
            continue;
        }
        if (count < 0) {
            why_not = reason(errno);
            return std::nullopt;
        }
        if (count == 0) {
            return text;
        }
        text.append(block, 0, static_cast<std::size_t>(count));
        if (text.size() > most_bytes) {
            why_not = fmt::format("larger than {} MiB", most_bytes >> 20U);
            return std::nullopt;
        }
    }
}

IncludeReader include_reader(const std::string& vehicle_path) {
    return [vehicle_path](const std::string& name,
                          std::string& why_not) -> std::optional<std::string> {
        if (vehicle_path == "-") {
            why_not = "a vehicle read from standard input has no folder to include from";
            return std::nullopt;
        }
        std::error_code error;
        const fs::path folder =
            fs::weakly_canonical(fs::absolute(fs::path(vehicle_path)).parent_path(), error);
        const fs::path file = fs::weakly_canonical(folder / name, error);
        if (error) {
            why_not = error.message();
            return std::nullopt;
        }
        if (fs::path(name).is_absolute() || !is_inside(file, folder)) {
            why_not = "it lies outside the vehicle file's own folder";
            return std::nullopt;
        }
        if (fs::is_directory(file, error)) {
            why_not = "it is a folder";
            return std::nullopt;
        }
        if (fs::exists(file, error) && !fs::is_regular_file(file, error)) {
            why_not = "it is no file but a pipe or a device, which may never end";
            return std::nullopt;
        }
        return read_text(file.string(), why_not);
    };
}

bool write_new_files(const std::vector<OutputFile>& outputs, std::string& why_not) {
    return std::ranges::all_of(outputs, [&](const OutputFile& output) {
        Descriptor file(::open(output.path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666));
        if (file.number() < 0) {
            why_not = fmt::format("{}: {}", output.path, reason(errno));
            return false;
        }
        return fill(file, output, why_not);
    });
}

bool write_files(const std::vector<OutputFile>& outputs, std::string& why_not) {
    if (outputs.size() == 1 && is_stream(outputs.front().path)) {
        return write_into_stream(outputs.front(), why_not);
    }
    std::vector<std::string> beside;
    bool is_good = true;
    for (const OutputFile& output : outputs) {
        std::error_code error;
        if (fs::is_directory(output.path, error)) {
            why_not = fmt::format("{}: is a folder", output.path);
            is_good = false;
            break;
        }
        const auto written = write_beside(output, why_not);
        if (!written) {
            is_good = false;
            break;
        }
        beside.push_back(*written);
    }
    for (std::size_t i = 0; i < beside.size(); ++i) {
        if (is_good && ::rename(beside[i].c_str(), outputs[i].path.c_str()) != 0) {
            why_not = fmt::format("{}: {}", outputs[i].path, reason(errno));
            is_good = false;
        }
        if (!is_good) {
            ::unlink(beside[i].c_str());
        }
    }
    return is_good;
}

std::optional<std::string>
bytes_written(const std::function<bool(const std::string& path, std::string& why_not)>& write,
              std::string& why_not) {
    std::error_code error;
    const fs::path folder = fs::temp_directory_path(error);
    std::string path = (folder / "loomwright.XXXXXX").string();
    Descriptor file(error ? -1 : ::mkstemp(path.data()));
    if (file.number() < 0) {
        why_not = fmt::format("no temporary file: {}", error ? error.message() : reason(errno));
        return std::nullopt;
    }
    std::optional<std::string> bytes;
    if (write(path, why_not)) {
        bytes = read_text(path, why_not, most_written_bytes);
    }
    ::unlink(path.c_str());
    return bytes;
}

bool make_folder(const std::string& path, std::string& why_not) {
    std::error_code error;
    fs::create_directories(path, error);
    if (error || !fs::is_directory(path, error)) {
        why_not = fmt::format("{}: {}", path, error ? error.message() : "is not a folder");
        return false;
    }
    return true;
}

} // namespace loomwright::cli
