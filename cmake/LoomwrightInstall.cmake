# What `cmake --install` puts where, under whatever prefix: nothing installed knows where it was built.
# Component `program`: the command, the part loaded for drawings, manual pages, completion, pages,
# examples. Component `development`: one archive of all rooms, headers, CMake and pkg-config files.

# --- the library -------------------------------------------------------------------------------
# One archive: the order of fifteen would be the business of everyone who links by hand.
set(objects "")
foreach(room IN LISTS LOOMWRIGHT_ROOMS ITEMS tables_text)
    list(APPEND objects "$<TARGET_OBJECTS:loomwright_${room}>")
endforeach()
add_library(loomwright_archive STATIC ${objects})
set_target_properties(loomwright_archive PROPERTIES
    LINKER_LANGUAGE CXX OUTPUT_NAME loomwright EXPORT_NAME loomwright)
target_compile_features(loomwright_archive INTERFACE cxx_std_20)
target_include_directories(loomwright_archive INTERFACE $<INSTALL_INTERFACE:include>)
install(TARGETS loomwright_archive EXPORT loomwrightTargets
    ARCHIVE DESTINATION lib COMPONENT development)
install(EXPORT loomwrightTargets NAMESPACE loomwright::
    DESTINATION lib/cmake/loomwright COMPONENT development)

# --- its headers -------------------------------------------------------------------------------
set(headers "${PROJECT_BINARY_DIR}/include")
file(GLOB header_sources CONFIGURE_DEPENDS "${PROJECT_SOURCE_DIR}/lib/*/*.hpp"
    "${PROJECT_SOURCE_DIR}/cli/*.?pp")
add_custom_command(OUTPUT "${headers}/headers.stamp"
    COMMAND "${CMAKE_COMMAND}" -DSOURCE=${PROJECT_SOURCE_DIR} -DOUTPUT=${headers}
        -P "${PROJECT_SOURCE_DIR}/cmake/public_headers.cmake"
    DEPENDS ${header_sources} "${PROJECT_SOURCE_DIR}/cmake/public_headers.cmake"
    COMMENT "Headers that a program includes"
    VERBATIM)
add_custom_target(loomwright_headers ALL DEPENDS "${headers}/headers.stamp")
install(DIRECTORY "${headers}/loomwright" DESTINATION include COMPONENT development)

# --- how it is found ---------------------------------------------------------------------------
include(CMakePackageConfigHelpers)
set(CBC_ARCHIVES Cbc Cgl OsiClp Clp Osi CoinUtils) # in the order of linking
configure_package_config_file("${PROJECT_SOURCE_DIR}/cmake/loomwrightConfig.cmake.in"
    "${PROJECT_BINARY_DIR}/loomwrightConfig.cmake" INSTALL_DESTINATION lib/cmake/loomwright
    NO_CHECK_REQUIRED_COMPONENTS_MACRO)
write_basic_package_version_file("${PROJECT_BINARY_DIR}/loomwrightConfigVersion.cmake"
    COMPATIBILITY SameMinorVersion)
install(FILES "${PROJECT_BINARY_DIR}/loomwrightConfig.cmake"
    "${PROJECT_BINARY_DIR}/loomwrightConfigVersion.cmake"
    DESTINATION lib/cmake/loomwright COMPONENT development)
list(TRANSFORM CBC_ARCHIVES REPLACE "(.+)" "-l:lib\\1.a" OUTPUT_VARIABLE cbc_flags)
list(JOIN cbc_flags " " LOOMWRIGHT_CBC_FLAGS)
configure_file("${PROJECT_SOURCE_DIR}/cmake/loomwright.pc.in" "${PROJECT_BINARY_DIR}/loomwright.pc" @ONLY)
install(FILES "${PROJECT_BINARY_DIR}/loomwright.pc" DESTINATION lib/pkgconfig COMPONENT development)

# --- what the command tells of itself ----------------------------------------------------------
set(told "${PROJECT_BINARY_DIR}/told")
add_custom_command(OUTPUT "${told}/told.stamp"
    COMMAND "${CMAKE_COMMAND}" -DCOMMAND=$<TARGET_FILE:loomwright_cli> -DOUTPUT=${told}
        -P "${PROJECT_SOURCE_DIR}/cmake/write_told.cmake"
    DEPENDS loomwright_cli "${PROJECT_SOURCE_DIR}/cmake/write_told.cmake"
    COMMENT "Manual pages and completion scripts"
    VERBATIM)
add_custom_target(loomwright_told ALL DEPENDS "${told}/told.stamp")
install(DIRECTORY "${told}/share" DESTINATION . COMPONENT program)

# --- pages -------------------------------------------------------------------------------------
find_program(LOOMWRIGHT_LOWDOWN NAMES lowdown)
find_program(LOOMWRIGHT_PAGES_PYTHON NAMES python3 PATHS /usr/bin NO_DEFAULT_PATH)
set(doc share/doc/loomwright)
if(LOOMWRIGHT_LOWDOWN AND LOOMWRIGHT_PAGES_PYTHON)
    set(pages "${PROJECT_BINARY_DIR}/pages")
    set(maker "${PROJECT_SOURCE_DIR}/cmake/docs/make_pages.py")
    file(GLOB_RECURSE page_sources CONFIGURE_DEPENDS "${PROJECT_SOURCE_DIR}/docs/*.md"
        "${PROJECT_SOURCE_DIR}/docs/*.svg")
    add_custom_command(OUTPUT "${pages}/README.html" "${pages}/loomwright-vehicle.5"
        COMMAND "${LOOMWRIGHT_PAGES_PYTHON}" -B "${maker}" "${PROJECT_SOURCE_DIR}" "${pages}"
            --lowdown "${LOOMWRIGHT_LOWDOWN}" --date "${LOOMWRIGHT_RELEASED}" --version "${PROJECT_VERSION}"
        DEPENDS ${page_sources} "${maker}" "${PROJECT_SOURCE_DIR}/cmake/docs/style.css"
            "${PROJECT_SOURCE_DIR}/README.md" "${PROJECT_SOURCE_DIR}/DEVELOPERS.md"
            "${PROJECT_SOURCE_DIR}/LICENSE" "${PROJECT_SOURCE_DIR}/examples/README.md"
        COMMENT "Pages of the documentation"
        VERBATIM)
    add_custom_target(docs ALL DEPENDS "${pages}/README.html")
    install(DIRECTORY "${pages}/" DESTINATION ${doc} COMPONENT program PATTERN "*.5" EXCLUDE)
    install(FILES "${pages}/loomwright-vehicle.5" DESTINATION share/man/man5 COMPONENT program)
else()
    message(STATUS "No lowdown: the pages are installed as they are written")
    install(DIRECTORY docs DESTINATION ${doc} COMPONENT program)
    install(FILES README.md DEVELOPERS.md LICENSE DESTINATION ${doc} COMPONENT program)
endif()
install(DIRECTORY examples/ DESTINATION ${doc}/examples COMPONENT program
    FILES_MATCHING PATTERN "*.yaml" PATTERN "*.csv")
install(FILES schemas/vehicle.schema.json DESTINATION share/loomwright COMPONENT program)
# As Debian wants it; elsewhere it is another copy of the licence.
install(FILES LICENSE DESTINATION ${doc} RENAME copyright COMPONENT program)
install(FILES LICENSE DESTINATION share/doc/libloomwright-dev RENAME copyright COMPONENT development)
