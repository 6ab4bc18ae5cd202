// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What a program does that embeds the library: reads a vehicle, sizes and checks it, writes
// answers. consumer FILE FOLDER writes sizes.json, findings.json and feeds.svg into the folder and
// prints how many findings there are.
#include <loomwright/draw/feeds.hpp>
#include <loomwright/engine/engine.hpp>
#include <loomwright/sheets/json.hpp>

#include <filesystem>
#include <fstream>
#include <iostream>
#include <optional>
#include <sstream>
#include <string>

namespace {

std::optional<std::string> text_of(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    return file ? std::optional<std::string>(text.str()) : std::nullopt;
}

bool write(const std::filesystem::path& path, const std::string& bytes) {
    std::ofstream file(path, std::ios::binary);
    file << bytes;
    return static_cast<bool>(file.flush());
}

} // namespace

int main(int count, char** words) {
    if (count != 3) {
        std::cerr << "usage: consumer FILE FOLDER\n";
        return 2;
    }
    const std::filesystem::path car = words[1];
    const std::filesystem::path folder = words[2];
    const auto text = text_of(car);
    if (!text) {
        std::cerr << "cannot be read: " << car << "\n";
        return 2;
    }
    const auto parts = [&car](const std::string& name, std::string& why_not) {
        auto found = text_of(car.parent_path() / name);
        why_not = found ? "" : "cannot be read";
        return found;
    };
    const auto project = loomwright::load_project(car.string(), *text, parts);
    if (project->findings.has_input_fault()) {
        std::cerr << "errors in the input\n";
        return 2;
    }
    loomwright::size_project(*project);
    loomwright::check_project(*project);
    std::string why_not;
    const auto drawing = loomwright::draw_feeds(project->study(), project->sizing,
                                                loomwright::DrawingFormat::svg, why_not);
    if (!drawing) {
        std::cerr << why_not << "\n";
        return 3;
    }
    const bool is_written =
        write(folder / "sizes.json", loomwright::size_json(project->study(), project->sizing)) &&
        write(folder / "findings.json",
              loomwright::check_json(project->findings, project->files)) &&
        write(folder / "feeds.svg", *drawing);
    std::cout << project->findings.all().size() << " findings\n";
    return is_written ? 0 : 3;
}
