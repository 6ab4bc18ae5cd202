// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "memory.hpp"

#ifdef LOOMWRIGHT_MIMALLOC
#include <mimalloc.h>
#include <sys/mman.h>

#include <cstdint>
#include <cstdlib>
#endif

namespace loomwright::cli {
namespace {

#ifdef LOOMWRIGHT_MIMALLOC
/// Memory is taken from the system in segments of this size, each at a multiple of it.
constexpr std::uintptr_t segment = std::uintptr_t{32} << 20U;

/// The heap is of large pages, so that the system is asked for a page some twenty times and not ten
/// thousand times: segments to come by the option, and the one that stands already by its address.
void set_up() {
    mi_option_enable(mi_option_large_os_pages);
    char* const inside = static_cast<char*>(std::malloc(1));
    char* const begin = inside - reinterpret_cast<std::uintptr_t>(inside) % segment;
    madvise(begin, segment, MADV_HUGEPAGE); // refused: no harm done
    std::free(inside);
}
#else
void set_up() {}
#endif

} // namespace

void take_memory_once() {
    set_up();
}

} // namespace loomwright::cli
