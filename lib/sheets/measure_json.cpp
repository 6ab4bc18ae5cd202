// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/measure_sheets.hpp"

#include <nlohmann/json.hpp>

namespace loomwright {
namespace {

using Json = nlohmann::ordered_json;

std::string_view value_key(Suspect::Kind kind) {
    switch (kind) {
    case Suspect::Kind::joint:
        return "ohm";
    case Suspect::Kind::source:
    case Suspect::Kind::reading:
        return "volts";
    case Suspect::Kind::load:
        break;
    }
    return "share";
}

std::string_view nominal_key(Suspect::Kind kind) {
    switch (kind) {
    case Suspect::Kind::joint:
        return "nominal_ohm";
    case Suspect::Kind::source:
    case Suspect::Kind::reading:
        return "nominal_v";
    case Suspect::Kind::load:
        break;
    }
    return "nominal_a";
}

class MeasureWriter {
public:
    explicit MeasureWriter(const MeasureReport& report) : report_(report), answer_(report.answer) {}

    [[nodiscard]] Json write() const {
        Json out;
        out["accuracy"] = {{"share", report_.accuracy.share},
                           {"volts", report_.accuracy.fixed.value()},
                           {"stated", report_.accuracy.is_stated}};
        out["against"] = probe_words(report_, answer_.black_lead);
        out["limit_sigmas"] = answer_.limit_sigmas;
        out["chi_square_as_predicted"] = answer_.chi_square_before;
        out["chance_as_predicted"] = answer_.chance_before;
        out["chi_square"] = answer_.chi_square;
        out["chance"] = answer_.chance;
        out["accepted"] = answer_.is_accepted;
        out["exhausted"] = answer_.has_all_suspects && answer_.has_all_sets;
        out["suspects"] = answer_.suspects;
        out["classes"] = answer_.classes;
        out["largest_set"] = answer_.largest_set;
        out["readings"] = readings();
        out["culprits"] = culprits();
        out["runners_up"] = runners_up();
        out["next"] = next();
        return out;
    }

private:
    [[nodiscard]] std::string state(StateId id) const {
        return state_name(report_.study.vehicle, id);
    }

    [[nodiscard]] Json readings() const {
        Json out = Json::array();
        for (std::size_t i = 0; i < report_.readings.size(); ++i) {
            const MeterReading& reading = report_.readings[i];
            const ReadingResult& result = answer_.results[i];
            const auto or_null = [&result](double value) {
                return result.has_prediction() ? Json(value) : Json();
            };
            Json row = {{"line", reading.where.line},
                        {"place", reading.at.name},
                        {"to", reading.to ? Json(reading.to->name) : Json()},
                        {"state", state(reading.state)},
                        {"read_v", reading.shown.value()}};
            row["predicted_v"] = or_null(result.predicted_v);
            row["off_v"] = or_null(result.off_v);
            row["meter_sigma_v"] = result.meter_v;
            row["prediction_sigma_v"] = or_null(result.prediction_v);
            row["sigmas"] = or_null(result.sigmas);
            row["explained_v"] = or_null(result.explained_v);
            row["left_sigmas"] = or_null(result.left_sigmas);
            row["verdict"] = verdict_name(result.verdict);
            row["culprit"] = result.culprit < 0 ? Json() : Json(result.culprit + 1);
            row["note"] = reading.note;
            out.push_back(std::move(row));
        }
        return out;
    }

    [[nodiscard]] Json named(const Suspect& suspect) const {
        return {{"kind", suspect_kind_name(suspect.kind)},
                {"id", suspect_id(report_, suspect)},
                {"what", suspect_words(report_, suspect)}};
    }

    [[nodiscard]] Json json_of(const SuspectFit& fit) const {
        Json out = named(fit.what);
        const std::string key(value_key(fit.what.kind));
        out[key] = fit.value;
        out[key + "_low"] = fit.low;
        out[key + "_high"] = fit.is_open ? Json() : Json(fit.high);
        out["open"] = fit.is_open;
        out[std::string(nominal_key(fit.what.kind))] = fit.nominal;
        out["state"] = state(answer_.states[fit.state].id);
        out["amps"] = fit.amps;
        out["watts"] = fit.watts;
        out["remedy"] = suspect_remedy(report_, fit.what);
        return out;
    }

    [[nodiscard]] Json culprits() const {
        Json out = Json::array();
        for (const Culprit& culprit : answer_.culprits) {
            Json one_of = Json::array();
            for (const SuspectFit& fit : culprit.one_of) {
                one_of.push_back(json_of(fit));
            }
            out.push_back({{"sure", culprit.sure}, {"one_of", std::move(one_of)}});
        }
        return out;
    }

    [[nodiscard]] Json runners_up() const {
        Json out = Json::array();
        for (const RunnerUp& runner : answer_.runners_up) {
            Json set = Json::array();
            for (const Suspect& suspect : runner.set) {
                set.push_back(named(suspect));
            }
            out.push_back({{"set", std::move(set)},
                           {"chi_square", runner.chi_square},
                           {"share", runner.share}});
        }
        return out;
    }

    [[nodiscard]] Json next() const {
        if (!answer_.next) {
            return {};
        }
        Json foretold = Json::array();
        for (const NextReading::Foretold& one : answer_.next->foretold) {
            Json row = named(one.culprit.what);
            row["volts"] = one.volts;
            foretold.push_back(std::move(row));
        }
        return {{"place", probe_words(report_, answer_.next->node)},
                {"to", probe_words(report_, answer_.next->against)},
                {"state", state(answer_.states[answer_.next->state].id)},
                {"foretold", std::move(foretold)}};
    }

    const MeasureReport& report_;
    const MeasureAnswer& answer_;
};

} // namespace

std::string measure_json(const MeasureReport& report) {
    return MeasureWriter(report).write().dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace loomwright
