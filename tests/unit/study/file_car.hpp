// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "read/read.hpp"
#include "study/as_written.hpp"
#include "study/operating.hpp"

#include <filesystem>
#include <fstream>
#include <iostream>
#include <memory>
#include <optional>
#include <sstream>
#include <string>

namespace loomwright::testing {

inline std::optional<std::string> text_of(const std::filesystem::path& path) {
    std::ifstream in(path);
    std::ostringstream text;
    text << in.rdbuf();
    return in.good() ? std::optional(text.str()) : std::nullopt;
}

/// A car from a file, for the programs that write cases for a simulator. Sizes and ratings that the
/// file leaves open are taken as 2.5 mm2 and 20 A.
struct FileCar {
    explicit FileCar(Catalogue tables) : catalogue(std::move(tables)) {}

    Catalogue catalogue;
    Vehicle vehicle;
    Routing routing;
    Network network;
    Design design;

    [[nodiscard]] StudyInput input() const { return {vehicle, catalogue, routing, network}; }
};

/// Null, and told of, when the file has faults.
inline std::unique_ptr<FileCar> read_file_car(const std::filesystem::path& path) {
    SourceFiles sources;
    Findings findings;
    auto car = std::make_unique<FileCar>(load_catalogue(sources, findings));
    const auto include = [&](const std::string& name, std::string& why_not) {
        auto text = text_of(path.parent_path() / name);
        why_not = text ? "" : "it cannot be read";
        return text;
    };
    car->vehicle = read_vehicle(path.filename().string(), text_of(path).value_or(""),
                                car->catalogue, include, sources, findings);
    car->routing = route_wires(car->vehicle, car->catalogue, findings);
    if (findings.has_input_fault()) {
        for (const Finding& finding : findings.all()) {
            std::cerr << describe(finding, sources) << '\n';
        }
        return nullptr;
    }
    car->network = build_network(car->vehicle);
    car->design = design_as_written(car->vehicle, car->catalogue, car->routing);
    return car;
}

} // namespace loomwright::testing
