// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The list of questions with their options and examples: for the parser, the help and the messages.
#include "checks/calc_answers.hpp"

#include "base/display.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace loomwright {
namespace {

constexpr CalcOption size_option{
    "size", "SIZE", "conductor: `1.5 mm2`, `16 AWG` or `16 SAE`, each another one", true};
constexpr CalcOption table_option{
    "table", "TABLE", "whose figures: iso, sae, awg (as a whole car is checked), iec, nfpa or faa"};
constexpr CalcOption insulation_option{
    "insulation", "NAME", "a family of `loomwright tables insulation`; else `thin-wall pvc`"};
constexpr CalcOption air_option{"air", "TEMPERATURE", "air round the wire; else 50 C"};
constexpr CalcOption length_option{"length", "LENGTH", "of the wire, one way"};
constexpr CalcOption amps_option{"amps", "CURRENT", "that it carries; a bare number is in A"};
constexpr CalcOption return_option{"return", "",
                                   "the way back is a wire of the same size and length"};
constexpr CalcOption limit_option{"limit", "DROP", "permitted drop: `0.5 V` or `3 %`"};
constexpr CalcOption volts_option{"volts", "VOLTAGE", "nominal, for the share; else 12 V"};

constexpr CalcOption needed(CalcOption option) {
    option.is_required = true;
    return option;
}
constexpr CalcOption optional_size(std::string_view what) {
    return {"size", "SIZE", what};
}

constexpr std::array wire_options = {
    CalcOption{
        "size", "SIZE",
        "conductor: `1.5 mm2`, `16 AWG` or `16 SAE`; or `choose` for the smallest that will do",
        true},
    length_option,
    amps_option,
    insulation_option,
    air_option,
    return_option,
    limit_option,
    volts_option,
    table_option};
constexpr std::array<std::string_view, 3> wire_examples = {
    R"(wire --size "1.5 mm2" --air "60 C")",
    R"(wire --size "14 AWG" --length "18 ft" --amps 15 --table nfpa)",
    R"(wire --size choose --amps 15 --length "4 m" --limit "3 %" --return)"};

constexpr std::array drop_options = {
    size_option,
    needed(length_option),
    needed(amps_option),
    CalcOption{"at", "TEMPERATURE", "of the conductor; else what the current makes of it in --air"},
    air_option,
    insulation_option,
    return_option,
    limit_option,
    volts_option,
    table_option};
constexpr std::array<std::string_view, 3> drop_examples = {
    R"(drop --size "14 AWG" --length "18 ft" --amps 15 --at "60 C")",
    R"(drop --size "2.5 mm2" --length "4 m" --amps "10 A" --return --limit "3 %")",
    R"(drop --size "8 AWG" --length "50 ft" --amps 20 --at "20 C" --table faa --limit "1 V")"};

constexpr std::array fuse_options = {
    CalcOption{"amps", "CURRENT", "of the load for as long as it runs; a bare number is in A"},
    CalcOption{"inrush", "PULSE", "its start: `70 A for 0.4 s`"},
    CalcOption{"family", "NAME", "a family of `loomwright tables fuses`; else blade"},
    CalcOption{"rating", "CURRENT", "a rating that is given; else the smallest that will do"},
    CalcOption{"current", "CURRENT", "tell when it opens at this current"},
    CalcOption{"fuse-air", "TEMPERATURE", "air round the fuse; else as --air"},
    optional_size("tell whether it protects a wire of this size"),
    CalcOption{"insulation", "NAME", "of that wire; else `thin-wall pvc`"},
    CalcOption{"air", "TEMPERATURE", "air round that wire; else 50 C"},
    CalcOption{"ampacity", "CURRENT",
               "of that wire in its place (`calc bundle`); else alone in still air"},
    table_option};
constexpr std::array<std::string_view, 3> fuse_examples = {
    R"(fuse --amps 10 --fuse-air "60 C")",
    R"(fuse --amps 12 --inrush "70 A for 0.4 s" --family maxi-blade --size "2.5 mm2")",
    R"(fuse --rating "15 A" --current "30 A" --size "16 AWG" --air "60 C")"};

constexpr std::array bundle_options = {
    CalcOption{"wires", "WIRES", "`7 x 14 AWG at 10 A`; may be given again for others", true, true},
    CalcOption{"cover", "COVER", "none, tape, braid, conduit, sleeve or heat-sleeve; else none"},
    CalcOption{"insulation", "NAME", "of all of them; else `thin-wall pvc`"},
    CalcOption{"air", "TEMPERATURE", "air round the bundle; else 50 C"}};
constexpr std::array<std::string_view, 2> bundle_examples = {
    R"(bundle --wires "7 x 14 AWG at 10 A" --air "40 C")",
    R"(bundle --wires "4 x 1.5 mm2 at 5 A" --wires "2 x 4 mm2 at 20 A" --cover braid)"};

constexpr std::array fault_options = {
    CalcOption{"cca", "CURRENT", "cold cranking current of the battery; a bare number is in A"},
    CalcOption{"ohms", "RESISTANCE", "of the source instead; a bare number is in ohm"},
    CalcOption{"volts", "VOLTAGE", "open-circuit voltage; else that of a full battery"},
    CalcOption{"battery-at", "TEMPERATURE", "of the battery; else 20 C"},
    CalcOption{"nominal", "VOLTAGE", "of the car; else 12 V"},
    CalcOption{"way", "WIRE", "`14 AWG 3 m`: a wire on the way there or back; may be given again",
               true, true},
    CalcOption{"contact", "RESISTANCE", "`4 mohm`: a joint on the way; may be given again", false,
               true},
    CalcOption{"family", "NAME", "of the fuse in the way; else blade"},
    CalcOption{"rating", "CURRENT", "of the fuse in the way; without it there is none"},
    CalcOption{"insulation", "NAME", "of the wires; else `thin-wall pvc`"},
    CalcOption{"start", "TEMPERATURE", "of the conductors before; else the insulation's class"},
    air_option};
constexpr std::array<std::string_view, 2> fault_examples = {
    R"(fault --cca 600 --way "1.5 mm2 3 m" --contact "4 mohm" --rating "15 A")",
    R"(fault --ohms 0.008 --way "25 mm2 1.2 m" --way "2.5 mm2 2 m" --rating "30 A")"};

constexpr std::array lamp_options = {
    CalcOption{"rated", "POINT", "`55 W at 13.2 V` or `4.2 A at 13.2 V`", true},
    CalcOption{"volts", "VOLTAGE", "at the lamp; a bare number is in V", true}};
constexpr std::array<std::string_view, 2> lamp_examples = {
    R"(lamp --rated "55 W at 13.2 V" --volts 12)",
    R"(lamp --rated "21 W at 12 V" --volts "13.8 V" --json)"};

constexpr std::array questions = {
    CalcQuestion{"wire", "resistance, ampacity and temperature of a wire, or a size for a load",
                 wire_options, wire_examples},
    CalcQuestion{"drop", "voltage lost in a length of wire", drop_options, drop_examples},
    CalcQuestion{"fuse", "a rating for a load, its opening time, and whether it protects a wire",
                 fuse_options, fuse_examples},
    CalcQuestion{"bundle", "what each of several wires may carry in one bundle", bundle_options,
                 bundle_examples},
    CalcQuestion{"fault", "a short at the end of a wire: current, opening time, end temperature",
                 fault_options, fault_examples},
    CalcQuestion{"lamp", "a tungsten lamp at another voltage", lamp_options, lamp_examples},
};

/// The proofs speak of a car; here its file is what was asked.
void speak_of_the_question(std::vector<ProofSection>& sections) {
    for (ProofSection& section : sections) {
        for (ProofStep& step : section.steps) {
            if (step.source == "the vehicle file, zones and states") {
                step.source = "--air, or tables defaults, air";
            } else if (step.source.starts_with("operating point")) {
                step.source = "the current asked";
            }
        }
    }
}

} // namespace

