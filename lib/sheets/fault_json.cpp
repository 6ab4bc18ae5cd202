// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A sweep of faults as JSON, a case on a line of its own, written as it comes: a car of 300 wires
// has ten thousand.
#include "sheets/fault_words.hpp"

#include "sheets/json_text.hpp"
#include "study/branch_names.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

/// One object on one line.
class Object {
public:
    explicit Object(std::string& out) : out_(out) { out_ += '{'; }
    Object& text(std::string_view key, std::string_view value) {
        begin(key);
        add_json_text(out_, value);
        return *this;
    }
    Object& number(std::string_view key, double value, bool is_defined = true) {
        begin(key);
        add_json_number(out_, is_defined, value);
        return *this;
    }
    Object& count(std::string_view key, std::uint64_t value) {
        begin(key);
        out_ += fmt::format("{}", value);
        return *this;
    }
    Object& truth(std::string_view key, bool value) {
        begin(key);
        out_ += value ? "true" : "false";
        return *this;
    }
    Object& nothing(std::string_view key) {
        begin(key);
        out_ += "null";
        return *this;
    }
    /// Calls `row` for each item, which writes its own value.
    template <typename Items, typename Row>
    Object& list(std::string_view key, const Items& items, Row row) {
        begin(key);
        out_ += '[';
        bool is_first = true;
        for (const auto& item : items) {
            out_ += is_first ? "" : ", ";
            is_first = false;
            row(out_, item);
        }
        out_ += ']';
        return *this;
    }
    template <typename Value> Object& object(std::string_view key, Value value) {
        begin(key);
        value(out_);
        return *this;
    }
    void end() { out_ += '}'; }

private:
    void begin(std::string_view key) {
        out_ += is_first_ ? "\"" : ", \"";
        is_first_ = false;
        out_ += key;
        out_ += "\": ";
    }
    std::string& out_;
    bool is_first_ = true;
};

/// Writes the objects of one sweep.
class FaultWriter {
public:
    explicit FaultWriter(const FaultAnswer& answer) : answer_(answer), study_(answer.study) {}

    [[nodiscard]] std::string write() {
        const FaultSweep& sweep = answer_.sweep;
        out_ = "{\n \"metal\": ";
        if (sweep.metal < 0) {
            out_ += "null";
        } else {
            add_json_text(out_, node_name(sweep.metal));
        }
        out_ += ",\n \"short_ohm\": ";
        add_json_number(out_, true, sweep.short_ohm);
        rows("states", sweep.states, [this](const FaultState& state) { write_state(state); });
        rows("dangers", short_dangers(answer_),
             [this](const ShortDanger& danger) { write_danger(danger); });
        rows("sneaks", sneak_dangers(answer_),
             [this](const SneakDanger& danger) { write_sneak_danger(danger); });
        rows("shorts", sweep.shorts, [this](const ShortCase& which) { write_short(which); });
        rows("opens", sweep.opens, [this](const OpenCase& open) { write_open(open); });
        out_ += ",\n \"counts\": ";
        Object(out_)
            .count("cases", sweep.counts.cases)
            .count("points", sweep.counts.points)
            .count("rounds", sweep.counts.rounds)
            .count("refactored", sweep.counts.refactored)
            .count("from_nothing", sweep.counts.from_nothing)
            .end();
        out_ += "\n}\n";
        return std::move(out_);
    }

private:
    template <typename Items, typename Write>
    void rows(std::string_view name, const Items& items, Write write) {
        out_ += fmt::format(",\n \"{}\": [", name);
        bool is_first = true;
        for (const auto& item : items) {
            out_ += is_first ? "\n  " : ",\n  ";
            is_first = false;
            write(item);
        }
        out_ += is_first ? "]" : "\n ]";
    }

    [[nodiscard]] const std::string& node_name(int node) const {
        return study_.network.node_names[static_cast<std::size_t>(node)];
    }
    [[nodiscard]] const std::string& name(DeviceId device) const {
        return study_.vehicle.device(device).name;
    }
    [[nodiscard]] const std::string& number(WireId wire) const {
        return study_.vehicle.wire(wire).number;
    }
    [[nodiscard]] std::string state(std::size_t index) const {
        return state_name(study_.vehicle, answer_.sweep.states[index].state);
    }
    void devices(Object& object, std::string_view key, const std::vector<DeviceId>& list) const {
        object.list(key, list, [this](std::string& out, DeviceId device) {
            add_json_text(out, name(device));
        });
    }
    void states(Object& object, const std::vector<std::size_t>& list) const {
        object.list("states", list, [this](std::string& out, std::size_t index) {
            add_json_text(out, state(index));
        });
    }
    void way(Object& object, const std::vector<int>& branches) const {
        object.list("way", way_names(study_, branches),
                    [](std::string& out, const std::string& step) { add_json_text(out, step); });
    }

    void write_state(const FaultState& here) {
        Object object(out_);
        object.text("state", state_name(study_.vehicle, here.state))
            .truth("converged", here.is_solved);
        object.end();
    }

