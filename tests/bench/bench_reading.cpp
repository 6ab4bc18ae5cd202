// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

//   bench_reading WIRES...
// Time to read a generated vehicle into the model against yaml-cpp's bare event parse of the same
// text, and how often the one is the other.

#include "vehicle_generator.hpp"

#include "read/read.hpp"
#include "tables/catalogue.hpp"

#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <functional>
#include <sstream>
#include <string>
#include <vector>

namespace {

using namespace loomwright;

/// Takes every event and does nothing.
class Deaf : public YAML::EventHandler {
public:
    void OnDocumentStart(const YAML::Mark&) override {}
    void OnDocumentEnd() override {}
    void OnNull(const YAML::Mark&, YAML::anchor_t) override { ++events; }
    void OnAlias(const YAML::Mark&, YAML::anchor_t) override { ++events; }
    void OnScalar(const YAML::Mark&, const std::string&, YAML::anchor_t,
                  const std::string&) override {
        ++events;
    }
    void OnSequenceStart(const YAML::Mark&, const std::string&, YAML::anchor_t,
                         YAML::EmitterStyle::value) override {
        ++events;
    }
    void OnSequenceEnd() override {}
    void OnMapStart(const YAML::Mark&, const std::string&, YAML::anchor_t,
                    YAML::EmitterStyle::value) override {
        ++events;
    }
    void OnMapEnd() override {}
    std::size_t events = 0;
};

std::size_t bare_parse(const std::string& text) {
    std::istringstream stream(text);
    YAML::Parser parser(stream);
    Deaf deaf;
    while (parser.HandleNextDocument(deaf)) {
    }
    return deaf.events;
}

double milliseconds_of(const std::function<void()>& work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start)
        .count();
}

double median(std::vector<double>& numbers) {
    std::ranges::sort(numbers);
    return numbers[numbers.size() / 2];
}

bool print_ratio(int wires) {
    const std::string text = bench::generate_vehicle(wires, 1);
    const auto no_includes = [](const std::string&, std::string&) {
        return std::optional<std::string>();
    };
    SourceFiles table_files;
    Findings table_findings;
    const Catalogue catalogue = load_catalogue(table_files, table_findings);
    const int rounds = wires >= 100'000 ? 3 : wires >= 10'000 ? 9 : 31;
    std::vector<double> bare;
    std::vector<double> whole;
    bool is_clean = true;
    for (int k = 0; k < rounds; ++k) { // in turn, so that a busy machine is busy for both
        bare.push_back(milliseconds_of([&] { bare_parse(text); }));
        whole.push_back(milliseconds_of([&] {
            SourceFiles files;
            Findings findings;
            const Vehicle vehicle =
                read_vehicle("generated.yaml", text, catalogue, no_includes, files, findings);
            is_clean = is_clean && !findings.has_input_fault() &&
                       static_cast<int>(vehicle.wires.size()) == wires;
        }));
    }
    const double ratio = median(whole) / median(bare);
    std::printf("%8d %10zu %12.2f %12.2f %8.2f (target 1.5)\n", wires, text.size(), median(bare),
                median(whole), ratio);
    return is_clean;
}

} // namespace

int main(int count, char** words) {
    std::printf("%8s %10s %12s %12s %8s\n", "wires", "bytes", "events, ms", "reading, ms", "ratio");
    bool is_clean = true;
    for (int k = 1; k < count; ++k) {
        is_clean = print_ratio(std::stoi(words[k])) && is_clean;
    }
    if (!is_clean) {
        std::fputs("bench_reading: the generated vehicle was not read whole\n", stderr);
    }
    return is_clean ? 0 : 1;
}
