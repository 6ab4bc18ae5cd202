// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "memory.hpp"

#ifdef LOOMWRIGHT_MIMALLOC
#include <mimalloc.h>
#include <sys/mman.h>

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <new>
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

#ifdef LOOMWRIGHT_MIMALLOC
// The heap's own operators come from a compiler of C: where there is no memory left they can only
// end the program. These throw, so that it says what is wrong and leaves nothing half written.

namespace {

void* given(void* memory) {
    if (memory == nullptr) {
        throw std::bad_alloc();
    }
    return memory;
}
std::size_t bytes(std::align_val_t alignment) {
    return static_cast<std::size_t>(alignment);
}

} // namespace

void* operator new(std::size_t size) {
    return given(mi_malloc(size));
}
void* operator new[](std::size_t size) {
    return given(mi_malloc(size));
}
void* operator new(std::size_t size, std::align_val_t alignment) {
    return given(mi_malloc_aligned(size, bytes(alignment)));
}
void* operator new[](std::size_t size, std::align_val_t alignment) {
    return given(mi_malloc_aligned(size, bytes(alignment)));
}
void operator delete(void* memory) noexcept {
    mi_free(memory);
}
void operator delete[](void* memory) noexcept {
    mi_free(memory);
}
void operator delete(void* memory, std::size_t /*size*/) noexcept {
    mi_free(memory);
}
void operator delete[](void* memory, std::size_t /*size*/) noexcept {
    mi_free(memory);
}
void operator delete(void* memory, std::align_val_t /*alignment*/) noexcept {
    mi_free(memory);
}
void operator delete[](void* memory, std::align_val_t /*alignment*/) noexcept {
    mi_free(memory);
}
void operator delete(void* memory, std::size_t /*size*/, std::align_val_t /*alignment*/) noexcept {
    mi_free(memory);
}
void operator delete[](void* memory, std::size_t /*size*/, std::align_val_t /*a*/) noexcept {
    mi_free(memory);
}
#endif
