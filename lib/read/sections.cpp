// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/input_limits.hpp"
#include "read/steps.hpp"
#include "yaml/text_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 21> vehicle_keys{
    "loomwright", "title",    "revision", "note",    "nominal",  "include", "bodies",
    "zones",      "points",   "runs",     "devices", "circuits", "shields", "states",
    "drives",     "supplied", "policy",   "waivers", "stock",    "curves",  "frozen"};
// Keys that only the vehicle file itself may have.
constexpr std::array<std::string_view, 5> heading_keys{"loomwright", "title", "revision", "nominal",
                                                       "frozen"};
constexpr std::array<std::string_view, 2> frozen_file_keys{"loomwright", "frozen"};

/// Follows includes; a file is read once.
class SectionReader {
public:
    SectionReader(Reading& reading, const IncludeReader& include, SourceFiles& files,
                  PieceShelf* shelf)
        : reading_(reading), include_(include), files_(files), shelf_(shelf) {}

    void read_main(const std::string& name, const std::string& text) {
        const Node root = read_text(name, text, "a vehicle file");
        if (root.is_valid()) {
            check_version(root);
            open_.push_back({name.substr(name.rfind('/') + 1)});
            collect(root, false);
        }
    }
    [[nodiscard]] Sections take() { return std::move(sections_); }

private:
    struct Open {
        std::string path; ///< as seen from the vehicle file's folder
    };
    struct Done {
        std::string path;
        SourceRange where;
    };

    Node read_text(const std::string& name, const std::string& text, std::string_view what) {
        bytes_ += text.size();
        const FileId file = files_.add(name, std::string(without_mark(text)));
        if (sections_.trees.empty()) {
            reading_.vehicle.main_file = file;
        }
        auto tree = read_tree(file, files_.file(file).text, reading_.findings, {}, shelf_);
        if (!tree) {
            return {};
        }
        const Node root = sections_.trees.emplace_back(std::move(tree))->root();
        if (!root.is_map()) {
            reading_.complain(Rule::wrong_shape, "", root.where(),
                              fmt::format("{} is a map of keys, not {}", what, shape_name(root)),
                              "begin it with `loomwright: 1`");
            return {};
        }
        return root;
    }

    void check_version(const Node& root) {
        const Node version = root.find("loomwright");
        if (!version.is_valid()) {
            reading_.complain(Rule::missing_key, "", root.where(),
                              "the key `loomwright` is missing: it says the version of the format",
                              "begin the file with `loomwright: 1`");
            return;
        }
        const Entry first = *root.entries().begin();
        if (first.key.text() != "loomwright") {
            reading_.complain(Rule::wrong_shape, "loomwright", key_place(root, "loomwright"),
                              "the key `loomwright` is not the first of the file",
                              "move it to the top");
        }
        const auto text = need_text(reading_, version, "loomwright", "loomwright");
        TextFault fault;
        const auto number = text ? read_count(*text, fault) : std::nullopt;
        if (text && !number) {
            complain_of_text(reading_, version, "loomwright", fault);
        } else if (number && *number != 1) {
            reading_.complain(Rule::out_of_range, "loomwright", version.where(),
                              fmt::format("version {} of the format is not known", *number),
                              "this program reads version 1");
        }
    }

    static SourceRange key_place(const Node& root, std::string_view key) {
        for (const Entry entry : root.entries()) {
            if (entry.key.text() == key) {
                return entry.key.where();
            }
        }
        return root.where();
    }

    void collect(const Node& root, bool is_part) {
        for (const Entry entry : root.entries()) {
            const std::string_view key = entry.key.text();
            if (!contains(vehicle_keys, key)) {
                const auto near = reading_.near_name(key, vehicle_keys);
                reading_.complain(Rule::unknown_key, "", entry.key.where(),
                                  fmt::format("the key {} is not known here", quoted(key)),
                                  suggestion(near, vehicle_keys));
                if (near) {
                    reading_.leave_unread(*near);
                }
            } else if (is_part && contains(heading_keys, key)) {
                reading_.complain(
                    Rule::unknown_key, "", entry.key.where(),
                    fmt::format("the key `{}` belongs in the vehicle file alone", key),
                    "delete it from this parts file");
            } else if (key == "include") {
                follow(entry.value);
            } else if (key == "frozen") {
                follow_frozen(entry.value);
            } else {
                sections_.all.push_back({entry.key, entry.value});
            }
        }
    }

    void follow(const Node& list) {
        std::vector<std::string> named;
        for (const Node& node : list_of_words(reading_, list, "include", "include")) {
            const auto path = include_path(open_.back().path, node.text());
            if (path && std::ranges::find(named, *path) != named.end()) {
                refuse(node, "this file is named twice in the list", "name it once");
                continue;
            }
            if (path) {
                named.push_back(*path);
            }
            follow_one(node, path);
        }
    }

    void refuse(const Node& node, std::string message, std::string remedy) {
        reading_.complain(Rule::bad_include, node.text(), node.where(), std::move(message),
                          std::move(remedy));
    }

