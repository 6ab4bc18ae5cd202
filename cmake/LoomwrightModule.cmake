# One room of lib/ as a static library, with the project's warnings and language level.
# loomwright_module(NAME SOURCES file... [USES module...] [LINKS third-party target...])
# USES names the rooms it may include from; tests/layering checks the include lines themselves.

add_library(loomwright_settings INTERFACE)
target_compile_features(loomwright_settings INTERFACE cxx_std_20)
target_compile_options(loomwright_settings INTERFACE
    -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wno-missing-field-initializers)
# A false alarm of GCC 12 inside its own std::string, for `"x" + text` in C++20 (GCC bug 105651).
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
    target_compile_options(loomwright_settings INTERFACE -Wno-restrict)
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

function(loomwright_module name)
    cmake_parse_arguments(PARSE_ARGV 1 arg "" "" "SOURCES;USES;LINKS")
    add_library(loomwright_${name} STATIC ${arg_SOURCES})
    target_include_directories(loomwright_${name} PUBLIC "${PROJECT_SOURCE_DIR}/lib")
    target_link_libraries(loomwright_${name} PRIVATE loomwright_settings)
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
