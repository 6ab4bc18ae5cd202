// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/cautions.hpp"

#include <array>

namespace loomwright {

std::span<const std::string_view> cautions() {
    static constexpr std::array<std::string_view, 6> texts = {
        "Disconnect the battery, minus first, before any wire is cut or joined; connect it last.",
        "Fuel vapour and the gas of a charging battery burn: ventilate, and make no spark near "
        "them.",
        "Airbag and belt-tensioner circuits are never changed by means of this paper.",
        "Verify by measurement: every length on the car before it is cut, every voltage before it "
        "is "
        "trusted.",
        "The figures rest on the vehicle file and on the assumptions that it names; a wrong entry "
        "gives a wrong answer.",
        "Local codes, and a person qualified under them, decide what may be built and driven.",
    };
    return texts;
}

} // namespace loomwright
