// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Parts files: a car includes the input, under any name that the input asks for in its turn.
#include "must.hpp"

#include "read/read.hpp"

using namespace loomwright;

namespace {

constexpr const char* car = R"(loomwright: 1
include: [parts.yaml]
devices:
  G1: {is: battery, capacity: 45 Ah}
  GND1: {is: ground, body: chassis}
circuits:
  ground: {number: 1, paths: [G1.- > GND1]}
)";

struct Tables {
    SourceFiles files;
    Findings findings;
    Catalogue catalogue = load_catalogue(files, findings);
};

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Hurry hurry;
    static const Tables tables;
    const std::string text = fuzz::text_of(data, size);
    int asked = 0;
    const IncludeReader include = [&](const std::string& name,
                                      std::string& why_not) -> std::optional<std::string> {
        constexpr int most = 20;
        fuzz::must(!name.starts_with("/") && name != ".." && !name.starts_with("../") &&
                       name.find("/../") == std::string::npos,
                   "what is asked for is inside");
        if (++asked > most) {
            why_not = "no such file";
            return std::nullopt;
        }
        return text;
    };
    SourceFiles files;
    Findings findings;
    (void)read_vehicle("car.yaml", car, tables.catalogue, include, files, findings);
    findings.sort();
    fuzz::must_be_told(findings, files);
    return 0;
}
