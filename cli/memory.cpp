// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "memory.hpp"

#include <cstdint>
#include <cstdlib>

// Known once a header of the library has been read.
#ifdef __GLIBC__
#include <malloc.h>
#include <sys/mman.h>
#include <unistd.h>
#endif

namespace loomwright::cli {
namespace {

#if defined(__GLIBC__) && defined(MADV_HUGEPAGE) && !defined(__SANITIZE_ADDRESS__)
constexpr std::uintptr_t large_page = std::uintptr_t{2} << 20U;
constexpr int largest_from_heap = 32 << 20; ///< the most that the library takes
constexpr int kept_free = 512 << 20;
constexpr int step = 64 << 20;

/// The heap is taken in large steps of large pages, so that the system is asked for a page some
/// twenty times and not ten thousand times; it is not trimmed on the way.
void set_up() {
    mallopt(M_MMAP_THRESHOLD, largest_from_heap);
    mallopt(M_TRIM_THRESHOLD, kept_free);
    mallopt(M_TOP_PAD, step);
    char* const before = static_cast<char*>(sbrk(0));
    // More than the heap has makes it take the first step; volatile, or the pair is optimised away.
    void* volatile more = std::malloc(large_page);
    std::free(more);
    char* const after = static_cast<char*>(sbrk(0));
    const std::uintptr_t over = reinterpret_cast<std::uintptr_t>(before) % large_page;
    char* const first = before + (over == 0 ? 0 : large_page - over);
    if (before < after && first < after) { // equal where the machine has no such heap
        madvise(first, static_cast<std::size_t>(after - first), MADV_HUGEPAGE);
    }
}
#else
void set_up() {}
#endif

} // namespace

void take_memory_once() {
    set_up();
}

} // namespace loomwright::cli
