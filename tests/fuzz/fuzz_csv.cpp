// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Tables of people: a list of loads becomes a vehicle file that can be read, a list of readings
// becomes readings that are numbers, or each is told what is wrong with it.
#include "must.hpp"

#include "read/load_list.hpp"
#include "read/read.hpp"
#include "read/readings.hpp"
#include "sheets/listed_vehicle.hpp"
#include "yaml/text_check.hpp"

#include <cmath>

using namespace loomwright;

namespace {

constexpr const char* small_car = R"(loomwright: 1
devices:
  G1: {is: battery, capacity: 45 Ah}
  F1: {is: fuse, rating: 10 A}
  S1: {is: switch, positions: {off: [], on: [1-2]}, contact: 30 A}
  E1: {is: lamp, draws: 55 W at 13.5 V}
  GND1: {is: ground, body: chassis}
circuits:
  lamp: {number: 1, paths: [G1 > F1 > S1 > E1 > GND1, G1.- > GND1]}
states:
  dark: {set: {S1: "off"}}
  lit: {set: {S1: "on"}}
)";

struct Ready {
    SourceFiles files;
    Findings findings;
    Catalogue catalogue = load_catalogue(files, findings);
    Vehicle vehicle = read_vehicle("car.yaml", small_car, catalogue, {}, files, findings);
};

const Ready& ready() {
    static const Ready made;
    fuzz::must(made.findings.empty(), "the car to read readings of is good");
    return made;
}

void try_loads(const std::string& text) {
    SourceFiles files;
    Findings findings;
    const FileId file = files.add("loads.csv", std::string(without_mark(text)));
    const auto list = read_load_list(file, files.file(file).text, ready().catalogue, findings);
    fuzz::must_be_told(findings, files);
    fuzz::must(list.has_value() != findings.has_input_fault(), "a list, or what is wrong with it");
    if (!list) {
        return;
    }
    const std::string written = listed_vehicle(*list, "loads.csv", ready().catalogue);
    Findings again;
    (void)read_vehicle("listed.yaml", written, ready().catalogue, {}, files, again);
    fuzz::must_be_told(again, files);
    fuzz::must(!again.has_input_fault(), "what is written of a list can be read");
}

void try_readings(const std::string& text) {
    SourceFiles files;
    Findings findings;
    const FileId file = files.add("readings.csv", std::string(without_mark(text)));
    const auto list =
        read_readings(file, files.file(file).text, ready().vehicle, MeterAccuracy(), findings);
    fuzz::must_be_told(findings, files);
    fuzz::must(list.has_value() != findings.has_input_fault(),
               "readings, or what is wrong with them");
}

} // namespace

// The first byte says which of the two it is.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Hurry hurry;
    if (size == 0) {
        return 0;
    }
    const std::string text = fuzz::text_of(data + 1, size - 1);
    if (data[0] % 2 == 0) {
        try_loads(text);
    } else {
        try_readings(text);
    }
    return 0;
}
