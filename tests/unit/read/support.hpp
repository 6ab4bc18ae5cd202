// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "read/read.hpp"

#include <doctest/doctest.h>

#include <map>
#include <string>

/// A vehicle read from texts, with what was said about it.
struct ReadCar {
    loomwright::SourceFiles files;
    loomwright::Findings findings;
    loomwright::Catalogue catalogue;
    loomwright::Vehicle car;

    /// `parts` holds the texts that can be included, by name.
    explicit ReadCar(const std::string& text, const std::map<std::string, std::string>& parts = {})
        : catalogue(loomwright::load_catalogue(files, findings)) {
        const auto include = [&](const std::string& name,
                                 std::string& why_not) -> std::optional<std::string> {
            const auto found = parts.find(name);
            if (found == parts.end()) {
                why_not = "no such file";
                return std::nullopt;
            }
            return found->second;
        };
        car = loomwright::read_vehicle("car.yaml", text, catalogue, include, files, findings);
        findings.sort();
    }

    /// "rule line:column" of every finding, each on its line.
    [[nodiscard]] std::string said() const {
        std::string out;
        for (const loomwright::Finding& finding : findings.all()) {
            out += std::string(loomwright::rule_info(finding.rule).id) + " " +
                   std::to_string(finding.where.line) + ":" + std::to_string(finding.where.column) +
                   "\n";
        }
        return out;
    }
    /// All findings as people read them, without the line of the file.
    [[nodiscard]] std::string text() const {
        std::string out;
        for (const loomwright::Finding& finding : findings.all()) {
            out += loomwright::describe(finding, files, false);
        }
        return out;
    }
    /// "12.1 G1.+ > F10.in" of every wire, each on its line.
    [[nodiscard]] std::string wires() const {
        std::string out;
        for (const loomwright::Wire& wire : car.wires) {
            out += wire.number + " " + car.show(wire.from) + " > " + car.show(wire.to) + "\n";
        }
        return out;
    }
    [[nodiscard]] const loomwright::Device& device(const char* name) const {
        const loomwright::DeviceId id = car.find_device(name);
        REQUIRE(id.is_valid());
        return car.device(id);
    }
};

/// A car of a few devices, to which a test adds its own lines.
inline std::string with_devices(const std::string& more_devices, const std::string& rest = "") {
    return "loomwright: 1\n"
           "devices:\n"
           "  G1: {is: battery, capacity: 65 Ah}\n"
           "  F1: {is: fuse, rating: 10 A}\n"
           "  K1: {is: relay, contact: 30 A}\n"
           "  M1: {is: motor, draws: 22 A at 13 V}\n"
           "  GND1: {is: ground, body: chassis}\n" +
           more_devices + rest;
}

/// The same with one circuit of number 1.
inline std::string with_paths(const std::string& more_devices, const std::string& paths) {
    return with_devices(more_devices, "circuits:\n  fan:\n    number: 1\n    paths:\n" + paths);
}
