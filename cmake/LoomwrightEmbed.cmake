# Carries data files into the binary, so that the installed program needs no data folder.
# loomwright_embed(TARGET target HEADER name.hpp NAMESPACE ns FILES file...)
# writes build/<...>/name.hpp and name.cpp with
#   namespace ns { struct EmbeddedFile { std::string_view name, text; };
#                  std::span<const EmbeddedFile> embedded_files() noexcept; }

function(loomwright_embed)
    cmake_parse_arguments(PARSE_ARGV 0 arg "" "TARGET;HEADER;NAMESPACE" "FILES")
    get_filename_component(stem "${arg_HEADER}" NAME_WE)
    set(out "${CMAKE_CURRENT_BINARY_DIR}/embedded")
    set(header "${out}/${arg_HEADER}")
    set(source "${out}/${stem}.cpp")
    file(CONFIGURE OUTPUT "${header}" @ONLY CONTENT
"#pragma once
#include <span>
#include <string_view>

namespace @arg_NAMESPACE@ {
struct EmbeddedFile {
    std::string_view name;
    std::string_view text;
};
std::span<const EmbeddedFile> embedded_files() noexcept;
}  // namespace @arg_NAMESPACE@
")
    set(rows "")
    foreach(file IN LISTS arg_FILES)
        get_filename_component(name "${file}" NAME)
        file(READ "${file}" text)
        string(APPEND rows "    {\"${name}\", R\"lwfile(${text})lwfile\"},\n")
        set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS "${file}")
    endforeach()
    set(content
"#include \"${arg_HEADER}\"

namespace ${arg_NAMESPACE} {
namespace {
constexpr EmbeddedFile files[] = {
${rows}};
}
std::span<const EmbeddedFile> embedded_files() noexcept { return files; }
}  // namespace ${arg_NAMESPACE}
")
    set(old "")
    if(EXISTS "${source}")
        file(READ "${source}" old)
    endif()
    if(NOT "${old}" STREQUAL "${content}")
        file(WRITE "${source}" "${content}")
    endif()
    target_sources(${arg_TARGET} PRIVATE "${source}")
    target_include_directories(${arg_TARGET} PRIVATE "${out}")
endfunction()
