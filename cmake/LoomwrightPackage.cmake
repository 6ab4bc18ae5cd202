# Debian packages, by `cpack` in the build folder: `loomwright`, the command with its pages, and
# `libloomwright-dev` for programs that embed it.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME loomwright)
set(CPACK_PACKAGE_VENDOR Loomwright)
set(CPACK_PACKAGE_CONTACT "Loomwright contributors <loomwright@localhost>")
set(CPACK_PACKAGE_DIRECTORY "${PROJECT_BINARY_DIR}/packages")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS
    OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(CPACK_COMPONENTS_ALL program development)
set(CPACK_COMPONENTS_GROUPING IGNORE)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_RELEASE 1)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)

set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME loomwright)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION electronics)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
# A drawing's text has a size only where there is a font.
set(CPACK_DEBIAN_PROGRAM_PACKAGE_DEPENDS "fonts-dejavu-core")
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION
"wiring of re-powered cars: sizes, fuses, proofs and paper
One text file says what a car has: battery, fuses, relays, switches, lamps and
motors, which wire goes where and what the car is doing when. From it come the
currents and voltages of every state, a size for each wire and a rating for each
fuse, what is dangerous and why, drawings, and the lists that the loom is made
from.")

set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libloomwright-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS
    "loomwright (= ${PROJECT_VERSION}-1), libfmt-dev, libyaml-cpp-dev, libxlsxwriter-dev, coinor-libcbc-dev, coinor-libclp-dev, coinor-libcgl-dev, coinor-libosi-dev, coinor-libcoinutils-dev, libbz2-dev, zlib1g-dev, liblapack-dev, libsuitesparse-dev")
set(CPACK_COMPONENT_DEVELOPMENT_DESCRIPTION
"wiring of re-powered cars: library and headers
An archive of everything that the command loomwright does, with headers, for
programs that read vehicle files, size and check them.")
include(CPack)
