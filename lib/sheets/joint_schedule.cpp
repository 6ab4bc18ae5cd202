// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/joint_schedule.hpp"

#include "base/display.hpp"
#include "loom/screened_cable.hpp"
#include "sheets/joint_parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace loomwright {
namespace {

std::string point_name(const Vehicle& vehicle, PointId point) {
    return point.is_valid() ? vehicle.point(point).name : std::string();
}

/// One line of the schedule; what is not said stays empty.
struct Line {
    std::string joint;
    std::string kind;
    std::string place;
    std::string along;
    Cell offset;
    Cell order;
    std::string wire;
    std::string size;
    std::string colour;
    std::string to;
    std::string leaves_by;
    Cell area;
    Cell sum;
    std::string made_with;
    std::string part;
    Cell strip;
    Cell crimp_height;
    std::string cover;

    [[nodiscard]] std::vector<Cell> cells() const {
        return {joint, kind,      place, along, offset,    order, wire,  size,         colour,
                to,    leaves_by, area,  sum,   made_with, part,  strip, crimp_height, cover};
    }
};

class ScheduleMaker {
public:
    ScheduleMaker(const StudyInput& study, const Sizing& sizing)
        : study_(study), vehicle_(study.vehicle), sizing_(sizing),
          fittings_(study.vehicle, study.catalogue, sizing.design) {}

    Sheet make() {
        set_columns();
        for (const SplicePlace& place : study_.routing.splices) {
            add_splice(place);
        }
        for (const Crimp& crimp : fittings_.crimps()) {
            add_splice_to_part(crimp);
        }
        for (std::size_t i = 0; i < vehicle_.devices.size(); ++i) {
            const Device& device = vehicle_.devices[i];
            if (device.as<Stud>() != nullptr || device.as<Ground>() != nullptr) {
                add_stud(DeviceId(i), device);
            }
        }
        for (const Shield& shield : vehicle_.shields) {
            add_shield(shield);
        }
        add_notes();
        return std::move(sheet_);
    }

private:
    void set_columns() {
        const auto millimetres = [](std::string key, std::string title, int decimals) {
            return number_column(std::move(key), std::move(title), "mm", decimals, 1e3);
        };
        sheet_.name = "joint-schedule";
        sheet_.title = "Splices, studs, grounds and screens";
        sheet_.columns = {text_column("joint", "joint"),
                          text_column("kind", "kind"),
                          text_column("place", "place"),
                          text_column("along", "along run"),
                          millimetres("offset_m", "offset", 0),
                          number_column("order", "order", "", 0),
                          text_column("wire", "wire"),
                          text_column("size", "size"),
                          text_column("colour", "colour"),
                          text_column("to", "to", true),
                          text_column("leaves_by", "leaves by"),
                          number_column("area_m2", "area", "mm2", -1, 1e6),
                          number_column("sum_m2", "in all", "mm2", -1, 1e6),
                          text_column("made_with", "made with", true),
                          text_column("part", "part number"),
                          millimetres("strip_m", "strip", 1),
                          millimetres("crimp_height_m", "crimp height", 2),
                          text_column("cover", "cover", true)};
    }

    void add(const Line& line) { sheet_.rows.push_back(line.cells()); }

    /// A wire of a crimp: what it is, and where its other end goes.
    void describe_wire(Line& line, WireId id, TerminalRef at) const {
        const Wire& wire = vehicle_.wire(id);
        const Conductor* conductor = sizing_.design.wires[id.index()].conductor;
        const std::vector<RunId>& runs = study_.routing.wires[id.index()].runs;
        const bool is_from = wire.from == at;
        line.wire = wire.number;
        line.size = conductor != nullptr ? show(conductor->size) : "no size found";
        line.colour = wire.colour;
        line.to = vehicle_.show(is_from ? wire.to : wire.from);
        if (!runs.empty()) {
            line.leaves_by = vehicle_.run(is_from ? runs.front() : runs.back()).name;
        }
        if (conductor != nullptr) {
            line.area = conductor->area.value();
        }
    }

    static void describe_fitting(Line& line, const EndFitting& fitting) {
        line.made_with = fitting.kind;
        line.strip = fitting.strip.value();
        if (fitting.crimp_height) {
            line.crimp_height = fitting.crimp_height->value();
        }
        if (fitting.stock != nullptr) {
            line.part = fitting.stock->part_number;
        }
    }

