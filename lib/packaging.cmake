# SPDX-License-Identifier: MIT
# `cpack --config build/release/CPackConfig.cmake` makes two Debian packages: the program with its
# demo herd, and what is needed to build against the library. Needs the packages file and dpkg-dev.
include(GNUInstallDirs)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/data-demo DESTINATION ${CMAKE_INSTALL_DATADIR}/doewright
        COMPONENT runtime)
install(FILES ${PROJECT_SOURCE_DIR}/LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME copyright
        COMPONENT runtime)
install(FILES ${PROJECT_SOURCE_DIR}/LICENSE RENAME copyright COMPONENT dev
        DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/libdoewright-dev)

set(CPACK_PACKAGE_NAME doewright)
set(CPACK_PACKAGE_CONTACT "The Doewright authors <doewright@example.org>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "which buck, for which doe, this season")
set(CPACK_PACKAGE_DIRECTORY ${PROJECT_BINARY_DIR}/packages)
set(CPACK_GENERATOR DEB)
set(CPACK_COMPONENTS_ALL runtime dev)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_NAME doewright)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SECTION misc)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SHLIBDEPS ON)  # without dpkg-dev the package would depend on nothing
set(CPACK_DEBIAN_DEV_PACKAGE_NAME libdoewright-dev)
set(CPACK_DEBIAN_DEV_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEV_PACKAGE_DEPENDS "libfmt-dev (>= 9)")  # the static library is linked with it
set(CPACK_COMPONENT_RUNTIME_DESCRIPTION "The program doewright and a demo herd.")
set(CPACK_COMPONENT_DEV_DESCRIPTION "Headers and static library of doewright.")
include(CPack)
