// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sizing/plug_halves.hpp"

#include "sizing/stock.hpp"

#include <algorithm>

namespace loomwright {
namespace {

class HalfMaker {
public:
    HalfMaker(const StudyInput& study, const Design& design, const EndFittings& fittings)
        : study_(study), design_(design), fittings_(fittings) {}

    [[nodiscard]] std::vector<PlugHalf> make() const {
        std::vector<PlugHalf> out;
        for (std::size_t i = 0; i < study_.vehicle.devices.size(); ++i) {
            const Device& device = study_.vehicle.devices[i];
            if (!device.plug || device.housing.is_valid()) {
                continue;
            }
            const auto* connector = device.as<Connector>();
            const bool is_pair = connector != nullptr && !connector->mate.is_valid();
            out.push_back(half(DeviceId(i), Half::arriving, is_pair ? "-a" : ""));
            if (is_pair) {
                out.push_back(half(DeviceId(i), Half::leaving, "-b"));
            }
        }
        return out;
    }

private:
    [[nodiscard]] PlugHalf half(DeviceId id, Half which, const char* mark) const {
        const Device& device = study_.vehicle.device(id);
        PlugHalf out;
        out.device = id;
        out.half = which;
        out.name = device.name + mark;
        out.face = &*device.plug;
        out.is_counterpart = which == Half::leaving;
        out.is_mirrored = out.is_counterpart;
        out.rows = device.plug->rows;
        const Device* first = &device; // whose order of cavities holds
        const auto* connector = device.as<Connector>();
        if (connector != nullptr && connector->mate.is_valid() &&
            connector->mate.index() < id.index()) {
            first = &study_.vehicle.device(connector->mate);
            out.is_mirrored = true;
            out.rows = first->plug ? first->plug->rows : out.rows;
        }
        if (!device.plug->fitting.empty()) {
            out.fitting =
                own_fitting(study_.vehicle, study_.catalogue, {id, 0}, which).value_or("");
        }
        out.cavities.resize(first->terminals.size());
        for (std::size_t t = 0; t < first->terminals.size(); ++t) {
            out.cavities[t].name = first->terminals[t];
        }
        for (const std::size_t index : fittings_.of_device(id)) {
            const Crimp& crimp = fittings_.crimps()[index];
            const int place =
                first->terminal(device.terminals[static_cast<std::size_t>(crimp.at.terminal)]);
            if (crimp.half == which && place >= 0) {
                fill(out.cavities[static_cast<std::size_t>(place)], crimp);
            }
        }
        if (out.face->is_sealed) {
            close(out);
        }
        return out;
    }

    void fill(Cavity& cavity, const Crimp& crimp) const {
        cavity.wires.insert(cavity.wires.end(), crimp.wires.begin(), crimp.wires.end());
        cavity.fitting = fittings_.fitting(crimp);
        cavity.area += crimp.area;
        for (const WireId wire : crimp.wires) {
            const WireDesign& made = design_.wires[wire.index()];
            if (made.conductor != nullptr && made.insulation != nullptr) {
                cavity.outside =
                    std::max(cavity.outside,
                             study_.catalogue.outside_diameter(*made.conductor, *made.insulation));
            }
        }
    }

    void close(PlugHalf& out) const {
        for (Cavity& cavity : out.cavities) {
            if (cavity.wires.empty()) {
                cavity.seal = find_stock_plug(study_.vehicle, out.fitting);
            } else if (cavity.wires.size() == 1) {
                cavity.seal = find_stock_seal(study_.vehicle, out.fitting, cavity.outside);
            }
        }
    }

    const StudyInput& study_;
    const Design& design_;
    const EndFittings& fittings_;
};

} // namespace

std::vector<PlugHalf> plug_halves(const StudyInput& study, const Design& design,
                                  const EndFittings& fittings) {
    return HalfMaker(study, design, fittings).make();
}

} // namespace loomwright