    /// What is crimped on: of a splice that the stock has not, the barrel by the areas in all.
    void describe_crimp(Line& line, const Crimp& crimp) const {
        const EndFitting fitting = fittings_.fitting(crimp);
        describe_fitting(line, fitting);
        if (fitting.kind != "crimp splice" ||
            (fitting.stock != nullptr && fitting.stock->most_area)) {
            return;
        }
        const FittingType* barrel = study_.catalogue.find_splice_barrel(crimp.area);
        line.made_with += barrel != nullptr ? fmt::format(", {} to {} in all", show(barrel->least),
                                                          show(barrel->most))
                                            : ", larger than the tables have";
    }

    /// Its name; "" for one that is dry.
    [[nodiscard]] std::string if_wet(ZoneId zone) const {
        return zone.is_valid() && vehicle_.zone(zone).wet ? vehicle_.zone(zone).name
                                                          : std::string();
    }
    /// The wet zone that a point lies in; "" for none.
    [[nodiscard]] std::string wet_zone(PointId point) const {
        return point.is_valid() ? if_wet(vehicle_.point(point).zone) : std::string();
    }
    /// The wet zone that a splice lies in; "" for none.
    [[nodiscard]] std::string wet_zone(const SplicePlace& place) const {
        std::string out = wet_zone(place.point);
        if (out.empty() && place.along.is_valid() && place.offset.value() > 0.0) {
            out = if_wet(study_.routing.run_zones[place.along.index()]);
        }
        return out;
    }
    void cover_splice(Line& line, const std::string& zone) {
        line.cover = "heat-shrink tube";
        if (!zone.empty()) {
            line.cover = "heat-shrink tube with adhesive: wet (" + zone + ")";
            wet_.push_back(line.joint);
        }
    }

    void add_splice(const SplicePlace& place) {
        const Device& device = vehicle_.device(place.splice);
        for (const std::size_t index : fittings_.of_device(place.splice)) {
            const Crimp& crimp = fittings_.crimps()[index];
            bool is_first = true;
            for (const WireId wire : crimp.wires) {
                Line line;
                line.joint = device.name;
                describe_wire(line, wire, crimp.at);
                if (std::exchange(is_first, false)) {
                    describe_splice(line, place, crimp);
                }
                add(line);
            }
        }
    }

    void describe_splice(Line& line, const SplicePlace& place, const Crimp& crimp) {
        line.kind = "splice";
        line.place = point_name(vehicle_, place.point);
        if (place.along.is_valid()) {
            line.along = vehicle_.run(place.along).name;
        }
        if (place.along.is_valid() || place.is_given) {
            line.offset = place.offset.value(); // its wires are cut to there
        }
        line.sum = crimp.area.value();
        describe_crimp(line, crimp);
        cover_splice(line, wet_zone(place));
    }

    /// Wires that are spliced to what comes with a part: the lead of a supplied harness, a link.
    void add_splice_to_part(const Crimp& crimp) {
        if (vehicle_.device(crimp.at.device).as<Splice>() != nullptr ||
            fittings_.fitting(crimp).kind != "crimp splice" || !has_cut_wire(vehicle_, crimp)) {
            return;
        }
        bool is_first = true;
        for (const WireId wire : crimp.wires) {
            Line line;
            line.joint = vehicle_.show(crimp.at);
            describe_wire(line, wire, crimp.at);
            if (std::exchange(is_first, false)) {
                const PointId point = place_of(vehicle_, crimp.at);
                line.kind = "splice";
                line.place = point_name(vehicle_, point);
                line.sum = crimp.area.value();
                describe_crimp(line, crimp);
                cover_splice(line, wet_zone(point));
            }
            add(line);
        }
        add_lead(crimp.at);
    }

    /// The lead that wires are spliced to, if there is one.
    void add_lead(TerminalRef at) {
        const SuppliedLead* const lead = supplied_lead_at(vehicle_, at);
        if (lead == nullptr) {
            return;
        }
        Line line;
        line.joint = vehicle_.show(at);
        line.wire = "supplied lead " + lead->name;
        line.size = show(lead->size);
        if (const Conductor* conductor = study_.catalogue.find_conductor(lead->size)) {
            line.area = conductor->area.value();
        }
        add(line);
    }