    /// False, and told of, where the name leads out of the folder or back to an open file.
    bool may_follow(const Node& node, const std::optional<std::string>& path) {
        if (!path) {
            refuse(node, "this file is not in the folder of the vehicle file, nor below it",
                   "move it there, and name it relative to this file: `parts/stock.yaml`");
            return false;
        }
        const auto is_this = [&](const auto& file) { return file.path == *path; };
        if (std::ranges::any_of(open_, is_this)) {
            refuse(node, "this file includes itself, directly or through others",
                   "delete one of the includes that make the circle");
            return false;
        }
        return true;
    }

    void follow_one(const Node& node, const std::optional<std::string>& path) {
        if (!may_follow(node, path)) {
            return;
        }
        const auto is_this = [&](const auto& file) { return file.path == *path; };
        if (std::ranges::any_of(done_, is_this)) {
            return; // two parts files may both need a third
        }
        if (open_.size() >= deepest_include || done_.size() >= most_included_files) {
            refuse(node,
                   fmt::format("includes go deeper than {}, or there are more than {}",
                               deepest_include, most_included_files),
                   "put the parts into fewer files");
            return;
        }
        const auto text =
            text_of(node, *path, "name a file in the folder of the vehicle file, or below it");
        if (!text) {
            return;
        }
        const Node root = read_text(*path, *text, "a vehicle file");
        open_.push_back({*path});
        if (root.is_valid()) {
            collect(root, true);
        }
        open_.pop_back();
        done_.push_back({*path, node.where()});
    }

    std::optional<std::string> text_of(const Node& node, const std::string& path,
                                       std::string remedy) {
        std::string why_not;
        auto text = include_ ? include_(path, why_not) : std::nullopt;
        if (!text) {
            refuse(node,
                   fmt::format("the file cannot be read{}{}", why_not.empty() ? "" : ": ", why_not),
                   std::move(remedy));
            return std::nullopt;
        }
        if (bytes_ + text->size() > most_input_bytes) {
            refuse(node,
                   fmt::format("the vehicle and its includes are larger than {} MiB in all",
                               most_input_bytes >> 20U),
                   "take out what is not part of the vehicle");
            return std::nullopt;
        }
        return text;
    }

    /// What is cut already stands in a file of its own: two keys and nothing else.
    void follow_frozen(const Node& node) {
        if (!need_text(reading_, node, "frozen", "frozen")) {
            return;
        }
        const auto path = include_path(open_.back().path, node.text());
        if (!may_follow(node, path)) {
            return;
        }
        const auto text = text_of(
            node, *path, "write it with `loomwright size FILE --freeze`, or take this line out");
        const Node root = text ? read_text(*path, *text, "a file of what is frozen") : Node();
        if (!root.is_valid()) {
            return;
        }
        check_version(root);
        reading_.vehicle.frozen.file = *path;
        for (const Entry entry : root.entries()) {
            if (!contains(frozen_file_keys, entry.key.text())) {
                reading_.complain(Rule::unknown_key, "", entry.key.where(),
                                  fmt::format("the key {} is not known in a file of what is frozen",
                                              quoted(entry.key.text())),
                                  reading_.suggest(entry.key.text(), frozen_file_keys));
            } else if (entry.key.text() == "frozen") {
                sections_.all.push_back({entry.key, entry.value});
            }
        }
    }

    Reading& reading_;
    const IncludeReader& include_;
    SourceFiles& files_;
    PieceShelf* shelf_;
    Sections sections_;
    std::vector<Open> open_;
    std::vector<Done> done_;
    std::size_t bytes_ = 0;
};

} // namespace

std::optional<std::string> include_path(std::string_view including, std::string_view name) {
    if (name.empty() || name.starts_with('/') || name.find('\\') != std::string_view::npos ||
        name.find('\0') != std::string_view::npos || name.find(':') != std::string_view::npos) {
        return std::nullopt;
    }
    const std::size_t folder = including.rfind('/');
    std::string whole(folder == std::string_view::npos ? "" : including.substr(0, folder + 1));
    whole += name;
    std::vector<std::string_view> parts;
    std::string_view rest = whole;
    while (!rest.empty()) {
        const std::size_t slash = rest.find('/');
        const std::string_view part = rest.substr(0, slash);
        rest = slash == std::string_view::npos ? std::string_view() : rest.substr(slash + 1);
        if (part == "..") {
            if (parts.empty()) {
                return std::nullopt;
            }
            parts.pop_back();
        } else if (!part.empty() && part != ".") {
            parts.push_back(part);
        }
    }
    std::string out;
    for (const std::string_view part : parts) {
        out += out.empty() ? "" : "/";
        out += part;
    }
    return out.empty() ? std::nullopt : std::optional(out);
}

Sections read_sections(Reading& reading, const std::string& file_name, const std::string& text,
                       const IncludeReader& include, SourceFiles& files, PieceShelf* shelf) {
    SectionReader reader(reading, include, files, shelf);
    reader.read_main(file_name, text);
    return reader.take();
}

} // namespace loomwright
