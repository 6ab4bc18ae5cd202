// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/operating.hpp"

#include <string_view>
#include <vector>

namespace loomwright {

/// What a wire does, as far as custom gives that a colour.
struct WireDuty {
    std::string_view base; ///< colour of IEC 60757; "" where custom has none
    std::string_view why;
    std::string_view source;
};

/// By WireId. Wires that are joined without a switch, fuse or load between them have one duty.
[[nodiscard]] std::vector<WireDuty> wire_duties(const StudyInput& study);

} // namespace loomwright
