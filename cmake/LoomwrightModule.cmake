# One room of lib/ as a static library, with the project's warnings and language level.
# loomwright_module(NAME [HOT] SOURCES file... [USES module...] [LINKS third-party target...])
# HOT: optimised in the sanitizers' build too, where its tests would take minutes. USES names the
# rooms it may include from; tests/layering checks the include lines themselves.

add_library(loomwright_settings INTERFACE)
target_compile_features(loomwright_settings INTERFACE cxx_std_20)
target_compile_options(loomwright_settings INTERFACE
    -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wno-missing-field-initializers
    # Position-independent for the parts that are loaded; no function of ours is replaced by another's.
    -fno-semantic-interposition)
# A false alarm of GCC 12 inside its own std::string, for `"x" + text` in C++20 (GCC bug 105651).
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
    target_compile_options(loomwright_settings INTERFACE -Wno-restrict)
endif()
# Others of the same kind, about copies of std::string, when headers come compiled.
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND LOOMWRIGHT_PRECOMPILE)
    target_compile_options(loomwright_settings INTERFACE -Wno-array-bounds -Wno-stringop-overflow)
endif()
# Files that are joined see each other's names and each other's files as headers: both warnings are for
# single files, which the other builds and clang-tidy look at.
if(CMAKE_UNITY_BUILD)
    target_compile_options(loomwright_settings INTERFACE -Wno-shadow)
    if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
        target_compile_options(loomwright_settings INTERFACE -Wno-subobject-linkage)
    endif()
endif()
if(LOOMWRIGHT_WERROR)
    target_compile_options(loomwright_settings INTERFACE -Werror)
endif()
if(LOOMWRIGHT_ASSERTIONS)
    target_compile_options(loomwright_settings INTERFACE -UNDEBUG)
endif()
set(CMAKE_CXX_EXTENSIONS OFF)
set(CMAKE_POSITION_INDEPENDENT_CODE ON)

if(LOOMWRIGHT_TIDY)
    find_program(LOOMWRIGHT_CLANG_TIDY NAMES clang-tidy REQUIRED)
endif()

# Which way a text led through the rooms, for the fuzz targets; their own lines and the tests' are no news.
function(loomwright_marked_for_fuzzing target)
    if(LOOMWRIGHT_FUZZ)
        target_compile_options(${target} PRIVATE -fsanitize=fuzzer-no-link)
    endif()
endfunction()

# Common headers of the standard library and fmt, compiled once for the rooms (tests/CMakeLists.txt does
# the same for its programs, whose code is position-independent in another way). CI's builds use them; a
# file that forgets an include still fails in the others, and under clang-tidy, which goes without.
function(loomwright_precompile)
    if(NOT LOOMWRIGHT_PRECOMPILE)
        return()
    endif()
    set(headers <algorithm> <array> <cmath> <cstdint> <functional> <map> <memory> <optional> <set> <span>
        <string> <string_view> <unordered_map> <utility> <variant> <vector> <fmt/format.h> <fmt/ranges.h>)
    # The rooms from study on are most of the code, and nearly every file of theirs needs these.
    set(upper_headers ${headers} "${PROJECT_SOURCE_DIR}/lib/sizing/sizing.hpp"
        "${PROJECT_SOURCE_DIR}/lib/sheets/sheet.hpp")
    foreach(floor IN ITEMS lower upper)
        add_library(loomwright_precompiled_${floor} STATIC "${PROJECT_SOURCE_DIR}/cmake/nothing.cpp")
        target_link_libraries(loomwright_precompiled_${floor} PRIVATE loomwright_settings fmt::fmt)
        target_include_directories(loomwright_precompiled_${floor} PRIVATE "${PROJECT_SOURCE_DIR}/lib")
        loomwright_marked_for_fuzzing(loomwright_precompiled_${floor})
    endforeach()
    target_precompile_headers(loomwright_precompiled_lower PRIVATE ${headers})
    target_precompile_headers(loomwright_precompiled_upper PRIVATE ${upper_headers})
    set(loomwright_common_headers "${upper_headers}" PARENT_SCOPE)
endfunction()

# Tests are compiled anew more often than they are run: they are optimised less than the rooms.
add_library(loomwright_test_settings INTERFACE)
# CI's are compiled once and run once: not at all.
if(LOOMWRIGHT_PRECOMPILE)
    target_compile_options(loomwright_test_settings INTERFACE $<$<CONFIG:Release>:-O0>)
else()
    target_compile_options(loomwright_test_settings INTERFACE $<$<CONFIG:Release>:-O1>)
endif()
# The behaviour that is asked about is the rooms'; what the tests read and write is looked at all the same.
if(LOOMWRIGHT_FUZZ)
    target_compile_options(loomwright_test_settings INTERFACE -fno-sanitize=undefined)
endif()

set(loomwright_upper_rooms study sizing checks sheets draw page engine)

function(loomwright_module name)
    cmake_parse_arguments(PARSE_ARGV 1 arg "HOT" "" "SOURCES;USES;LINKS")
    add_library(loomwright_${name} STATIC ${arg_SOURCES})
    target_include_directories(loomwright_${name} PUBLIC "${PROJECT_SOURCE_DIR}/lib")
    target_link_libraries(loomwright_${name} PRIVATE loomwright_settings)
    loomwright_marked_for_fuzzing(loomwright_${name})
    if(arg_HOT)
        set_target_properties(loomwright_${name} PROPERTIES UNITY_BUILD OFF) # names of formulas: short, many
    endif()
    if(LOOMWRIGHT_PRECOMPILE AND arg_HOT)
        target_compile_options(loomwright_${name} PRIVATE -O2) # headers compiled at -O0 do not fit it
    elseif(LOOMWRIGHT_PRECOMPILE)
        set(floor lower)
        if(name IN_LIST loomwright_upper_rooms)
            set(floor upper)
        endif()
        target_precompile_headers(loomwright_${name} REUSE_FROM loomwright_precompiled_${floor})
    endif()
    foreach(used IN LISTS arg_USES)
        target_link_libraries(loomwright_${name} PUBLIC loomwright_${used})
    endforeach()
    foreach(linked IN LISTS arg_LINKS)
        target_link_libraries(loomwright_${name} PRIVATE ${linked})
    endforeach()
    if(LOOMWRIGHT_TIDY)
        set_target_properties(loomwright_${name} PROPERTIES
            CXX_CLANG_TIDY "${LOOMWRIGHT_CLANG_TIDY};--quiet")
    endif()
endfunction()