    void add_stud(DeviceId id, const Device& device) {
        std::vector<const Crimp*> lugs;
        for (const std::size_t index : fittings_.of_device(id)) {
            lugs.push_back(&fittings_.crimps()[index]);
        }
        // The thickest lies on the bolted surface.
        std::ranges::stable_sort(lugs, std::ranges::greater(),
                                 [](const Crimp* crimp) { return crimp->area; });
        double order = 0.0;
        for (const Crimp* crimp : lugs) {
            for (const WireId wire : crimp->wires) {
                Line line;
                describe_wire(line, wire, crimp->at);
                describe_fitting(line, fittings_.fitting(*crimp));
                add_lug(std::move(line), device, ++order);
            }
        }
        for (const Shield& shield : vehicle_.shields) {
            for (const Given<TerminalRef>& drain : shield.drains) {
                if (drain.value.device == id) {
                    Line line;
                    line.wire = "drain of " + shield.name;
                    describe_crimp(line, drain_crimp(study_, drain.value));
                    add_lug(std::move(line), device, ++order);
                }
            }
        }
    }

    void add_lug(Line line, const Device& device, double order) {
        line.joint = device.name;
        line.order = order;
        if (order == 1.0) {
            line.kind = device.as<Stud>() != nullptr ? "stud" : "ground";
            line.place = point_name(vehicle_, device.at);
        }
        add(line);
    }

    void add_shield(const Shield& shield) {
        const ScreenedCable cable = screened_cable(vehicle_, study_.routing, shield);
        std::string wires;
        for (const Given<WireId>& wire : shield.around) {
            wires += (wires.empty() ? "" : ", ") + vehicle_.wire(wire.value).number;
        }
        bool is_first = true;
        const auto line_at = [&](std::string place) {
            Line line;
            line.joint = shield.name;
            line.kind = std::exchange(is_first, false) ? "screen" : "";
            line.place = std::move(place);
            line.wire = wires;
            return line;
        };
        const auto add_drain = [&](TerminalRef drain, std::string place) {
            Line line = line_at(std::move(place));
            line.to = vehicle_.show(drain);
            describe_crimp(line, drain_crimp(study_, drain));
            line.cover = "drain wire in a sleeve to the terminal";
            add(line);
        };
        std::vector<TerminalRef> elsewhere; // drains at none of the ends
        for (const Given<TerminalRef>& drain : shield.drains) {
            const auto is_there = [&](const CableEnd& end) {
                return is_at(vehicle_, drain.value, end);
            };
            if (std::ranges::none_of(cable.ends, is_there)) {
                elsewhere.push_back(drain.value);
            }
        }
        for (const CableEnd& end : cable.ends) {
            const std::string place = end.point.is_valid() ? vehicle_.point(end.point).name
                                                           : vehicle_.device(end.device).name;
            bool is_drained = false;
            for (const Given<TerminalRef>& drain : shield.drains) {
                if (is_at(vehicle_, drain.value, end)) {
                    add_drain(drain.value, place);
                    is_drained = true;
                }
            }
            if (!is_drained) {
                Line line = line_at(place);
                line.made_with = "none";
                line.cover = "cut back and covered with heat-shrink tube";
                add(line);
            }
        }
        for (const TerminalRef drain : elsewhere) {
            add_drain(drain, point_name(vehicle_, place_of(vehicle_, drain)));
        }
    }

    void add_notes() {
        const DefaultValue& apart = study_.catalogue.default_value("splice-stagger");
        const DefaultValue& drain = study_.catalogue.default_value("drain-size");
        sheet_.notes = {
            fmt::format("A splice is built so far along its run as `offset` says, from its place. "
                        "Splices of one run are {} apart where the file does not say otherwise "
                        "({}: {}); the cut list has the lengths to there.",
                        show(Metres(apart.value)), provenance_name(apart.origin.provenance),
                        apart.origin.source),
            "All wires of a splice are in one crimp, for the sum of their areas.",
            "Lugs are stacked in their order: 1, the thickest, lies on the bolted surface."};
        if (!vehicle_.shields.empty()) {
            sheet_.notes.push_back(fmt::format(
                "Drain wires are taken as {} ({}: {}).", show(SquareMetres(drain.value)),
                provenance_name(drain.origin.provenance), drain.origin.source));
        }
        if (!wet_.empty()) {
            std::string names;
            for (const std::string& name : wet_) {
                names += (names.empty() ? "" : ", ") + name;
            }
            sheet_.notes.push_back(
                fmt::format("In the wet: {}. Seal each, or move it to a dry place.", names));
        }
    }

    const StudyInput& study_;
    const Vehicle& vehicle_;
    const Sizing& sizing_;
    EndFittings fittings_;
    std::vector<std::string> wet_;
    Sheet sheet_;
};

} // namespace

Sheet joint_schedule(const StudyInput& study, const Sizing& sizing) {
    return ScheduleMaker(study, sizing).make();
}

} // namespace loomwright
