// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "network/design.hpp"

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace loomwright {

/// What is crimped on the end of a wire, and how much insulation comes off for it.
struct EndFitting {
    std::string kind; ///< "ring M6", "receptacle 6.3 mm", "crimp contact", "crimp splice"
    std::string note; ///< "to supplied lead main"; "" if the kind says all
    Metres strip;
    std::optional<Metres> crimp_height; ///< as the data sheet in the stock asks
    const StockItem* stock = nullptr;   ///< of the user's own; nullptr: none fits
    bool is_out_of_range = false;       ///< the stock has the terminal, and none for this area
};

/// One of the two halves of a mated pair that is written as one connector.
enum class Half : std::uint8_t { arriving, leaving };

/// The wires that share one barrel: one alone, two crimped together, or all of a splice.
struct Crimp {
    TerminalRef at;
    Half half = Half::arriving;
    std::vector<WireId> wires; ///< in the order of the file
    SquareMetres area;         ///< of their conductors together
};

/// The crimps of a design, and what each is made with. The areas of wires in one barrel add up
/// (NASA-STD-8739.4 19.11). What it is given must outlive it.
class EndFittings {
public:
    EndFittings(const Vehicle& vehicle, const Catalogue& catalogue, const Design& design);

    /// In the order of the wires of the file, `from` before `to`.
    [[nodiscard]] const std::vector<Crimp>& crimps() const { return crimps_; }
    /// The crimp of an end of a wire, which is at its `from` or at its `to`.
    [[nodiscard]] const Crimp& crimp(WireId wire, bool at_from) const;
    [[nodiscard]] EndFitting fitting(const Crimp& crimp) const;
    /// The crimps of each device, in their order: indices into crimps().
    [[nodiscard]] const std::vector<std::size_t>& of_device(DeviceId device) const {
        return by_device_[device.index()];
    }

private:
    struct Landing {
        WireId wire;
        bool at_from;
    };
    void gather(std::vector<std::vector<std::vector<Landing>>>& landings) const;
    void add_crimps(TerminalRef at, const std::vector<Landing>& landings);
    void add(TerminalRef at, Half half, const std::vector<Landing>& landings);
    [[nodiscard]] SquareMetres area_of(WireId wire) const;

    const Vehicle& vehicle_;
    const Catalogue& catalogue_;
    const Design& design_;
    std::vector<Crimp> crimps_;
    std::vector<std::array<std::size_t, 2>> of_wire_; ///< by WireId: at `from`, at `to`
    std::vector<std::vector<std::size_t>> by_device_;
};

/// The fitting for wires of this area in one barrel at this terminal. Common practice of the trade,
/// no source: the data sheet of the part that is bought decides.
[[nodiscard]] EndFitting end_fitting(const Vehicle& vehicle, const Catalogue& catalogue,
                                     TerminalRef at, SquareMetres area, Half half = Half::arriving);

/// The fitting that a terminal asks for by itself, whatever the wire: of parts whose terminals
/// their standards or data sheets fix (relays, flashers, protective devices), and of connectors and
/// plugs that name theirs. Nothing: the terminal is what its builder made it, or a supplied lead.
[[nodiscard]] std::optional<std::string> own_fitting(const Vehicle& vehicle,
                                                     const Catalogue& catalogue, TerminalRef at,
                                                     Half half = Half::arriving);

/// The supplied lead that comes to this terminal, or nullptr.
[[nodiscard]] const SuppliedLead* supplied_lead_at(const Vehicle& vehicle, TerminalRef at);

} // namespace loomwright
