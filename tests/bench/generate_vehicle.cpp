// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

//   generate_vehicle WIRES [SEED] [apart] > vehicle.yaml

#include "vehicle_generator.hpp"

#include <cstdio>
#include <exception>
#include <string>

int main(int count, char** words) {
    try {
        const bool is_apart = count > 2 && std::string(words[count - 1]) == "apart";
        count -= is_apart ? 1 : 0;
        if (count < 2 || count > 3) {
            std::fputs("usage: generate_vehicle WIRES [SEED] [apart]\n", stderr);
            return 2;
        }
        const int wires = std::stoi(words[1]);
        const auto seed = count == 3 ? std::stoull(words[2]) : 1ULL;
        const auto sections =
            is_apart ? loomwright::bench::Sections::apart : loomwright::bench::Sections::coupled;
        const std::string text = loomwright::bench::generate_vehicle(wires, seed, sections);
        return std::fwrite(text.data(), 1, text.size(), stdout) == text.size() ? 0 : 3;
    } catch (const std::exception& wrong) {
        std::fprintf(stderr, "generate_vehicle: %s\n", wrong.what());
        return 2;
    }
}
