// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The smallest rating for a load, when it opens at a current, and whether it protects a wire: the
// functions of the whole-car check on a car of one fuse and one wire (docs/method/protection.md).
#include "checks/calc_answers.hpp"
#include "checks/calc_bench.hpp"
#include "checks/proofs.hpp"

#include "base/display.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace loomwright {
namespace {

struct FuseQuestion {
    const FuseFamily* family = nullptr;
    std::optional<double> load_a;
    std::optional<Inrush> inrush;
    std::optional<double> rating_a;
    std::optional<double> opens_at_a;
    double fuse_air_c = 0.0;
    double air_c = 0.0;
    std::optional<Conductor> conductor;
    const Insulation* insulation = nullptr;
    std::optional<double> ampacity_a;
};

void check_rating(CalcReader& reader, FuseQuestion& question) {
    if (!question.rating_a || question.family == nullptr ||
        question.family->find(Amps(*question.rating_a)) != nullptr) {
        return;
    }
    std::vector<std::string> ratings;
    for (const FuseRating& rating : question.family->ratings) {
        ratings.push_back(show_number(rating.rating.value()));
    }
    reader.complain("rating", Rule::unknown_word,
                    fmt::format("the {} family has no such rating", question.family->name),
                    fmt::format("its ratings are, in A: {}", fmt::join(ratings, ", ")));
}

FuseQuestion read_fuse_question(CalcReader& reader) {
    FuseQuestion out;
    out.family = reader.family();
    out.load_a = reader.quantity("amps", Dimension::current, ranges::current);
    const auto pulse =
        reader.pair("inrush", "for", Dimension::current, ranges::current, Dimension::current,
                    ranges::current, Dimension::time, ranges::duration);
    if (pulse) {
        out.inrush = Inrush{Amps(pulse->first), Seconds(pulse->second)};
    }
    out.rating_a = reader.quantity("rating", Dimension::current, ranges::current);
    out.opens_at_a = reader.quantity("current", Dimension::current, ranges::current);
    const double default_air = reader.catalogue().default_value("air").value;
    out.air_c =
        reader.quantity("air", Dimension::temperature, ranges::temperature).value_or(default_air);
    out.fuse_air_c = reader.quantity("fuse-air", Dimension::temperature, ranges::temperature)
                         .value_or(out.air_c);
    out.insulation = &reader.insulation();
    out.conductor = reader.conductor("size");
    out.ampacity_a = reader.quantity("ampacity", Dimension::current, ranges::current);
    if (reader.is_choose("size")) {
        reader.complain("size", Rule::unknown_word, "whether a wire is protected hangs on its size",
                        "give a size");
    }
    if (!reader.has("amps") && !reader.has("rating")) {
        reader.complain("amps", Rule::missing_key,
                        "neither a load nor a rating is given: there is nothing to answer",
                        "give --amps for a rating, or --rating for what it does");
    }
    if (reader.has("inrush") && !reader.has("amps")) {
        reader.complain("amps", Rule::missing_key, "a start pulse without the load that it starts",
                        "give --amps too");
    }
    if (reader.has("ampacity") && !reader.has("size")) {
        reader.complain("ampacity", Rule::contradiction, "an ampacity without a wire",
                        "give --size too");
    }
    check_rating(reader, out);
    return out;
}

void add_opening(CalcAnswer& out, const FuseFamily& family, double rating_a, double amps) {
    const auto shortest = shortest_opening_s(family, rating_a, amps);
    const auto longest = longest_opening_s(family, rating_a, amps);
    out.figures.push_back(seconds_figure("opens_after_s", "at " + show(Amps(amps)) + " opens after",
                                         shortest, "may stay closed"));
    out.figures.push_back(seconds_figure("has_opened_after_s", "and is sure to have after", longest,
                                         "never sure to open"));
    ProofSection section{"Opening at a current", {}};
    section.steps.push_back({"m = I / rating",
                             fmt::format("{} / {}", show_number(amps), show_number(rating_a)),
                             show_percent(amps / rating_a), "the current asked"});
    section.steps.push_back(
        {"t on each side of the band: straight in log-log between gates, I^2 t constant beyond the "
         "last",
         "",
         fmt::format("{} to {}", shortest ? show(Seconds(*shortest)) : "no opening",
                     longest ? show(Seconds(*longest)) : "no opening"),
         "tables fuse-gates, docs/method/protection.md"});
    out.sections.push_back(std::move(section));
}

void add_wire(CalcAnswer& out, const CalcBench& bench, const FuseQuestion& question) {
    const StudyInput study = bench.study();
    const Ampacity& ampacity = bench.sizing().wires[0].ampacity;
    const double rating_a = bench.sizing().fuses.front().rating_a;
    const ProtectionProof proof =
        prove_protection(study, band_of(*question.family, rating_a), *question.conductor,
                         *question.insulation, ampacity);
    const bool protects = proof.has_band ? proof.holds() : proof.carries;
    out.figures.push_back(
        amps_figure("ampacity_a", "ampacity of " + show(question.conductor->size), ampacity.amps));
    out.figures.push_back(yes_figure("protects", "protects it", protects,
                                     !protects ? "no"
                                     : proof.has_band
                                         ? "yes"
                                         : "by its rating; no opening times are known"));
    out.holds = out.holds && protects;
    if (!question.ampacity_a) {
        out.sections.push_back(prove_ampacity({study, bench.sizing()}, WireId(0)));
    }
}

} // namespace

std::optional<CalcAnswer> answer_fuse(CalcReader& reader) {
    const FuseQuestion question = read_fuse_question(reader);
    if (!reader.is_clean()) {
        return std::nullopt;
    }
    CalcBench bench(reader.catalogue());
    bench.set_wire_air(question.air_c);
    bench.set_fuse_air(question.fuse_air_c);
    bench.add_fuse(*question.family, question.rating_a, question.load_a.value_or(0.0),
                   question.inrush);
    if (question.conductor) {
        bench.add_wire(*question.conductor, *question.insulation, 1.0,
                       question.load_a.value_or(0.0));
        bench.judge_alone();
        if (question.ampacity_a) {
            bench.give_ampacity(*question.ampacity_a);
        }
    }
    bench.judge_fuse();
    const FuseSizing& fuse = bench.sizing().fuses.front();
    CalcAnswer out{.question = "fuse"};
    out.figures.push_back(text_figure("family", "family", question.family->title));
    if (fuse.was_auto && fuse.decided_by == Reason::not_found) {
        out.figures.push_back(
            {"rating_a", "rating", std::monostate{}, "none of the family will do: " + fuse.why});
        out.holds = false;
    } else {
        out.figures.push_back(amps_figure("rating_a", "rating", fuse.rating_a));
    }
    if (question.load_a) {
        out.figures.push_back(
            amps_figure("least_rating_a", "least for the load", fuse.least_rating_a));
        const bool carries = fuse.rating_a >= fuse.least_rating_a;
        out.figures.push_back(
            yes_figure("carries", "carries the load", carries, carries ? "yes" : "no"));
        out.holds = out.holds && carries;
    }
    const StudyInput study = bench.study();
    out.sections = explain_fuse({study, bench.sizing()}, fuse);
    std::erase_if(out.sections, [&](const ProofSection& section) {
        const bool is_of_load = section.title == "Load" || section.title == "Rating";
        return section.steps.empty() || (is_of_load && !question.load_a);
    });
    if (question.opens_at_a) {
        add_opening(out, *question.family, fuse.rating_a, *question.opens_at_a);
    }
    if (question.conductor) {
        add_wire(out, bench, question);
    }
    return out;
}

} // namespace loomwright