    void write_danger(const ShortDanger& danger) {
        const ShortEvent& event = *danger.worst;
        Object object(out_);
        object.text("outcome", outcome_name(event.outcome)).text("at", node_name(danger.node));
        object.list("wires", danger.cases, [this](std::string& out, std::size_t which) {
            add_json_text(out, number(answer_.sweep.shorts[which].wire));
        });
        states(object, danger.states);
        object.text("worst_state", state(event.state))
            .truth("before_protection", danger.is_before_protection);
        object.end();
    }

    void write_sneak_danger(const SneakDanger& danger) {
        Object object(out_);
        object.list("opened", danger.branches, [this](std::string& out, int branch) {
            add_json_text(out, branch_name(study_, branch));
        });
        object.text("device", name(danger.worst->device));
        states(object, danger.states);
        sneak_figures(object, *danger.worst);
        object.end();
    }

    void sneak_figures(Object& object, const UnexpectedDevice& device) const {
        object.number("volts", device.volts)
            .number("amps", device.amps)
            .number("volts_before", device.volts_before)
            .truth("on", device.is_on)
            .truth("reversed", device.is_reversed);
        way(object, device.way);
    }

    void write_openings(Object& object, const ShortEvent& event) const {
        object.list("opens", event.opens, [this](std::string& out, const FaultOpening& opening) {
            Object row(out);
            row.text("device", name(opening.device))
                .number("after_s", opening.after_s)
                .number("earliest_s", opening.earliest_s)
                .number("amps", opening.amps);
            devices(row, "or", opening.or_else);
            row.end();
        });
    }

    void write_heat(Object& object, const ShortEvent& event) const {
        if (event.hottest.is_valid()) {
            object.object("hottest", [&](std::string& out) {
                Object(out)
                    .text("wire", number(event.hottest))
                    .number("peak_c", told_c(event.hottest_c))
                    .end();
            });
        } else {
            object.nothing("hottest");
        }
        object.list("overheated", event.overheated,
                    [this](std::string& out, const HotConductor& hot) {
                        Object(out)
                            .text("wire", number(hot.wire))
                            .number("peak_c", told_c(hot.peak_c))
                            .number("class_c", hot.class_c)
                            .number("limit_c", hot.short_time_c)
                            .number("limit_after_s", hot.too_hot_after_s)
                            .end();
                    });
    }

    void write_short(const ShortCase& which) {
        const ShortEvent& event = answer_.sweep.event(which);
        Object object(out_);
        object.text("wire", number(which.wire))
            .text("end", which.is_from_end ? "from" : "to")
            .text("at", node_name(event.node))
            .text("state", state(event.state))
            .truth("solved", event.is_solved)
            .number("fault_a", event.fault_a, event.is_solved)
            .number("settled_a", event.first_a, event.is_solved)
            .number("last_a", event.last_a, event.is_solved);
        write_openings(object, event);
        write_heat(object, event);
        object.truth("cleared", event.is_solved && event.is_cleared())
            .text("outcome", event.is_solved ? outcome_name(event.outcome) : "no-answer")
            .number("over_after_s", event.over_after_s, event.is_solved);
        devices(object, "dead", event.dead);
        devices(object, "unexpected", event.unexpected);
        devices(object, "resets", event.resets);
        devices(object, "welded", event.welded);
        object.end();
    }

    void write_open(const OpenCase& open) {
        Object object(out_);
        object.text("opened", branch_name(study_, open.branch))
            .text("state", state(open.state))
            .truth("solved", open.is_solved)
            .number("amps_before", open.amps_before);
        devices(object, "dead", open.dead);
        object.list("unexpected", open.unexpected,
                    [this](std::string& out, const UnexpectedDevice& device) {
                        add_json_text(out, name(device.device));
                    });
        object.list("sneaks", open.unexpected,
                    [this](std::string& out, const UnexpectedDevice& device) {
                        Object row(out);
                        row.text("device", name(device.device));
                        sneak_figures(row, device);
                        row.end();
                    });
        object.list("controllers", open.controllers,
                    [this](std::string& out, const ControllerVolts& controller) {
                        Object(out)
                            .text("device", name(controller.device))
                            .number("volts", controller.volts)
                            .number("volts_before", controller.volts_before)
                            .number("needs_v", controller.needs_v)
                            .truth("on", controller.is_on)
                            .end();
                    });
        devices(object, "chattering", open.chattering);
        object.list("overheated", open.overheated,
                    [this](std::string& out, const HotConductor& hot) {
                        Object(out)
                            .text("wire", number(hot.wire))
                            .number("amps", hot.amps)
                            .number("peak_c", told_c(hot.peak_c))
                            .number("class_c", hot.class_c)
                            .number("limit_c", hot.short_time_c)
                            .number("limit_after_s", hot.too_hot_after_s)
                            .end();
                    });
        object.end();
    }

    const FaultAnswer& answer_;
    const StudyInput& study_;
    std::string out_;
};

} // namespace

std::string faults_json(const FaultAnswer& answer) {
    return FaultWriter(answer).write();
}

} // namespace loomwright
