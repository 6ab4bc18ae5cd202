// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The verbs that begin a vehicle file: new, import.
#include "output_folder.hpp"
#include "starter_files.hpp"
#include "terminal.hpp"
#include "unread_file.hpp"
#include "verbs.hpp"

#include "sheets/listed_vehicle.hpp"
#include "yaml/text_check.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <system_error>

namespace loomwright::cli {
namespace {

namespace fs = std::filesystem;

/// A link that leads nowhere is there too.
bool is_name_taken(const fs::path& path) {
    std::error_code ignored;
    return fs::exists(fs::symlink_status(path, ignored));
}

/// True when the file is there and holds something else: somebody may have worked on it.
bool would_lose(const Arguments& arguments, const std::string& bytes) {
    if (arguments.output == "-" || arguments.overwrite || !is_name_taken(arguments.output)) {
        return false;
    }
    std::string why_not;
    const auto there = read_text(arguments.output, why_not);
    return !there || *there != bytes;
}

} // namespace

int run_new(const Arguments& arguments) {
    if (arguments.folder.empty()) {
        print_error("loomwright: no folder is named\n"
                    "  name the folder to write into; . is this one\n");
        return bad_input;
    }
    std::vector<OutputFile> outputs;
    std::string said;
    for (const EmbeddedFile& file : embedded_files()) {
        const fs::path path = fs::path(arguments.folder) / file.name;
        if (is_name_taken(path)) {
            print_error(
                fmt::format("loomwright: {} is there already: nothing was written\n  name a "
                            "folder without such a file\n",
                            printable(path.string())));
            return bad_input;
        }
        outputs.push_back({std::string(file.name), std::string(file.text)});
        said += path.string() + "\n";
    }
    std::string why_not;
    if (!write_folder(arguments.folder, outputs, why_not)) {
        print_error(fmt::format("loomwright: {}\n", printable(why_not)));
        return machine_failed;
    }
    said += fmt::format("next: loomwright check {}\n",
                        (fs::path(arguments.folder) / outputs.front().path).string());
    return print(printable(said)) ? clean : machine_failed;
}

int run_import(const Arguments& arguments) {
    std::string why_not;
    const auto text = read_text(arguments.file, why_not);
    if (!text) {
        print_error(unread_file_text(arguments.file, why_not, InputKind::table));
        return bad_input;
    }
    SourceFiles files;
    Findings findings;
    const Catalogue catalogue = load_catalogue(files, findings);
    const std::string name = arguments.file == "-" ? "standard input" : arguments.file;
    const FileId file = files.add(name, std::string(without_mark(*text)));
    const auto list = read_load_list(file, files.file(file).text, catalogue, findings);
    if (!list) {
        return complain_of_faults(findings, files, "the list: nothing was written");
    }
    const std::string bytes = listed_vehicle(*list, fs::path(name).filename().string(), catalogue);
    if (would_lose(arguments, bytes)) {
        print_error(fmt::format("loomwright: {} is there already and holds something else: nothing "
                                "was written\n  give -o another name, or say --overwrite\n",
                                printable(arguments.output)));
        return bad_input;
    }
    const int status = deliver_bytes(arguments, bytes);
    if (status != clean || arguments.output == "-") {
        return status;
    }
    const std::size_t loads = list->loads.size();
    return print(printable(fmt::format("{}: {} load{} of {}\nwhat it assumes is marked so; next: "
                                       "loomwright check {}\n",
                                       arguments.output, loads, loads == 1 ? "" : "s", name,
                                       arguments.output)))
               ? clean
               : machine_failed;
}

} // namespace loomwright::cli