std::span<const CalcQuestion> calc_questions() {
    return questions;
}

const CalcQuestion* find_calc_question(std::string_view name) {
    const auto* const found = std::ranges::find(questions, name, &CalcQuestion::name);
    return found == questions.end() ? nullptr : &*found;
}

std::optional<CalcAnswer> answer_question(const CalcQuestion& question,
                                          std::span<const TypedOption> options,
                                          const Catalogue& catalogue, SourceFiles& files,
                                          Findings& findings) {
    constexpr std::array answers = {answer_wire,   answer_drop,  answer_fuse,
                                    answer_bundle, answer_fault, answer_lamp};
    static_assert(answers.size() == questions.size());
    CalcReader reader(question, options, catalogue, files, findings);
    const auto* const found = find_calc_question(question.name);
    auto answer = answers.at(static_cast<std::size_t>(found - questions.data()))(reader);
    findings.sort();
    if (!reader.is_clean() || !answer) {
        return std::nullopt;
    }
    speak_of_the_question(answer->sections);
    return answer;
}

CalcFigure text_figure(std::string key, std::string label, std::string text) {
    return {std::move(key), std::move(label), text, text};
}

CalcFigure yes_figure(std::string key, std::string label, bool yes, std::string shown) {
    return {std::move(key), std::move(label), yes, std::move(shown)};
}

CalcFigure number_figure(std::string key, std::string label, double value, std::string shown) {
    CalcFigure out{std::move(key), std::move(label), std::monostate{}, std::move(shown)};
    if (std::isfinite(value)) {
        out.value = value;
    }
    return out;
}

CalcFigure amps_figure(std::string key, std::string label, double amps) {
    return number_figure(std::move(key), std::move(label), amps, show(Amps(amps)));
}

CalcFigure volts_figure(std::string key, std::string label, double volts) {
    return number_figure(std::move(key), std::move(label), volts, show(Volts(volts)));
}

CalcFigure ohms_figure(std::string key, std::string label, double ohms) {
    return number_figure(std::move(key), std::move(label), ohms, show(Ohms(ohms)));
}

CalcFigure celsius_figure(std::string key, std::string label, double celsius) {
    constexpr double hopeless_c = 1000.0;
    if (!(celsius < hopeless_c)) {
        return {std::move(key), std::move(label), std::monostate{}, "beyond 1000 C"};
    }
    return number_figure(std::move(key), std::move(label), celsius, show(Celsius(celsius)));
}

CalcFigure seconds_figure(std::string key, std::string label, std::optional<double> seconds,
                          std::string otherwise) {
    if (!seconds) {
        return {std::move(key), std::move(label), std::monostate{}, std::move(otherwise)};
    }
    return number_figure(std::move(key), std::move(label), *seconds, show(Seconds(*seconds)));
}

} // namespace loomwright
